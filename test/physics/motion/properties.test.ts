import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { ledgerEntries, runStroke, type Stroke, StrokePath } from "../../../src/physics/motion/index.js";
import type { Angle, Time } from "../../../src/quantity/index.js";
import { arbitraryTrain } from "./arbitraryTrain.js";
import { type PlainTrain, quarterTurn, trainOf } from "./plainTrain.js";

const shares = [0, 0.1, 0.5, 0.9, 0.99];

interface Run {
  readonly stroke: Stroke;
  readonly path: StrokePath;
}

function run(plain: PlainTrain, sense: 1 | -1, start: number, tolerance?: number): Run {
  const path = new StrokePath();
  const left = sense > 0 ? quarterTurn - start : start;
  const stroke = runStroke(trainOf(plain), {
    sense,
    start: start as Angle,
    horizon: 5 as Time,
    marks: Float64Array.from(shares, (x) => x * left),
    path,
    ...(tolerance === undefined ? {} : { tolerance }),
  });
  return { stroke, path };
}

const sense = fc.constantFrom(1 as const, -1 as const);
/** Mostly from stop to stop, sometimes from between. */
const begin = fc.oneof(
  { weight: 4, arbitrary: fc.constant(0) },
  { weight: 1, arbitrary: fc.double({ min: 0, max: 0.99, noNaN: true }) },
);
const startOf = (way: 1 | -1, gone: number) => (way > 0 ? gone : 1 - gone) * quarterTurn;
const quick = { endOnFailure: true };

describe("any stroke of any train, at the default tolerance", () => {
  it("closes its energy ledger within 1e-3, has no loss that gives energy, and no figure that is no number", () => {
    const outcomes = new Map<string, number>();
    fc.assert(
      fc.property(arbitraryTrain, sense, begin, (plain, way, gone) => {
        const { stroke } = run(plain, way, startOf(way, gone));
        outcomes.set(stroke.outcome, (outcomes.get(stroke.outcome) ?? 0) + 1);
        const { entries, relativeResidual } = stroke.ledger;
        expect(Math.abs(relativeResidual)).toBeLessThanOrEqual(1e-3);
        const largest = Math.max(...Object.values(entries).map(Math.abs), 1e-12);
        for (const { id } of ledgerEntries) {
          expect(entries[id]).not.toBeNaN();
          // The kinetic energy is a sum of differences; fluid and source may take and give.
          if (id !== "fluid" && id !== "supplied")
            expect(entries[id], id).toBeGreaterThanOrEqual(-1e-6 * largest);
        }
        for (const figure of [
          stroke.angle,
          stroke.end,
          stroke.peakCurrent,
          stroke.peakSpeed,
          stroke.impactSpeed,
          stroke.lowestSupplyVoltage,
        ])
          expect(Number.isFinite(figure)).toBe(true);
      }),
      { numRuns: 4000, ...quick },
    );
    // The trains are such that each outcome is met often enough to be tested.
    expect(outcomes.get("arrived")).toBeGreaterThan(1000);
    expect(outcomes.get("stalled")).toBeGreaterThan(300);
  });

  it("keeps its times in order, its ball between the stops and its current and angle without a jump", () => {
    fc.assert(
      fc.property(arbitraryTrain, sense, begin, (plain, way, gone) => {
        const { stroke, path } = run(plain, way, startOf(way, gone));
        const { firstMotion, arrival, markTimes, end } = stroke;
        const passed = [...markTimes].filter((t) => !Number.isNaN(t));
        const inOrder = [
          0,
          ...(firstMotion === undefined ? [] : [firstMotion]),
          ...passed,
          ...(arrival === undefined ? [] : [arrival]),
          end,
        ];
        for (let j = 1; j < inOrder.length; j++)
          expect(inOrder[j]).toBeGreaterThanOrEqual((inOrder[j - 1] ?? 0) - 1e-12);
        expect(arrival !== undefined).toBe(stroke.outcome === "arrived");
        if (stroke.outcome === "arrived") expect(passed.length).toBe(shares.length);
        expect(stroke.stall !== undefined).toBe(stroke.outcome === "stalled");

        const knots = path.knots();
        const read = (times: Float64Array) => {
          const [angle, speed, current] = [0, 0, 0].map(() => new Float64Array(times.length));
          if (angle === undefined || speed === undefined || current === undefined)
            throw new Error("three states");
          path.sample(times, angle, speed, current);
          return { angle, current };
        };
        const before = read(
          knots.map((t, j) => (j === 0 ? 0 : t - 1e-9 * Math.min(t - (knots[j - 1] ?? 0), 1))),
        );
        const after = read(knots);
        knots.forEach((_, j) => {
          expect(after.angle[j]).toBeGreaterThanOrEqual(-1e-9);
          expect(after.angle[j]).toBeLessThanOrEqual(quarterTurn + 1e-9);
          expect(Math.abs((after.angle[j] ?? 0) - (before.angle[j] ?? 0))).toBeLessThan(
            1e-8 + 2e-9 * stroke.peakSpeed,
          );
          const scale = plain.voltage / plain.resistance;
          expect(Math.abs((after.current[j] ?? 0) - (before.current[j] ?? 0))).toBeLessThan(1e-5 * scale);
          // In the sense of the stroke; fed back, the current is as large as the flow makes it.
          expect(way * (after.current[j] ?? 0)).toBeLessThanOrEqual(plain.currentLimit * (1 + 1e-6));
        });
      }),
      { numRuns: 1500, ...quick },
    );
  });

  it("comes within 1e-4 of its converged time in 99 of 100 trains", () => {
    let arrived = 0;
    let further = 0;
    let differ = 0;
    fc.assert(
      fc.property(arbitraryTrain, (plain) => {
        const loose = run(plain, 1, 0).stroke;
        const tight = run(plain, 1, 0, 1e-8).stroke;
        if (loose.outcome !== tight.outcome) differ++;
        if (loose.arrival === undefined || tight.arrival === undefined) return;
        arrived++;
        if (Math.abs(loose.arrival / tight.arrival - 1) > 1e-4) further++;
      }),
      { numRuns: 1500, ...quick },
    );
    expect(arrived).toBeGreaterThan(500);
    expect(further / arrived).toBeLessThan(0.01);
    // On the very edge of a stall the tolerance decides.
    expect(differ).toBeLessThan(5);
  });
});

describe("opening on full drive", () => {
  const timeOf = (plain: PlainTrain) => run(plain, 1, 0, 1e-7).stroke.arrival ?? Number.POSITIVE_INFINITY;
  const scaled = (values: readonly number[], x: number) => values.map((value) => value * x);
  const harder: Readonly<Record<string, (plain: PlainTrain, x: number) => PlainTrain>> = {
    "less voltage": (plain, x) => ({ ...plain, voltage: plain.voltage / x }),
    "a lower current limit": (plain, x) => ({ ...plain, currentLimit: plain.currentLimit / x }),
    "more supply resistance": (plain, x) => ({
      ...plain,
      supplyResistance: plain.supplyResistance * x + 0.01,
    }),
    "more friction": (plain, x) => ({
      ...plain,
      friction: scaled(plain.friction, x),
      excess: scaled(plain.excess, x),
      dwellTorque: plain.dwellTorque * x,
    }),
    "more breakaway": (plain, x) => ({ ...plain, excess: scaled(plain.excess, x) }),
    "more dwell": (plain, x) => ({ ...plain, dwellTorque: plain.dwellTorque * x + 0.01 }),
    "more viscous resistance": (plain, x) => ({ ...plain, damping: plain.damping * x + 1e-3 }),
    "more motor friction": (plain, x) => ({ ...plain, motorFriction: plain.motorFriction * x + 1e-5 }),
  };
  /**
   * Else a late start can be a fast one: current that has built up against more friction throws the
   * ball ahead, and what swings may arrive on the crest.
   */
  const isOverdamped = (plain: PlainTrain) =>
    4 * plain.inductance * plain.torqueConstant ** 2 <
    plain.rotorInertia * (plain.resistance + plain.supplyResistance) ** 2;
  it.each(Object.keys(harder))("is never faster with %s", (name) => {
    let compared = 0;
    fc.assert(
      fc.property(arbitraryTrain, fc.double({ min: 1.01, max: 3, noNaN: true }), (plain, x) => {
        fc.pre(isOverdamped(plain));
        // A flow that drives the ball faster than the motor would is braked by the motor, and the
        // less so the more resistance there is.
        if (name === "more supply resistance") fc.pre(plain.fluid.every((torque) => torque >= 0));
        const given = timeOf(plain);
        const then = timeOf(harder[name]?.(plain, x) ?? plain);
        if (Number.isFinite(given)) compared++;
        // Two strokes, each within some 1e-6 of its converged time.
        expect(then).toBeGreaterThanOrEqual(given * (1 - 1e-5));
      }),
      { numRuns: 600, ...quick },
    );
    expect(compared).toBeGreaterThan(100);
  });
});
