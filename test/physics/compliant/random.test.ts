import "../../propertySeed.js";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { ChainRun } from "../../../src/physics/compliant/index.js";
import { arbitraryChain } from "./arbitraryChain.js";
import { distances } from "./distances.js";
import { type ChainRows, referenceRuns } from "./plainChain.js";
import { secondChain } from "./secondChain.js";

/** Greatest share by which a link's peak differs. */
function peakError({ links }: ChainRun, second: ChainRows): number {
  const errors = links.map(({ driving, driven }, l) => {
    const peak = Math.max(driving.torque, driven.torque);
    return Math.abs(peak / (second.peaks[l] ?? Number.NaN) - 1);
  });
  return Math.max(...errors);
}

describe("the second road (odex, tolerance 1e-12) against scipy 1.17.1, Radau, rtol 1e-10", () => {
  for (const { of: one, rows } of referenceRuns()) {
    it(one.name, () => {
      const second = secondChain(one);
      expect(second?.rows.length).toBe(rows.rows.length);
      // Both solvers' errors, and the 1e-9 s that scipy's rows wait after each event.
      second?.rows.forEach((row, n) => {
        for (const [j, value] of row.entries()) {
          const reference = rows.rows[n]?.[j] ?? Number.NaN;
          expect(Math.abs(value - reference) / Math.max(1, Math.abs(reference))).toBeLessThan(1e-6);
        }
      });
      if (rows.arrival !== null) expect(second?.arrival).toBeCloseTo(rows.arrival, 8);
    });
  }
});

describe("random trains against the second road", () => {
  it("angles, currents, arrival and the peak of every link agree", () => {
    const seen = new Set<string>();
    let compared = 0;
    let arrived = 0;
    fc.assert(
      fc.property(arbitraryChain, (one) => {
        const second = secondChain(one);
        if (second === undefined) return;
        compared++;
        for (const event of Object.keys(second.events)) seen.add(event.replace(/ \d+$/, ""));

        // Of most trains within 1e-9 of travel; each of forty slips from rest multiplies what was there before.
        const fine = distances(one, second, 1e-8);
        expect(fine.rows).toBe(second.rows.length);
        expect(fine.worst.angle).toBeLessThan(1e-5);
        expect(fine.worst.current).toBeLessThan(1e-5);
        expect(peakError(fine.run, second)).toBeLessThan(1e-5);
        // As the bands have it: a step's error of 1e-3 of the stall torque.
        const usual = distances(one, second, 1e-3);
        expect(usual.worst.angle).toBeLessThan(2e-3);
        expect(peakError(usual.run, second)).toBeLessThan(1e-2);

        expect(fine.run.arrival === undefined).toBe(second.arrival === null);
        if (second.arrival === null) return;
        arrived++;
        // A ball that creeps to its stop takes the longer for the last of its way.
        expect(Math.abs((fine.run.arrival ?? Number.NaN) / second.arrival - 1)).toBeLessThan(2e-5);
        expect(Math.abs((usual.run.arrival ?? Number.NaN) / second.arrival - 1)).toBeLessThan(5e-4);
      }),
      { numRuns: 36, endOnFailure: true },
    );
    expect(compared).toBeGreaterThanOrEqual(25);
    expect(arrived).toBeGreaterThanOrEqual(20);
    for (const event of ["touch", "part", "sign", "rest", "release", "meet", "limit", "free"])
      expect(seen).toContain(event);
  });
});
