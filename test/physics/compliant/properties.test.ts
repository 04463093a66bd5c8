import "../../propertySeed.js";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type ChainRun, chainEntries, runChain, startBound } from "../../../src/physics/compliant/index.js";
import { runStroke } from "../../../src/physics/motion/index.js";
import type { Angle, AngularDamping, AngularStiffness, Time, Torque } from "../../../src/quantity/index.js";
import { arbitraryTrain } from "../motion/arbitraryTrain.js";
import { type PlainTrain, trainOf } from "../motion/plainTrain.js";
import { compliantOf, type Yielding } from "./plainChain.js";

const share = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const decades = (min: number, max: number) => share(0, 1).map((x) => min * (max / min) ** x);
const yielding = fc.record({
  twist: decades(3e-4, 0.05),
  backlash: fc.oneof(fc.constant(0), decades(1e-4, 0.02)),
  dampingRatio: share(0.01, 0.3),
});
const quick = { endOnFailure: true };

function opening(plain: PlainTrain, how: Yielding, more: { readonly tolerance?: number } = {}): ChainRun {
  return runChain(compliantOf(plain, how).train, {
    sense: 1,
    start: 0 as Angle,
    horizon: 3 as Time,
    mostSteps: 20_000,
    ...more,
  });
}

describe("any opening of any train with springs and play, at the default tolerance", () => {
  it("closes its energy ledger within 1e-3, and no loss gives energy", () => {
    fc.assert(
      fc.property(arbitraryTrain, yielding, (plain, how) => {
        const { ledger, links } = opening(plain, how);
        expect(Math.abs(ledger.relativeResidual)).toBeLessThanOrEqual(1e-3);
        const largest = Math.max(...Object.values(ledger.entries).map(Math.abs), 1e-12);
        for (const { id } of chainEntries)
          if (id !== "fluid" && id !== "supplied")
            expect(ledger.entries[id], id).toBeGreaterThanOrEqual(-1e-3 * largest);
        for (const { driving, driven } of links)
          expect(Number.isFinite(driving.torque + driven.torque)).toBe(true);
      }),
      { numRuns: 60, ...quick },
    );
  });
});

describe("a train that hardly yields", () => {
  it("opens in the time of the rigid train within 1 %", () => {
    let compared = 0;
    fc.assert(
      // Without dwell: a ball that springs ahead of its stem breaks the bond of the dwell earlier.
      fc.property(
        arbitraryTrain.map((any) => ({ ...any, dwellTorque: 0 })),
        (plain) => {
          const rigid = runStroke(trainOf(plain), {
            sense: 1,
            start: 0 as Angle,
            horizon: 1.5 as Time,
            marks: Float64Array.of(),
            tolerance: 1e-6,
          });
          if (rigid.arrival === undefined || !mattersLittle(plain, rigid.arrival)) return;
          const { arrival } = opening(plain, {
            twist: stiffTwist(plain, rigid.arrival),
            backlash: 1e-5,
            dampingRatio: 0.3,
          });
          compared++;
          expect(Math.abs((arrival ?? Number.NaN) / rigid.arrival - 1)).toBeLessThan(0.01);
        },
      ),
      { numRuns: 120, ...quick },
    );
    expect(compared).toBeGreaterThan(25);
  });
});

/** Twist under the stall torque so small that the train swings two hundred times in an opening, and hardly winds up. */
function stiffTwist(plain: PlainTrain, arrival: number): number {
  const ratio = plain.stages.reduce((product, stage) => product * stage.ratio, 1);
  const stall = (plain.torqueConstant * plain.voltage * ratio) / plain.resistance;
  const inertia = plain.rotorInertia * ratio ** 2 + plain.loadInertia;
  const stiffness = inertia * ((2 * Math.PI * 200) / arrival) ** 2 * (plain.stages.length + 2);
  return Math.min(2e-4, stall / stiffness);
}

/** Whether two per cent more friction hardly delays the rigid opening: no cliff of stalling is near. */
function mattersLittle(plain: PlainTrain, arrival: number): boolean {
  const more = {
    ...plain,
    friction: plain.friction.map((f) => 1.02 * f),
    excess: plain.excess.map((f) => 1.02 * f),
    dwellTorque: 1.02 * plain.dwellTorque,
  };
  const slower = runStroke(trainOf(more), {
    sense: 1,
    start: 0 as Angle,
    horizon: 3 as Time,
    marks: Float64Array.of(),
  });
  return slower.arrival !== undefined && slower.arrival < 1.05 * arrival;
}

const greatest = ({ links, stop }: ChainRun): number =>
  Math.max(
    stop.torque,
    ...links.slice(-1).map(({ driving, driven }) => Math.max(driving.torque, driven.torque)),
  );

describe("monotone", () => {
  it("more backlash never lowers the impact on a ball that stands", () => {
    fc.assert(
      fc.property(
        arbitraryTrain,
        decades(1e-4, 0.02),
        share(1.1, 5),
        share(0.01, 0.2),
        (plain, backlash, more, damping) => {
          const stall = (plain.torqueConstant * plain.voltage) / plain.resistance;
          const ratio = plain.stages.reduce((product, { ratio }) => product * ratio, 1);
          // Its current follows at once: one that is still rising as the flanks meet pushes longer after less play.
          const mechanicalTime =
            (plain.rotorInertia * plain.resistance) / (plain.torqueConstant * plain.torqueConstant);
          const held = {
            ...plain,
            inductance: 1e-4 * mechanicalTime * plain.resistance,
            stages: plain.stages.slice(0, 1),
            friction: plain.friction.map(() => 1e3 * stall * ratio),
            fluid: plain.fluid.map(() => 0),
          };
          const peak = (b: number) =>
            greatest(
              opening(held, { twist: 0.01, backlash: b, dampingRatio: damping, detail: "light joined" }),
            );
          expect(peak(more * backlash)).toBeGreaterThanOrEqual(peak(backlash) * (1 - 2e-3));
        },
      ),
      { numRuns: 60, ...quick },
    );
  });

  it("a stiffer stop never lowers the greatest torque in stem and stop", () => {
    let met = 0;
    fc.assert(
      fc.property(arbitraryTrain, decades(1, 100), share(1.2, 10), (plain, soft, more) => {
        const stall = (plain.torqueConstant * plain.voltage) / plain.resistance;
        const ratio = plain.stages.reduce((product, { ratio }) => product * ratio, 1);
        const run = (stiffness: number) =>
          opening(
            { ...plain, excess: plain.excess.map(() => 0), dwellTorque: 0 },
            {
              twist: 0.02,
              backlash: 1e-3,
              dampingRatio: 0.02,
              stop: {
                kind: "soft",
                body: plain.stages.length + 1,
                stiffness: stiffness as AngularStiffness,
                damping: 0 as AngularDamping,
              },
              detail: "light joined",
            },
            { tolerance: 1e-4 },
          );
        const stiffness = soft * stall * ratio;
        const low = run(stiffness);
        if (low.arrival === undefined) return;
        met++;
        expect(greatest(run(more * stiffness))).toBeGreaterThanOrEqual(greatest(low) * (1 - 2e-3));
      }),
      { numRuns: 60, ...quick },
    );
    expect(met).toBeGreaterThan(15);
  });
});

describe("a start", () => {
  it("stays under its bound while the ball is broken away", () => {
    let broken = 0;
    const oneStage = arbitraryTrain.map((plain) => ({ ...plain, stages: plain.stages.slice(0, 1) }));
    fc.assert(
      fc.property(oneStage, yielding, (plain, how) => {
        const { train } = compliantOf(plain, { ...how, detail: "light joined" });
        const run = runChain(train, {
          sense: 1,
          start: 0 as Angle,
          horizon: 1 as Time,
          firstSlip: (0.05 * train.travel) as Angle,
        });
        if (run.firstMotion === undefined || train.links.length !== 1) return;
        broken++;
        const held = plain.friction.map(
          (f, j) => f + (plain.excess[j] ?? 0) + Math.max(plain.fluid[j] ?? 0, 0),
        );
        const bound = startBound(train, (Math.max(...held) + plain.dwellTorque) as Torque);
        expect(run.links[0]?.driving.torque).toBeLessThanOrEqual(bound * (1 + 1e-6));
      }),
      { numRuns: 150, ...quick },
    );
    expect(broken).toBeGreaterThan(60);
  });
});
