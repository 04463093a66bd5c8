/**
 * The one shape of an error or notice. An error is data first (code, where, found, allowed, mend);
 * the shells choose its form. Three kinds and no fourth:
 *   refusal  the user's input; always mendable; never a stack trace
 *   notice   the result stands, with this caveat; it travels inside the result
 *   defect   our fault; any other thrown value
 */

/** Where in a user's file (or command line) a fault lies. Line and column count from 1. */
export interface Place {
  readonly file?: string;
  readonly line?: number;
  readonly column?: number;
  /** Number of characters the caret underlines. */
  readonly length?: number;
  /** The user's own line, without its line end. */
  readonly sourceLine?: string;
  /** Path of the field, as `drive.stages[1].efficiency`. */
  readonly field?: string;
}

/** A fault of the user's input. */
export interface Fault {
  readonly code: string;
  readonly where: Place;
  /** What was found: "1.3 is not between 0 and 1". */
  readonly found: string;
  /** What is allowed, and why: "An efficiency is the share of power passed on." */
  readonly allowed: string;
  /** How to mend it: 'Write 0.78 or "78 %".' */
  readonly mend: string;
  /** A near name from the permitted set, if there is one. */
  readonly near?: string;
}

/** A caveat that travels inside a result. */
export interface Notice {
  readonly code: string;
  readonly text: string;
  readonly field?: string;
}

/** Thrown for unusable input; carries every fault found, not the first only. */
export class Refusal extends Error {
  override readonly name = "Refusal";
  readonly faults: readonly Fault[];
  constructor(faults: readonly Fault[]) {
    super(faults.map((fault) => `${fault.where.field ?? ""} ${fault.found}`.trim()).join("; "));
    this.faults = faults;
  }
}

/** Refuses with one fault that has no place in a file yet; a reader adds the place. */
export function refuse(code: string, found: string, allowed: string, mend: string, near?: string): never {
  throw new Refusal([{ code, where: {}, found, allowed, mend, ...(near === undefined ? {} : { near }) }]);
}
