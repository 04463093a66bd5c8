import type { FigureWords, Role } from "../role.js";

/** A value with its band against its limit. */
export interface KnownCheck {
  readonly kind: "known";
  readonly label: string;
  readonly unit: string;
  readonly value: number;
  readonly low?: number;
  readonly high?: number;
  readonly limit: number;
  readonly allowed: "at most" | "at least";
  /** The finding as one or two words; its role decides the colour and shape. */
  readonly verdict: string;
  readonly role: Role;
  /** Value, band and limit as printed beside the row ("41 ms, at most 50 ms"); made from the numbers unless given. */
  readonly numbers?: string;
  /** What counts as 100 % on the margin axis, in the check's unit; |limit| unless given, which must then not be 0. */
  readonly scale?: number;
}

/** A check whose value could not be had, and why. */
export interface UnknownCheck {
  readonly kind: "unknown";
  readonly label: string;
  readonly verdict: string;
  readonly reason: string;
}

/** One row of an interval figure. */
export type CheckRow = KnownCheck | UnknownCheck;

/**
 * A list of checks on one common axis: the margin to the limit as a share of the limit,
 *   at most:  (limit - value) / scale,   at least:  (value - limit) / scale,
 * so that every check holds to the right of the same line, whatever its unit.
 */
export interface IntervalFigure extends FigureWords {
  readonly kind: "interval";
  readonly checks: readonly CheckRow[];
}
