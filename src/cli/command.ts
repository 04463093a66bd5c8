/**
 * What a command is. To add one:
 *   1. Write src/cli/<command>.ts that exports one `Command`: parse, read through `host`, call one
 *      function of the core, say how its result reads as text, give the exit status.
 *   2. Add its line to the list in commands.ts.
 *   3. Write docs/command-line.md anew (tools/commandLinePage.ts; a test holds the two together), and
 *      test the built program: good input, bad input, status, JSON.
 *
 * Exit status, the same for all: 0 every check holds, 1 a check fails, is thin or is not known,
 * 2 the input cannot be used, 3 a defect of the program, 130 interrupted.
 */
import type { Fault } from "../fault/index.js";
import type { BlockRunner } from "../predict/index.js";
import type { Page } from "./page.js";
import type { ProgressLine } from "./progress.js";

export interface Argument {
  /** As in the help: "<folder>". */
  readonly flags: string;
  readonly description: string;
  /** May be given several times. */
  readonly isRepeated?: true;
}

export interface Example {
  readonly command: string;
  readonly says: string;
}

export interface Command {
  readonly name: string;
  /** One line for the list of commands. */
  readonly summary: string;
  /** Paragraphs of the command's own help. */
  readonly details: readonly string[];
  readonly arguments: readonly Argument[];
  readonly options: readonly Argument[];
  readonly examples: readonly Example[];
  readonly act: (input: Input, desk: Desk) => Promise<Outcome>;
}

/** What was typed. */
export interface Input {
  readonly arguments: readonly string[];
  /** As commander keeps them; read through options.ts. */
  readonly options: Readonly<Record<string, unknown>>;
}

/** What a command works with. */
export interface Desk {
  /** Aborts when the user interrupts; nothing is written after that. */
  readonly signal: AbortSignal;
  readonly progress: ProgressLine;
  /** Runs the blocks of a prediction on worker threads. */
  readonly run: BlockRunner;
  /**
   * Prints what is known already, ahead of the rest.
   * @returns whether it was printed: with --json and --quiet nothing is, and the text of the outcome is the whole
   */
  readonly early: (text: (page: Page) => string) => boolean;
  /** Lets what waits for this thread go on. */
  readonly pause: () => Promise<void>;
}

/** What a command found. Text and JSON print the same record. */
export interface Outcome {
  readonly status: 0 | 1 | 2;
  /** Stable shape; numbers SI, names ending in the unit where no dimension stands beside them. */
  readonly result: unknown;
  /** Faults of the input that did not keep the command from a result. */
  readonly faults?: readonly Fault[];
  readonly text: (page: Page) => string;
  /** Text that is the product itself: printed as it is, unless the JSON record is asked for. */
  readonly product?: string;
}
