import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { Refusal } from "../../src/fault/index.js";
import {
  columns,
  type Nominal,
  nominalOf,
  type Plan,
  planFor,
  predict,
  runBlock,
  strokeOf,
  ValveSample,
} from "../../src/predict/index.js";
import { randomValve, type Section } from "./randomValve.js";
import { dossierOf, figure, having, planOf } from "./valveFile.js";

const definition = "command-to-end";

/** A counterexample as found is as clear as a shrunk one here, and comes sooner. */
const quick = { endOnFailure: true };

/** The plan, or undefined for a valve that is refused in words. */
function plannedOrRefused(data: Section): Plan | undefined {
  return orRefused(() => planOf(data));
}

/** The nominal answers, or undefined for a valve that is refused in words. */
function answer(plan: Plan): Nominal | undefined {
  return orRefused(() => nominalOf(plan, definition));
}

function orRefused<T>(made: () => T): T | undefined {
  try {
    return made();
  } catch (error) {
    if (error instanceof Refusal) return undefined;
    throw error;
  }
}

/** Figures that a sound valve may lack: times of what does not happen, and what stalls it. */
const mayBeAbsent = /^(opening|closing|opening-path):|^stall-angle$|^lacking-torque$/;

function numbersIn(item: unknown): readonly number[] {
  if (typeof item === "number") return [item];
  if (typeof item !== "object" || item === null) return [];
  return Object.values(item).flatMap(numbersIn);
}

describe("random valves", () => {
  it("have no figure that is not a number, closed ledgers, times in order and between their ceilings", () => {
    let between = 0;
    let answered = 0;
    let arrived = 0;
    fc.assert(
      fc.property(randomValve, (data) => {
        const plan = plannedOrRefused(data);
        const nominal = plan === undefined ? undefined : answer(plan);
        if (plan === undefined || nominal === undefined) return;
        answered++;
        const { row, ...rest } = nominal;
        expect(numbersIn(rest).filter(Number.isNaN)).toEqual([]);
        const isDry = plan.medium.kind !== "liquid";
        columns.forEach(({ id }, j) => {
          if (mayBeAbsent.test(id)) return;
          // A stroke that is merely late is neither: it was not followed to its end.
          if (/^(opens|closes)$/.test(id)) return;
          const ofFlow =
            /^(mass-flow|valve-drop|capacity-margin|bore-velocity|choke-ratio|cavitation-ratio|flow-step)$/;
          if (isDry && ofFlow.test(id)) return;
          if (plan.missing.motion.length === 0) expect(row[j], id).not.toBeNaN();
        });
        for (const stroke of [nominal.opening, nominal.closing]) {
          if (stroke === undefined) continue;
          expect(Math.abs(stroke.ledger.relativeResidual)).toBeLessThan(1e-3);
          const { times_s: times } = stroke;
          expect(stroke.outcome !== "stalled" || Object.keys(times).length === 0).toBe(true);
          if (stroke.outcome !== "arrived") continue;
          arrived++;
          const inOrder = ["current", "first-motion", "90-travel", "99-travel", "end"].map(
            (event) => times[`command-to-${event}`] ?? Number.NaN,
          );
          // A profile counts as arrived a quarter of a per cent before the end.
          for (let k = 1; k < inOrder.length; k++)
            expect(inOrder[k], Object.keys(times).join()).toBeGreaterThanOrEqual(inOrder[k - 1] ?? 0);
          expect(times["travel-10-to-90"]).toBeLessThanOrEqual(times["command-to-90-travel"] ?? 0);
        }
        expect(figure(nominal, "ledger-residual") < 1e-3 || plan.missing.motion.length > 0).toBe(true);
        const time = nominal.opening?.times_s[definition];
        if (plan.command !== "full" || nominal.ceilings === undefined || time === undefined) return;
        const { fastest, slowest } = nominal.ceilings;
        between++;
        // All three are found with a band's tolerance, 1e-4.
        expect(fastest ?? Number.NaN).toBeLessThanOrEqual(time * (1 + 2e-4));
        if (slowest !== undefined) expect(slowest).toBeGreaterThanOrEqual(time * (1 - 2e-4));
      }),
      { numRuns: 240, ...quick },
    );
    expect(answered).toBeGreaterThan(180);
    expect(arrived).toBeGreaterThan(75);
    expect(between).toBeGreaterThan(25);
  }, 240_000);
});

describe("opening on full drive", () => {
  /** Time of an opening at changed values of one plan; NaN where it does not arrive. */
  function timeWith(plan: Plan, change: (values: Float64Array) => void): number {
    const sample = new ValveSample(plan);
    change(sample.values);
    sample.updateFlow();
    sample.updateTorque();
    const { stroke } = strokeOf(plan, sample, sample.train(), "opening", undefined, { tolerance: 1e-6 });
    return stroke.outcome === "arrived" ? (stroke.arrival ?? Number.NaN) : Number.NaN;
  }

  const easier: Readonly<Record<string, (slots: Plan["slots"], values: Float64Array, x: number) => void>> = {
    "more open-circuit voltage": (slots, values, x) => scale(values, slots.openCircuitVoltage, x),
    "a higher current limit": (slots, values, x) => scale(values, slots.currentLimit, x),
    "less battery resistance": (slots, values, x) => scale(values, slots.batteryResistance, 1 / x),
    "less cable resistance": (slots, values, x) => scale(values, slots.cableResistance, 1 / x),
    "less seat friction": (slots, values, x) => scale(values, slots.seatFriction, 1 / x),
    "less preload": (slots, values, x) => scale(values, slots.seatPreload, 1 / x),
    "less packing friction": (slots, values, x) => {
      scale(values, slots.packingTorque, 1 / x);
      scale(values, slots.packingFriction, 1 / x);
    },
    "less ice": (slots, values, x) => scale(values, slots.iceTorque, 1 / x),
    "less breakaway": (slots, values) => {
      values[slots.breakawayRatio] = 1;
    },
    "less dwell": (slots, values) => {
      values[slots.dwellRatio] = 1;
    },
    "less viscous resistance": (slots, values, x) => scale(values, slots.damping, 1 / x),
  };
  function scale(values: Float64Array, slot: number, x: number): void {
    if (slot >= 0) values[slot] = (values[slot] ?? 0) * x;
  }

  it("is never slower with more voltage or current, less resistance or less friction of any kind", () => {
    const compared = new Map(Object.keys(easier).map((name) => [name, 0]));
    fc.assert(
      fc.property(randomValve, fc.double({ min: 1.01, max: 3, noNaN: true }), (data, x) => {
        const plan = plannedOrRefused(having(data, { "drive.command": { kind: "full" } }));
        if (plan === undefined || plan.missing.motion.length > 0) return;
        const given = timeWith(plan, () => undefined);
        if (Number.isNaN(given)) return;
        for (const [name, change] of Object.entries(easier)) {
          const quicker = timeWith(plan, (values) => change(plan.slots, values, x));
          compared.set(name, (compared.get(name) ?? 0) + 1);
          // Two strokes at a step tolerance of 1e-6, each within 1e-5 of its converged time.
          expect(quicker, name).toBeLessThanOrEqual(given * (1 + 2e-5));
        }
      }),
      { numRuns: 240, ...quick },
    );
    for (const [name, count] of compared) expect(count, name).toBeGreaterThan(40);
  }, 240_000);
});

describe("bands of random valves", () => {
  const uncertain = (data: Section): Section =>
    having(data, {
      "valve.seat.friction": { from: "0.02", to: "0.3" },
      "valve.seat.preload": { from: "0 N", to: "1500 N" },
      "drive.supply.resistance": { nominal: "0.1 ohm", low: "0.01 ohm", high: "1 ohm" },
    });

  it("have ordered quantiles, probabilities from 0 to 1 and intervals around them", async () => {
    let banded = 0;
    await fc.assert(
      fc.asyncProperty(randomValve, async (data) => {
        const dossier = dossierOf(uncertain(data));
        if (orRefused(() => nominalOf(planFor(dossier, "duty"), definition)) === undefined) return;
        const { band, effects } = await predict(
          dossier,
          "duty",
          { seed: 3, samples: 24, effectSamples: 6 },
          async (plan, blocks) => blocks.map((block) => runBlock(plan, block)),
        );
        expect(band).toBeDefined();
        if (band === undefined) return;
        banded++;
        for (const { low, median, high, count } of Object.values(band.figures)) {
          expect(count).toBeGreaterThan(0);
          // Interpolation between equal values may round by one unit in the last place.
          const rounding = 1e-15 * Math.abs(median.value);
          expect(low.value).toBeLessThanOrEqual(median.value + rounding);
          expect(median.value).toBeLessThanOrEqual(high.value + rounding);
        }
        for (const chance of [band.notOpening, band.notClosing]) {
          if (chance === undefined) continue;
          expect(chance.low).toBeGreaterThanOrEqual(0);
          expect(chance.low).toBeLessThanOrEqual(chance.estimate);
          expect(chance.estimate).toBeLessThanOrEqual(chance.high);
          expect(chance.high).toBeLessThanOrEqual(1);
        }
        expect(numbersIn(effects).filter(Number.isNaN)).toEqual([]);
      }),
      { numRuns: 40, ...quick },
    );
    expect(banded).toBeGreaterThan(25);
  }, 120_000);
});
