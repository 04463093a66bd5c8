/** The sampled posterior: coordinates that straighten what tests hold firm, and chains that converge in them. */
import { describe, expect, it } from "vitest";
import { updateJointly } from "../../../src/evidence/index.js";
import { posteriorProblem } from "../../../src/evidence/reconcile/posterior.js";
import { straightToScores } from "../../../src/evidence/reconcile/straight.js";
import { measured, planOf } from "./bench.js";

describe("straightened coordinates", () => {
  const plan = planOf("dry-ambient");
  const stroke = { ...measured(plan, { "valve.seat.friction": 0.12 }, { seed: 3 }), runId: "run-3" };
  const { update } = updateJointly([{ plan, stroke, definition: "command-to-end" }]);
  const { active, straightening } = posteriorProblem(update);

  it("leave the centre where it is", () => {
    const z = Float64Array.from(update.z);
    straightToScores(straightening, z);
    for (const j of active) expect(z[j]).toBeCloseTo(update.z[j] ?? Number.NaN, 9);
  });

  it("their volume is the determinant of their derivatives, by central differences", () => {
    const from = Float64Array.from(update.z, (z, j) => z + 0.3 * Math.sin(1 + 2.7 * j));
    const at = (j: number, h: number): Float64Array => {
      const z = Float64Array.from(from);
      z[j] = (z[j] ?? 0) + h;
      straightToScores(straightening, z);
      return z;
    };
    const h = 1e-6;
    const rows = active.map((j) => {
      const above = at(j, h);
      const below = at(j, -h);
      return active.map((k) => ((above[k] ?? 0) - (below[k] ?? 0)) / (2 * h));
    });
    const logVolume = straightToScores(straightening, Float64Array.from(from));
    expect(logVolume).toBeCloseTo(logDeterminant(rows), 5);
  });

  it("beyond their tables there is no density", () => {
    const far = Float64Array.from(update.z).fill(1e3);
    expect(straightToScores(straightening, far)).toBe(Number.NEGATIVE_INFINITY);
  });
});

/** log |det A| by elimination with pivots. */
function logDeterminant(rows: readonly (readonly number[])[]): number {
  const a = rows.map((row) => [...row]);
  let sum = 0;
  for (let k = 0; k < a.length; k++) {
    let pivot = k;
    for (let i = k + 1; i < a.length; i++)
      if (Math.abs(a[i]?.[k] ?? 0) > Math.abs(a[pivot]?.[k] ?? 0)) pivot = i;
    const top = a[pivot] ?? [];
    a[pivot] = a[k] ?? [];
    a[k] = top;
    sum += Math.log(Math.abs(top[k] ?? 0));
    for (const row of a.slice(k + 1)) {
      const share = (row[k] ?? 0) / (top[k] ?? 1);
      for (let j = k; j < row.length; j++) row[j] = (row[j] ?? 0) - share * (top[j] ?? 0);
    }
  }
  return sum;
}
