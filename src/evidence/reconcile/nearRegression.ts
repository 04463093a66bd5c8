/** Polynomials of a near model by regression: straight in the features, with those products of two that are missed most. */
import { ridgeRegression } from "../../numerics/index.js";
import { fillProducts } from "./nearModel.js";

/** Products are looked for among so many scouts at most, and in none that counts for less. */
const mostScreened = 240;
const leastScreened = 0.05;
/** What a coefficient costs, in scouts: a straight term is believed sooner than a product. */
const straightPenalty = 0.1;
const productPenalty = 3;

export interface Regression {
  /** Terms x outputs. */
  readonly coefficients: Float64Array;
  /** What is left of the outputs of each scout. */
  readonly left: readonly Float64Array[];
}

/** @param rows  features of each scout */
export function regression(
  rows: readonly Float64Array[],
  products: readonly number[],
  outputs: readonly Float64Array[],
  weights: Float64Array,
): Regression {
  const features = rows[0]?.length ?? 0;
  const count = 1 + features + products.length / 2;
  const terms = rows.map((row) => {
    const out = new Float64Array(count);
    out[0] = 1;
    out.set(row, 1);
    fillProducts(products, out, features + 1);
    return out;
  });
  const penalties = Float64Array.from({ length: count }, (_, t) =>
    t === 0 ? 1e-6 : t <= features ? straightPenalty : productPenalty,
  );
  const coefficients = ridgeRegression({ terms, outputs, weights }, penalties);
  const left = outputs.map((output, i) => {
    const row = terms[i] ?? output;
    const k = output.length;
    const rest = output.slice();
    for (let t = 0; t < count; t++) {
      const x = row[t] as number;
      for (let c = 0; c < k; c++) rest[c] = (rest[c] as number) - x * (coefficients[t * k + c] as number);
    }
    return rest;
  });
  return { coefficients, left };
}

/**
 * The products that what is left shows most: those whose own regression would take the most off it
 * [fan-lv-2008]. @returns pairs, one after the other
 */
export function screened(
  rows: readonly Float64Array[],
  products: readonly number[],
  left: readonly Float64Array[],
  weights: Float64Array,
  count: number,
): readonly number[] {
  const features = rows[0]?.length ?? 0;
  const outputs = left[0]?.length ?? 0;
  const known = new Set<number>();
  for (let p = 0; p < products.length; p += 2)
    known.add((products[p] as number) * features + (products[p + 1] as number));
  const used = rows.map((_, i) => i).filter((i) => (weights[i] ?? 0) > leastScreened);
  const stride = Math.ceil(used.length / mostScreened);
  const looked = used.filter((_, k) => k % stride === 0);
  const found: { readonly a: number; readonly b: number; readonly gain: number }[] = [];
  const sums = new Float64Array(outputs);
  for (let a = 0; a < features; a++)
    for (let b = 0; b <= a; b++) {
      if (known.has(a * features + b)) continue;
      sums.fill(0);
      let square = 0;
      for (const i of looked) {
        const row = rows[i] as Float64Array;
        const rest = left[i] as Float64Array;
        const product = (row[a] as number) * (row[b] as number) - (a === b ? 1 : 0);
        const weighted = (weights[i] as number) * product;
        square += weighted * product;
        for (let c = 0; c < outputs; c++) sums[c] = (sums[c] as number) + weighted * (rest[c] as number);
      }
      let gain = 0;
      for (let c = 0; c < outputs; c++) gain += (sums[c] as number) ** 2;
      found.push({ a, b, gain: square > 0 ? gain / square : 0 });
    }
  found.sort((one, other) => other.gain - one.gain || one.a - other.a || one.b - other.b);
  return found.slice(0, count).flatMap(({ a, b }) => [a, b]);
}
