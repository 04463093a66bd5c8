/** Refusals of values outside their physical domain; a comparison with NaN fails and so refuses. */
import { refuse } from "../fault/index.js";
import type { Dimension } from "./dimension.js";
import { formatQuantity } from "./printing.js";

/** Refuses a value that is not finite and above zero. `why` is a sentence on the quantity. */
export function requirePositive(value: number, what: string, dimension: Dimension, why: string): void {
  if (value > 0 && value < Number.POSITIVE_INFINITY) return;
  refuse(
    "impossible-value",
    `${what} is ${stated(value, dimension)}`,
    `It must be above zero. ${why}`,
    `Give ${what} as a positive value.`,
  );
}

/** Refuses a value that is not finite and at least zero. `why` is a sentence on the quantity. */
export function requireNotNegative(value: number, what: string, dimension: Dimension, why: string): void {
  if (value >= 0 && value < Number.POSITIVE_INFINITY) return;
  refuse(
    "impossible-value",
    `${what} is ${stated(value, dimension)}`,
    `It must be zero or more. ${why}`,
    `Give ${what} as zero or a positive value.`,
  );
}

/** Refuses a factor below one. */
export function requireAtLeastOne(value: number, what: string, why: string): void {
  if (value >= 1 && value < Number.POSITIVE_INFINITY) return;
  refuse(
    "impossible-value",
    `${what} is ${value}`,
    `It must be 1 or more. ${why}`,
    `Write ${what} as a number such as 1.2.`,
  );
}

/** Refuses a share that is not above zero and at most one. */
export function requireShare(value: number, what: string, why: string): void {
  if (value > 0 && value <= 1) return;
  refuse(
    "impossible-value",
    `${what} is ${value}`,
    `It must lie above 0 and not above 1. ${why}`,
    `Write ${what} as a number such as 0.8.`,
  );
}

/** A value with its unit, or the word for what is no number. */
function stated(value: number, dimension: Dimension): string {
  return Number.isFinite(value) ? formatQuantity(value, dimension) : String(value);
}
