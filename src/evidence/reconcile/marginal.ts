/**
 * What a history adds to -2 log posterior once the size of its model discrepancy is integrated out:
 *
 *   (nu + N) log(1 + S/nu)
 *
 * S the sum of squares over independent stretches. Derived in docs/theory/reconciliation.md; the multivariate t law
 * [gelman-2013, sec. 3.2 and appendix A].
 */

/** Independent stretches of a stroke, N. */
export const independentStretches = 12;
/** Degrees of freedom of the law of the discrepancy's size: known within a third or so, our choice. */
export const sizeFreedom = 12;

export function marginal(square: number): number {
  return (sizeFreedom + independentStretches) * Math.log1p(square / sizeFreedom);
}

/** Derivative to S. */
export function marginalSlope(square: number): number {
  return (sizeFreedom + independentStretches) / (sizeFreedom + square);
}
