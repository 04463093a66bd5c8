/**
 * Normal scores: each uncertain input as a standard normal number, so that inputs of every law and
 * size can be updated alike. Correlated inputs mix independent numbers z into scores y = L z.
 */
import { normalCdf, normalQuantile } from "../../numerics/index.js";
import { type InputSpace, lawQuantile, valuesAt } from "../../predict/index.js";

/** A score beyond this is as good as impossible under the declared law; quantiles stop here. */
const farthest = 8;

/** Values of all slots at independent scores z. @param values receives them, SI */
export function valuesAtScores(space: InputSpace, z: ArrayLike<number>, values: Float64Array): void {
  const u = new Float64Array(space.inputs.length);
  for (let j = 0; j < u.length; j++) u[j] = normalCdf(Math.min(Math.max(z[j] ?? 0, -farthest), farthest));
  valuesAt(space, u, values);
}

/** The matrix L of y = L z, row after row. Identity where nothing is correlated. */
export function mixing(space: InputSpace): Float64Array {
  const n = space.inputs.length;
  const L = new Float64Array(n * n);
  const u = new Float64Array(n);
  for (let k = 0; k < n; k++) {
    u.fill(0.5);
    u[k] = normalCdf(1);
    space.copula?.correlate(u);
    for (let j = 0; j < n; j++) L[j * n + k] = normalQuantile(u[j] ?? 0.5);
  }
  return L;
}

/** Value of an input's first member at a score, SI. */
export function valueAtScore(space: InputSpace, input: number, y: number): number {
  const member = space.inputs[input]?.members[0];
  if (member === undefined) return Number.NaN;
  const { law, value } = member.declared;
  return lawQuantile(law, value, normalCdf(Math.min(Math.max(y, -farthest), farthest)));
}
