/** The law of a declared uncertainty, and where a declared value comes from. */

/**
 * Probability law of a declared value, all numbers in SI of the value's dimension.
 *   exact       no spread declared
 *   normal      parent law with `mean` and `deviation`, cut at `low` and `high` (-Infinity, Infinity allowed)
 *   uniform     even between `low` and `high`
 *   triangular  peak at `mode`, zero at `low` and `high`
 */
export type Law =
  | { readonly kind: "exact" }
  | {
      readonly kind: "normal";
      readonly mean: number;
      readonly deviation: number;
      readonly low: number;
      readonly high: number;
    }
  | { readonly kind: "uniform"; readonly low: number; readonly high: number }
  | { readonly kind: "triangular"; readonly low: number; readonly mode: number; readonly high: number };

/** Where a value comes from. */
export const origins = [
  "assumed",
  "catalogue",
  "drawing",
  "measured",
  "fitted",
  "standard",
  "default",
] as const;
export type Origin = (typeof origins)[number];

/**
 * Outer bounds of a law: no value outside them can be drawn.
 *
 * @param law    the law, SI
 * @param value  the nominal value, the only one an exact law allows, SI
 * @returns      lowest and highest value, SI; infinite where the law is unbounded
 */
export function lawInterval(law: Law, value: number): { readonly low: number; readonly high: number } {
  return law.kind === "exact" ? { low: value, high: value } : { low: law.low, high: law.high };
}

/** Standard deviation of a law, in SI; that of the parent where it is cut [gum-2008, 4.3.7 and 4.3.9]. */
export function lawDeviation(law: Law): number {
  switch (law.kind) {
    case "exact":
      return 0;
    case "normal":
      return law.deviation;
    case "uniform":
      return (law.high - law.low) / Math.sqrt(12);
    case "triangular": {
      const { low, mode, high } = law;
      return Math.sqrt((low * low + mode * mode + high * high - low * mode - low * high - mode * high) / 18);
    }
  }
}
