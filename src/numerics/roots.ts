/** Root of a scalar function between two points of opposite sign. */
import { refuse } from "../fault/index.js";

/** How closely and how long `findRoot` searches. */
export interface RootOptions {
  /** Half-width of the final bracket, in the unit of the argument; default 0: as fine as doubles allow. */
  readonly tolerance?: number;
  /** Most evaluations after the two ends; default 200. */
  readonly maxIterations?: number;
}

/**
 * Root of a continuous function by Brent's method: inverse quadratic interpolation guarded by
 * bisection, so that it converges for any bracket with a change of sign.
 *
 * @param f     function; must be finite on [low, high]
 * @param low   one end of the bracket;  @param high  the other
 * @param options  see RootOptions
 * @returns     x with a change of sign within `tolerance` (plus two units in the last place) of it
 * Refuses      a bracket without change of sign, a function value that is not a number, and a
 *              search that ran out of iterations; each with the values found.
 * Source       [brent-1973, ch. 4]
 */
export function findRoot(
  f: (x: number) => number,
  low: number,
  high: number,
  options: RootOptions = {},
): number {
  const tolerance = options.tolerance ?? 0;
  const maxIterations = options.maxIterations ?? 200;
  let a = low;
  let b = high;
  let fa = finite(f, a);
  let fb = finite(f, b);
  if (fa === 0) return a;
  if (fb === 0) return b;
  if (fa > 0 === fb > 0) {
    refuse(
      "no-sign-change",
      `the function is ${fa} at ${low} and ${fb} at ${high}: no change of sign`,
      "a bracket whose ends have opposite signs, so that a root lies between them",
      "Widen the bracket, or take it that no root exists there.",
    );
  }
  let c = a;
  let fc = fa;
  let step = b - a;
  let previous = step;
  for (let iteration = 0; iteration < maxIterations; iteration++) {
    if (fb > 0 === fc > 0) {
      c = a;
      fc = fa;
      step = b - a;
      previous = step;
    }
    if (Math.abs(fc) < Math.abs(fb)) {
      [a, b, c] = [b, c, b];
      [fa, fb, fc] = [fb, fc, fb];
    }
    const enough = 2 * Number.EPSILON * Math.abs(b) + tolerance;
    const half = (c - b) / 2;
    if (Math.abs(half) <= enough || fb === 0) return b;
    const proposed = interpolatedStep(a, b, c, fa, fb, fc);
    const acceptable =
      Math.abs(previous) >= enough &&
      Math.abs(fa) > Math.abs(fb) &&
      proposed * half > 0 &&
      Math.abs(proposed) < Math.min(1.5 * Math.abs(half) - enough / 2, Math.abs(previous) / 2);
    previous = acceptable ? step : half;
    step = acceptable ? proposed : half;
    a = b;
    fa = fb;
    b += Math.abs(step) > enough ? step : Math.sign(half) * Math.max(enough, Number.MIN_VALUE);
    fb = finite(f, b);
  }
  return refuse(
    "root-not-converged",
    `no root after ${maxIterations} iterations; the function is ${fb} at ${b}, bracket [${Math.min(b, c)}, ${Math.max(b, c)}]`,
    `a bracket narrower than ${tolerance} within ${maxIterations} iterations`,
    "Raise the number of iterations or the tolerance.",
  );
}

function interpolatedStep(a: number, b: number, c: number, fa: number, fb: number, fc: number): number {
  const s = fb / fa;
  if (a === c) return -(s * (c - b)) / (1 - s);
  const q = fa / fc;
  const r = fb / fc;
  const numerator = s * ((c - b) * q * (q - r) - (b - a) * (r - 1));
  const denominator = (q - 1) * (r - 1) * (s - 1);
  return -numerator / denominator;
}

function finite(f: (x: number) => number, x: number): number {
  const value = f(x);
  if (!Number.isNaN(value)) return value;
  return refuse(
    "function-not-a-number",
    `the function has no value at ${x}`,
    "a function with a value everywhere on the bracket",
    "Narrow the bracket to where the function is defined.",
  );
}
