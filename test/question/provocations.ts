/** Runs a table of provocations: what each check says once a few values are changed. */
import { expect, it } from "vitest";
import type { Answer } from "../../src/question/index.js";
import { checkNamed, type Edits } from "./answering.js";

/** One change of the valve file and what becomes of a check. */
export interface Provocation {
  readonly id: string;
  readonly verdict: "holds" | "thin" | "fails" | "not known";
  readonly edits: Edits;
  /** What the check that is not known asks for. */
  readonly needs?: string;
}

/** One test for each. @param ask  answers with some values changed */
export function itProvokes(
  ask: (edits: Edits) => Promise<readonly Answer[]>,
  provocations: readonly Provocation[],
): void {
  it.each(provocations)("$id: $verdict with $edits", async ({ id, verdict, edits, needs }) => {
    const check = checkNamed(await ask(edits), id);
    expect(check.verdict).toBe(verdict);
    if (needs !== undefined) expect(check.kind === "unknown" ? check.needs : []).toContain(needs);
  });
}
