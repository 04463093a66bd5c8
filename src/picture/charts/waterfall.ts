import type { Axis, FigureWords, Role } from "../role.js";

/** One entry of the ledger: a signed amount, with its spread if that is known. */
export interface Contribution {
  readonly label: string;
  /** Signed, in the unit of the axis. */
  readonly value: number;
  readonly low?: number;
  readonly high?: number;
}

/** A level at which the ledger starts or ends. */
export interface Level {
  readonly label: string;
  readonly value: number;
  readonly role: Role;
  readonly low?: number;
  readonly high?: number;
}

/**
 * A ledger from a start to an end through signed contributions. What they leave over,
 *   unexplained = end - start - sum(contributions),
 * is computed and drawn by the figure itself, so that no ledger can be shown that does not close.
 */
export interface WaterfallFigure extends FigureWords {
  readonly kind: "waterfall";
  readonly value: Axis;
  readonly start: Level;
  readonly contributions: readonly Contribution[];
  readonly end: Level;
  /** What an increase means: longer opening time is "worse", more margin is "better". */
  readonly increase: "better" | "worse" | "neutral";
  /** "unexplained" unless given. */
  readonly unexplainedLabel?: string;
}
