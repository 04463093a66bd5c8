/**
 * The course of one quantity inside an integration step: its values y0 and y1 at the ends and two more terms,
 *
 *   y(x) = (1 - x) y0 + x (y1 + (1 - x) (e2 + x e3)),   x the share of the step, 0 to 1
 *
 * Any quantity that is linear in the states has such a course, with the same combination of their terms.
 * Source: continuous extension of RODAS [hairer-wanner-1996, IV.7].
 */
export interface StepCurve {
  y0: number;
  y1: number;
  e2: number;
  e3: number;
}

/** Value at a share of the step. */
export function curveAt({ y0, y1, e2, e3 }: StepCurve, x: number): number {
  const rest = 1 - x;
  return rest * y0 + x * (y1 + rest * (e2 + x * e3));
}

/** Slope per step at a share of the step. */
function slopeAt({ y0, y1, e2, e3 }: StepCurve, x: number): number {
  return y1 - y0 + (1 - 2 * x) * (e2 + x * e3) + x * (1 - x) * e3;
}

/** Iterations, and change of the share, at which a crossing is found. */
const crossingIterations = 60;
const crossingWidth = 1e-14;

/**
 * Share of the step at which the quantity passes through zero to the side on which it lies at `high`; `low`
 * if it lies on that side there already. Newton's iteration, kept in its bracket by halving.
 */
export function curveZero(curve: StepCurve, high = 1, low = 0): number {
  const start = curveAt(curve, low);
  const end = curveAt(curve, high);
  if (start === 0 || (start > 0 && end > 0) || (start < 0 && end < 0)) return low;
  let a = low;
  let b = high;
  let x = low + ((high - low) * start) / (start - end);
  for (let n = 0; n < crossingIterations; n++) {
    const y = curveAt(curve, x);
    if (y === 0) return x;
    if (y > 0 === end > 0) b = x;
    else a = x;
    let next = x - y / slopeAt(curve, x);
    if (!(next > a && next < b)) next = 0.5 * (a + b);
    if (Math.abs(next - x) <= crossingWidth) return next;
    x = next;
  }
  return b;
}

/** Share at which the quantity is greatest (sense 1) or least (sense -1) between the ends; 1 where it has no such turn. */
export function curveTurn(curve: StepCurve, sense: 1 | -1): number {
  const { e2, e3 } = curve;
  const rise = curve.y1 - curve.y0;
  const slope = rise + e2;
  if (sense * slope <= 0 || sense * (rise - e2 - e3) >= 0) return 1;
  // The slope is slope + 2 half x - 3 e3 x^2; its root between by the form in which nothing cancels.
  const half = e3 - e2;
  const root = sense * Math.sqrt(half * half + 3 * e3 * slope);
  const share = sense * half > 0 ? (half + root) / (3 * e3) : slope / (root - half);
  return Math.min(Math.max(share, 0), 1);
}
