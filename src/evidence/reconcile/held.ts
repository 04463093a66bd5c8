/** What a test is held against: a sealed prediction, or the dossier as it is. */
import { type ProbabilityInterval, quantileOfSorted } from "../../numerics/index.js";
import { timeDefinitions } from "../../physics/motion/index.js";
import { type Band, columnIndex, valuesOf } from "../../predict/index.js";
import type { TestedCondition } from "../run/testedConditions.js";
import type { MeasuredStroke } from "./measured.js";

export interface HeldPrediction {
  /** Hash of the sealed prediction; undefined if it was not made before the test. */
  readonly sealed: string | undefined;
  /** Nominal times by definition [s]; absent where the nominal valve does not arrive. */
  readonly times_s: Readonly<Record<string, number>>;
  /** Standard uncertainty by the declared inputs, by definition [s]. */
  readonly inputUncertainty_s: Readonly<Record<string, number>>;
  /** Band of each definition [s]. */
  readonly band_s: Readonly<Record<string, { readonly low: number; readonly high: number }>>;
  readonly notArriving: ProbabilityInterval | undefined;
  /** Declared inputs that differ from those of a seal whose files have changed since; then it is history. */
  readonly changedSince?: readonly string[];
  /** Conditions of the test that were measured, and the times before they stood in; absent where none was. */
  readonly asTested?: HeldAsTested;
}

/** What a prediction was before the conditions of the test stood in it. */
export interface HeldAsTested {
  readonly conditions: readonly TestedCondition[];
  /** Nominal times at the declared conditions by definition, the sealed ones where it is sealed [s]. */
  readonly declaredTimes_s: Readonly<Record<string, number>>;
}

/** Standard uncertainty and band of every time of a band, for `HeldPrediction`. */
export function heldFromBand(
  band: Band,
  sense: MeasuredStroke["sense"],
  times_s: Readonly<Record<string, number>>,
  sealed?: string,
): HeldPrediction {
  const inputUncertainty: Record<string, number> = {};
  const interval: Record<string, { low: number; high: number }> = {};
  for (const { id } of timeDefinitions) {
    const values = valuesOf(band.rows, columnIndex(`${sense}:${id}`))
      .slice()
      .sort();
    if (values.length < 2) continue;
    // Half the central 68 %: the standard uncertainty of a normal law, and robust for the others.
    inputUncertainty[id] = (quantileOfSorted(values, 0.8413) - quantileOfSorted(values, 0.1587)) / 2;
    const side = (1 - band.coverage) / 2;
    interval[id] = { low: quantileOfSorted(values, side), high: quantileOfSorted(values, 1 - side) };
  }
  return {
    sealed,
    times_s,
    inputUncertainty_s: inputUncertainty,
    band_s: interval,
    notArriving: sense === "opening" ? band.notOpening : band.notClosing,
  };
}

/** Fields that a sentence names at most. */
const mostFields = 6;

/** Which fields differ from a seal, in words. */
export function changedFieldsWords(paths: readonly string[]): string {
  if (paths.length === 0) return "in no value with a spread";
  const rest = paths.length - mostFields;
  return `${paths.slice(0, mostFields).join(", ")}${rest > 0 ? ` and ${rest} more` : ""}`;
}

/** Why a difference from a seal of another state of the file has no ledger. */
export function changedWords(paths: readonly string[]): string {
  return `the valve file has changed since the seal (${changedFieldsWords(paths)}): the difference is not shared out`;
}
