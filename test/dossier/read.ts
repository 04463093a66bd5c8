/** What the tests of this folder share. */
import { type DossierRead, readDossier } from "../../src/dossier/index.js";

export function readValve(text: string): DossierRead {
  return readDossier({ valve: { path: "valve.yaml", text } });
}

/** The lines in which two texts differ, between their common beginning and end. */
export function changedLines(
  before: string,
  after: string,
): { readonly before: readonly string[]; readonly after: readonly string[] } {
  const old = before.split("\n");
  const next = after.split("\n");
  let head = 0;
  while (head < Math.min(old.length, next.length) && old[head] === next[head]) head += 1;
  let tail = 0;
  const shortest = Math.min(old.length, next.length) - head;
  while (tail < shortest && old.at(-1 - tail) === next.at(-1 - tail)) tail += 1;
  return { before: old.slice(head, old.length - tail), after: next.slice(head, next.length - tail) };
}
