/**
 * Normal scores: each uncertain input as a standard normal number, so that inputs of every law and
 * size can be updated alike. Correlated inputs mix independent numbers z into scores y = L z.
 */
import { normalCdf, normalQuantile } from "../../numerics/index.js";
import type { InputSpace } from "../../predict/index.js";

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
