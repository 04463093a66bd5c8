/**
 * The continuous path inside one integration step: start y0, end y1 and two more terms of each state,
 *
 *   y(x) = (1 - x) y0 + x (y1 + (1 - x) (e2 + x e3)),   x the share of the step, 0 to 1
 *
 * Source: continuous extension of RODAS [hairer-wanner-1996, IV.7].
 */

/** Places of the states in each of the four terms. */
export const ANGLE = 0;
export const SPEED = 1;
export const CURRENT = 2;
export const states = 3;
/** Numbers that describe the path: y0, y1, e2, e3 of each state. */
export const pathWidth = 4 * states;

type State = typeof ANGLE | typeof SPEED | typeof CURRENT;

/** A state at a share of the step. @param from place of the path in a longer buffer */
export function along(path: Float64Array, state: State, share: number, from = 0): number {
  const p = from + state;
  const y0 = path[p] as number;
  const y1 = path[p + states] as number;
  const e2 = path[p + 2 * states] as number;
  const e3 = path[p + 3 * states] as number;
  const rest = 1 - share;
  return rest * y0 + share * (y1 + rest * (e2 + share * e3));
}

/** Iterations, and change of the share, at which a crossing is found. */
const crossingIterations = 60;
const crossingWidth = 1e-14;

/**
 * Share of the step at which a state passes to the side of a value on which it lies at `high`; `low` if
 * it lies on that side or on the value itself there. Newton's iteration on the cubic, kept in its bracket by halving.
 */
export function crossing(path: Float64Array, state: State, value: number, high = 1, low = 0): number {
  const y0 = path[state] as number;
  const y1 = path[state + states] as number;
  const e2 = path[state + 2 * states] as number;
  const e3 = path[state + 3 * states] as number;
  const start = (low === 0 ? y0 : along(path, state, low)) - value;
  const end = along(path, state, high) - value;
  if (start === 0 || (start > 0 && end > 0) || (start < 0 && end < 0)) return low;
  let a = low;
  let b = high;
  let x = low + ((high - low) * start) / (start - end);
  for (let n = 0; n < crossingIterations; n++) {
    const rest = 1 - x;
    const bend = e2 + x * e3;
    const y = rest * y0 + x * (y1 + rest * bend) - value;
    if (y === 0) return x;
    if (y > 0 === end > 0) b = x;
    else a = x;
    let next = x - y / (y1 - y0 + (1 - 2 * x) * bend + x * rest * e3);
    if (!(next > a && next < b)) next = 0.5 * (a + b);
    if (Math.abs(next - x) <= crossingWidth) return next;
    x = next;
  }
  return b;
}

/**
 * Share of the step at which a state is greatest (sense 1) or least (sense -1) between its ends, or 1
 * where the step has no such turn inside.
 */
export function turn(path: Float64Array, state: State, sense: 1 | -1): number {
  const rise = (path[state + states] as number) - (path[state] as number);
  const e2 = path[state + 2 * states] as number;
  const e3 = path[state + 3 * states] as number;
  const slope = rise + e2;
  if (sense * slope <= 0 || sense * (rise - e2 - e3) >= 0) return 1;
  // The slope is slope + 2 half x - 3 e3 x^2; its root between by the form in which nothing cancels.
  const half = e3 - e2;
  const root = sense * Math.sqrt(half * half + 3 * e3 * slope);
  const share = sense * half > 0 ? (half + root) / (3 * e3) : slope / (root - half);
  return Math.min(Math.max(share, 0), 1);
}
