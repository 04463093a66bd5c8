/** What a rule between fields can find. */
import type { Place } from "../fault/index.js";
import type { ValveFile } from "./schema.js";

/** Two fields that contradict each other, or a name that does not exist. */
export interface Contradiction {
  readonly kind: "fault";
  readonly code: string;
  /** The field under which the fault is shown. */
  readonly path: string;
  /** Fields that cannot be relied on and become not known. */
  readonly notKnown: readonly string[];
  readonly found: string;
  readonly allowed: string;
  readonly mend: string;
  readonly near?: string;
}

/** Something unusual that may well be meant. */
export interface Oddity {
  readonly kind: "notice";
  readonly code: string;
  readonly path: string;
  readonly text: string;
}

/** Fields that lose their meaning by a fault that is reported elsewhere. */
export interface Consequence {
  readonly kind: "consequence";
  readonly notKnown: readonly string[];
}

export type Finding = Contradiction | Oddity | Consequence;
/** A rule between fields. Fields with a fault of their own are undefined, and their path is in `places`. */
export type Rule = (valve: ValveFile, places: ReadonlyMap<string, Place>) => readonly Finding[];
