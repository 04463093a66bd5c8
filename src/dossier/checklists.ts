/**
 * The checklists that the checks are held against: what a designer considers for such a valve, and how
 * such valves fail. Each check's definition declares by id what of them it serves.
 */
import designChecksFile from "../../data/checklists/design-checks.json" with { type: "json" };
import failureModesFile from "../../data/checklists/failure-modes.json" with { type: "json" };

/** Id of a consideration: one that is not on the list does not compile. */
export type DesignCheckId = keyof typeof designChecksFile.checks;
/** Id of a failure mode. */
export type FailureModeId = keyof typeof failureModesFile.modes;

/** One consideration. */
export interface DesignCheck {
  readonly topic: string;
  readonly name: string;
  readonly criterion: string;
  readonly source: string;
}

/** What stands beside the checks, or in place of one that is missing. */
export interface Instead {
  /** A row of the register that a check makes; a caution of a question; only a row that people write themselves. */
  readonly kind: string;
  /** Whose row: id of the check. */
  readonly check?: string | undefined;
  /** Whose caution: id of the question. */
  readonly question?: string | undefined;
}

/** One way to fail. */
export interface FailureMode {
  readonly name: string;
  readonly mechanism: string;
  readonly source: string;
  /** What no check computes of it. */
  readonly leaves?: string;
  readonly instead?: readonly Instead[];
}

/** The considerations by id, topic by topic. */
export const designChecks: Readonly<Record<DesignCheckId, DesignCheck>> = designChecksFile.checks;
/** The failure modes by id. */
export const failureModes: Readonly<Record<FailureModeId, FailureMode>> = failureModesFile.modes;
