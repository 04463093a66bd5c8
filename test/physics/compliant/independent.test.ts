import { describe, expect, it } from "vitest";
import { type ChainRun, runChain } from "../../../src/physics/compliant/index.js";
import type { Angle, Time } from "../../../src/quantity/index.js";
import { type ChainCase, type ChainRows, referenceRuns, trainOfCase } from "./plainChain.js";

/** Greatest distance from the reference rows: angles at the stem over travel, speeds over the no-load speed, current over stall. */
function distances(one: ChainCase, reference: ChainRows, tolerance: number) {
  const train = trainOfCase(one);
  const bodies = one.bodies.length;
  const ratio = one.links.reduce((product, link) => product * link.ratio, 1);
  const noLoad = one.voltage / one.torqueConstant / ratio;
  const worst = { angle: 0, speed: 0, current: 0 };
  const y = new Float64Array(2 * bodies + 1);
  let next = 0;
  const run: ChainRun = runChain(train, {
    sense: one.sense,
    start: (one.sense > 0 ? 0 : one.travel) as Angle,
    horizon: one.horizon as Time,
    tolerance,
    isWhole: true,
    watch: (step, _, t, h, share) => {
      for (; next < reference.rows.length; next++) {
        const [time = 0, ...states] = reference.rows[next] ?? [];
        if (time > t + share * h + 1e-12) return;
        step.along(Math.min((time - t) / h, share), y);
        let before = 1;
        for (let b = 0; b < bodies; b++) {
          const at = ratio / before;
          worst.angle = Math.max(worst.angle, Math.abs((y[b] ?? 0) - (states[b] ?? 0)) / at / one.travel);
          const v = Math.abs((y[bodies + b] ?? 0) - (states[bodies + b] ?? 0));
          worst.speed = Math.max(worst.speed, v / at / noLoad);
          before *= one.links[b]?.ratio ?? 1;
        }
        const i = Math.abs((y[2 * bodies] ?? 0) - (states[2 * bodies] ?? 0));
        worst.current = Math.max(worst.current, (i * one.resistance) / one.voltage);
      }
    },
  });
  return { run, worst, rows: next };
}

describe("against a general-purpose stiff solver (scipy 1.17.1, Radau, rtol 1e-10) on the same equations", () => {
  for (const { of: one, rows: reference } of referenceRuns()) {
    it(one.name, () => {
      const fine = distances(one, reference, 1e-8);
      expect(fine.rows).toBe(reference.rows.length);
      expect(fine.worst.angle).toBeLessThan(1e-7);
      expect(fine.worst.speed).toBeLessThan(2e-5);
      expect(fine.worst.current).toBeLessThan(1e-6);
      if (reference.arrival !== null) expect(fine.run.arrival).toBeCloseTo(reference.arrival, 8);
      expect(fine.run.firstMotion).toBeCloseTo(reference.firstMotion, 8);
      fine.run.links.forEach(({ driving, driven }, l) => {
        const peak = Math.max(driving.torque, driven.torque);
        // The reference's peak is the greatest of points four to a step, a little under the true one.
        expect(peak / (reference.peaks[l] ?? Number.NaN)).toBeGreaterThan(1 - 1e-6);
        expect(peak / (reference.peaks[l] ?? Number.NaN)).toBeLessThan(1 + 2e-4);
      });

      const coarse = distances(one, reference, 1e-4);
      expect(coarse.worst.angle).toBeLessThan(1e-4);
      expect(Math.abs(coarse.run.ledger.relativeResidual)).toBeLessThan(1e-4);
      if (reference.arrival !== null)
        expect(Math.abs((coarse.run.arrival ?? 0) / reference.arrival - 1)).toBeLessThan(1e-5);
    });
  }

  it("covers play, stick, slip, both stops, the current limit and meshes that are driven back", () => {
    const seen = new Set(referenceRuns().flatMap(({ rows }) => Object.keys(rows.events)));
    for (const event of ["touch 0", "part 0", "release 1", "rest 1", "limit 0", "free 0", "sign 0", "rest 0"])
      expect(seen).toContain(event);
  });
});
