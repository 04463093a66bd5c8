/** Refusals of values outside their physical domain; a comparison with NaN fails and so refuses. */
import { refuse } from "../../fault/index.js";

/** Refuses a value that is not finite and above zero. `why` is a sentence on the quantity. */
export function requirePositive(value: number, what: string, unit: string, why: string): void {
  if (value > 0 && value < Number.POSITIVE_INFINITY) return;
  refuse(
    "impossible-value",
    `${what} is ${value} ${unit}`,
    `${what} must be above 0 ${unit}. ${why}`,
    `Give ${what} as a positive value in ${unit} or a unit that converts to it.`,
  );
}

/** Refuses a value that is not finite and at least zero. `why` is a sentence on the quantity. */
export function requireNotNegative(value: number, what: string, unit: string, why: string): void {
  if (value >= 0 && value < Number.POSITIVE_INFINITY) return;
  refuse(
    "impossible-value",
    `${what} is ${value} ${unit}`,
    `${what} must be 0 ${unit} or more. ${why}`,
    `Give ${what} as zero or a positive value.`,
  );
}

/** Refuses a share that is not above zero and at most one. */
export function requireShare(value: number, what: string, why: string): void {
  if (value > 0 && value <= 1) return;
  refuse(
    "impossible-value",
    `${what} is ${value}`,
    `${what} must lie above 0 and not above 1. ${why}`,
    `Write ${what} as a number such as 0.8.`,
  );
}
