/**
 * Comparison of a prediction with a test.
 *
 *   E = S - D,   u_val = sqrt(u_num^2 + u_input^2 + u_D^2)
 *
 * Source: [asme-vv-20]. |E| <= k u_val says that the difference lies within what the two can
 * resolve; it is agreement under these conditions, and says nothing of others.
 */

export type Finding = "agrees" | "cannot tell" | "disagrees";

export interface Comparison {
  readonly definition: string;
  /** S, simulated with the nominal declared values [s]. */
  readonly predicted_s: number;
  /** D [s]. */
  readonly measured_s: number;
  /** E = S - D [s]. */
  readonly error_s: number;
  readonly numericalUncertainty_s: number;
  readonly inputUncertainty_s: number;
  readonly dataUncertainty_s: number;
  readonly validationUncertainty_s: number;
  readonly coverageFactor: number;
  readonly finding: Finding;
}

export const coverageFactor = 2;
/**
 * Where k u_val is more than this share of the measured time, agreement is worth nothing: the band
 * covers almost any test. Our choice, no source.
 */
export const uselessShare = 0.3;
/** Relative numerical uncertainty of a simulated time (bench: within 1e-4). */
export const numericalShare = 1e-4;

export function compare(
  definition: string,
  predicted_s: number,
  inputUncertainty_s: number,
  measured: { readonly value_s: number; readonly standardUncertainty_s: number },
): Comparison {
  const error = predicted_s - measured.value_s;
  const numerical = numericalShare * predicted_s;
  const validation = Math.hypot(numerical, inputUncertainty_s, measured.standardUncertainty_s);
  const reach = coverageFactor * validation;
  const isWithin = Math.abs(error) <= reach;
  const finding = !isWithin
    ? "disagrees"
    : reach > uselessShare * measured.value_s
      ? "cannot tell"
      : "agrees";
  return {
    definition,
    predicted_s,
    measured_s: measured.value_s,
    error_s: error,
    numericalUncertainty_s: numerical,
    inputUncertainty_s,
    dataUncertainty_s: measured.standardUncertainty_s,
    validationUncertainty_s: validation,
    coverageFactor,
    finding,
  };
}
