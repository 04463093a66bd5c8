/** The inner loop against one that takes a section after the other. */
import fc from "fast-check";
import { expect, it } from "vitest";
import { sweep } from "../../../src/physics/line/index.js";
import "../../propertySeed.js";

/** The equations of sweep.ts from copies, one section at a time. */
function plain(
  F: Float64Array,
  G: Float64Array,
  high: Float64Array,
  low: Float64Array,
  first: number,
  last: number,
  K: number,
) {
  const [f, g] = [F.slice(), G.slice()];
  const loss = (i: number) => {
    const d = (f[i] ?? 0) - (g[i] ?? 0);
    return K * d * Math.abs(d);
  };
  for (let i = first; i < last; i++) {
    F[i + 1] = (f[i] ?? 0) - loss(i);
    G[i] = (g[i + 1] ?? 0) + loss(i + 1);
  }
  let lowest = Number.POSITIVE_INFINITY;
  for (let i = first + 1; i < last; i++) {
    const twice = (F[i] ?? 0) + (G[i] ?? 0);
    high[i] = Math.max(high[i] ?? 0, twice);
    if (twice < (low[i] ?? 0)) {
      low[i] = twice;
      lowest = Math.min(lowest, twice);
    }
  }
  return lowest;
}

it("two sections at a time give what one at a time gives, to the last bit, whatever their number and place", () => {
  const value = fc.double({ min: -1e7, max: 1e7, noNaN: true });
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 14 }),
      fc.integer({ min: 0, max: 3 }),
      fc.array(value, { minLength: 80, maxLength: 80 }),
      fc.double({ min: 0, max: 1e-8, noNaN: true }),
      (reaches, first, values, K) => {
        const last = first + reaches;
        const column = (k: number) => Float64Array.from(values.slice(20 * k, 20 * (k + 1)));
        const columns = () =>
          [0, 1, 2, 3].map(column) as [Float64Array, Float64Array, Float64Array, Float64Array];
        const [fast, slow] = [columns(), columns()];
        const found = sweep(...fast, first, last, K);
        expect(found).toBe(plain(...slow, first, last, K));
        expect(fast).toEqual(slow);
      },
    ),
  );
});
