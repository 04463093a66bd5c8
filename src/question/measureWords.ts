/** What the shares behind the drivers of an answer are, in words; text, sheet and docs say the same. */
import type { Driver } from "./answer.js";

/** One sentence or two for each measure. */
export const measureWords: Readonly<Record<Driver["measure"], string>> = {
  "total effect":
    "Total effect: the share of the variance of the opening rate, 1/time, that an input takes part in; in parentheses its first effect, what would go if it alone were known. What inputs do together counts for each of them, so total effects can add up to more than 100 %.",
  "rank correlation":
    "Squared rank correlation: the share of the spread of the ranks that goes with an input. Correlated inputs are counted twice and what inputs do only together is missed, so the shares need not add up to 100 %.",
};
