/** The three states of a condition of ignition, as the facts of question 8 are made. */
import type { Fact } from "../physics/oxygen/index.js";

export const present = (words: string): Fact => ({ state: "present", words });
export const absent = (words: string, word: string): Fact => ({ state: "absent", words, word });
export const open = (needs: readonly string[]): Fact => ({ state: "open", needs });
export const byCalculation = "by calculation";

/** Present where any of them is, absent where all are, else open. */
export function anyOf(facts: readonly Fact[]): Fact {
  const found = facts.find(({ state }) => state === "present");
  if (found !== undefined) return found;
  const needs = facts.flatMap((fact) => (fact.state === "open" ? fact.needs : []));
  if (needs.length > 0) return open([...new Set(needs)]);
  const gone = facts.flatMap((fact) => (fact.state === "absent" ? [fact] : []));
  const joined = (texts: readonly string[]) => [...new Set(texts)].join("; ");
  return absent(joined(gone.map(({ words }) => words)), joined(gone.map(({ word }) => word)));
}
