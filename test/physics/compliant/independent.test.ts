import { describe, expect, it } from "vitest";
import { distances } from "./distances.js";
import { referenceRuns } from "./plainChain.js";

describe("against a general-purpose stiff solver (scipy 1.17.1, Radau, rtol 1e-10) on the same equations", () => {
  for (const { of: one, rows: reference } of referenceRuns()) {
    it(one.name, () => {
      const fine = distances(one, reference, 1e-8);
      expect(fine.rows).toBe(reference.rows.length);
      expect(fine.worst.angle).toBeLessThan(1e-7);
      expect(fine.worst.speed).toBeLessThan(2e-5);
      expect(fine.worst.current).toBeLessThan(1e-6);
      if (reference.arrival !== null) expect(fine.run.arrival).toBeCloseTo(reference.arrival, 8);
      expect(fine.run.firstMotion).toBeCloseTo(reference.firstMotion ?? Number.NaN, 8);
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
