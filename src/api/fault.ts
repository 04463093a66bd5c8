/** What is wrong with an input, and what a result is to be read with. */
import { faultText as linesOf, Refusal } from "../fault/index.js";

/** Where in a file something stands. Lines and columns count from 1. */
export interface Place {
  readonly file?: string;
  readonly line?: number;
  readonly column?: number;
  /** The line as it was written. */
  readonly sourceLine?: string;
  /** Path of the field, as `drive.stages[1].efficiency`. */
  readonly field?: string;
}

/** A fault of the input. It can always be mended by who wrote it. */
export interface Fault {
  /** Stable; docs/errors has a page for each. */
  readonly code: string;
  readonly where: Place;
  readonly found: string;
  /** What is allowed, and why. */
  readonly allowed: string;
  /** How to mend it. */
  readonly mend: string;
  /** A near name of what is allowed, where there is one. */
  readonly near?: string;
}

/** A caveat: the result stands, and is to be read with this. */
export interface Notice {
  readonly code: string;
  readonly text: string;
  readonly field?: string;
}

/** What is thrown for an input that cannot be used at all. Anything else that is thrown is a defect. */
export interface RefusedInput {
  readonly message: string;
  readonly faults: readonly Fault[];
}

/** Whether a thrown value is a refusal of the input. */
export function isRefusal(thrown: unknown): thrown is RefusedInput {
  return thrown instanceof Refusal;
}

/** A fault as the command line prints it: the place, the line with a caret, what is allowed, how to mend it. */
export function faultText(fault: Fault): string {
  return linesOf(fault);
}
