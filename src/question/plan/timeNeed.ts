/** How well the opening time must be measured, so that the test can say whether the margin to its limit is there. */
import { coverageFactor, numericalShare, type SealedPrediction, uselessShare } from "../../evidence/index.js";
import { formatQuantity } from "../../quantity/index.js";
import type { Context } from "../context.js";
import { definitionLabel } from "../definition.js";
import type { ExpectedValue } from "./expected.js";
import { dataUncertainty, shareOfInputs } from "./sampling.js";

/** What is asked of the time of a stroke; times in s. */
export interface TimeNeed {
  readonly definition: string;
  /** Standard uncertainty that the measured time may have at most. */
  readonly data_s: number;
  /** With more than this the validation uncertainty passes the margin; undefined where the inputs alone do, or there is no margin. */
  readonly largest_s: number | undefined;
  /** Standard uncertainty of the predicted time by its inputs. */
  readonly inputs_s: number;
  readonly margin_s: number | undefined;
  readonly words: string;
}

/** Ends of a central band of 95 % of a normal law lie so many standard deviations from its middle. */
const bandDeviations = 1.96;

/** Standard uncertainty that a band stands for. */
export function uncertaintyOf({ low, high }: { readonly low: number; readonly high: number }): number {
  return (high - low) / (2 * bandDeviations);
}

/**
 * What the time of the opening must be measured to; undefined where it has no band.
 * @param seal  of this case, if one holds for the files as they are
 */
export function timeNeed(
  context: Context,
  values: readonly ExpectedValue[],
  seal: SealedPrediction | undefined,
): TimeNeed | undefined {
  const { definition } = context.prediction;
  const time = values.find(({ id }) => id === `opening:${definition}`);
  if (time?.value === undefined || time.band === undefined) return undefined;
  const { value, band } = time;
  const inputs_s = seal?.opening.inputUncertainty_s[definition] ?? uncertaintyOf(band);
  const limit = context.duty.open_within?.time?.value;
  const margin_s = limit === undefined ? undefined : limit - value;
  const useful = uselessShare * value;
  const reach = margin_s === undefined ? useful : Math.min(margin_s, useful);
  const largest_s = dataUncertainty(reach, coverageFactor, inputs_s, numericalShare * value);
  const third = shareOfInputs * inputs_s;
  const data_s = largest_s === undefined ? third : Math.min(largest_s, third);
  const ms = (seconds: number) => formatQuantity(seconds, "time", { unit: "ms", digits: 2 });
  const isMargin = margin_s !== undefined && margin_s <= useful;
  const against = isMargin
    ? `the margin of ${ms(reach)} to duty.open_within.time`
    : `${Math.round(100 * uselessShare)} % of the time, ${ms(reach)}, beyond which agreement says nothing`;
  const bound =
    margin_s !== undefined && margin_s <= 0
      ? "the predicted time does not meet its limit: no measurement shows a margin"
      : largest_s === undefined
        ? `the inputs alone leave ${coverageFactor} x ${ms(inputs_s)}, more than ${against}: the test cannot decide it, however well it is measured`
        : `${coverageFactor} u_val stays within ${against} up to u = ${ms(largest_s)}`;
  return {
    definition,
    data_s,
    largest_s,
    inputs_s,
    margin_s,
    words: `time ${definitionLabel(definition)}: u at most ${ms(data_s)}, a third of the ${ms(inputs_s)} by the inputs; ${bound}`,
  };
}
