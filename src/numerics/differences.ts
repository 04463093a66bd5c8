/** Derivatives by finite differences, with steps that balance truncation against the error of f. */

/** Step of each argument, and what the derivatives are worth. */
export interface DifferenceSteps {
  readonly kind: "central" | "forward";
  /** Step over the larger of |x| and `floor` [-]. */
  readonly share: number;
  /** Least size of each x that the steps are taken from. */
  readonly floor: Float64Array;
  /** Expected relative error of the derivatives [-]. */
  readonly error: number;
}

/**
 * Steps for a function known to a relative error:
 *
 *   central  h = noise^(1/3) |x|, error noise^(2/3);   forward  h = noise^(1/2) |x|, error noise^(1/2)
 *
 * @param kind   "central" or "forward";  @param noise  relative error of the function, > 0 [-]
 * @param start  typical x;  @param scale  size of a change that matters, if known
 * Source        [gill-murray-wright-1981, 8.6.1]
 */
export function difference(
  kind: "central" | "forward",
  noise: number,
  start: ArrayLike<number>,
  scale?: ArrayLike<number>,
): DifferenceSteps {
  const floor = Float64Array.from(start, (x, j) => scale?.[j] ?? (x === 0 ? 1 : 1e-3 * Math.abs(x)));
  const central = kind === "central";
  const share = central ? Math.cbrt(noise) : Math.sqrt(noise);
  return { kind, share, floor, error: noise / share };
}

/**
 * Jacobian by differences; where one side is out of bounds (not finite), from the other alone, and
 * zero where both are.
 *
 * @param f      function;  @param x  n arguments;  @param here  f(x), m values
 * @param steps  see DifferenceSteps
 * @returns      m x n, row after row
 */
export function differenceJacobian(
  f: (x: Float64Array) => Float64Array,
  x: Float64Array,
  here: Float64Array,
  steps: DifferenceSteps,
): Float64Array {
  const n = x.length;
  const jacobian = new Float64Array(here.length * n);
  const moved = Float64Array.from(x);
  for (let j = 0; j < n; j++) {
    const middle = x[j] ?? 0;
    const h = steps.share * Math.max(Math.abs(middle), steps.floor[j] ?? 1);
    moved[j] = middle + h;
    // The step as the machine holds it, not as it was asked for.
    let above = (moved[j] ?? 0) - middle;
    let high = f(moved);
    if (!high.every(Number.isFinite)) {
      high = here;
      above = 0;
    }
    let below = 0;
    let low = here;
    if (steps.kind === "central" || above === 0) {
      moved[j] = middle - h;
      const tried = f(moved);
      if (tried.every(Number.isFinite)) {
        low = tried;
        below = middle - (moved[j] ?? 0);
      }
    }
    moved[j] = middle;
    const width = above + below;
    if (width === 0) continue;
    for (let i = 0; i < here.length; i++) jacobian[i * n + j] = ((high[i] ?? 0) - (low[i] ?? 0)) / width;
  }
  return jacobian;
}
