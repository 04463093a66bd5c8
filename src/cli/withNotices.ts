/**
 * What every command says beside its own answer: notices of its own, an import that was broken off, so that
 * nobody misses a run without knowing why, and a file that was read as a newer form of it. Commands that print all notices of the dossier
 * (check, predict, sheet) have it among them, and the import that clears it says so itself.
 */
import type { Notice } from "../fault/index.js";
import type { OpenDossier } from "../host/index.js";
import type { Outcome } from "./command.js";
import { noticeLines } from "./faultsPage.js";
import { section } from "./page.js";

/** Of the folder as a whole, not of one answer. */
const told: ReadonlySet<string> = new Set(["import-broken-off", "format-older"]);

/** An outcome with its notices at the end of the page and in the record. */
export function withNotices(
  open: OpenDossier,
  { result, text, ...outcome }: Outcome & { readonly result: Readonly<Record<string, unknown>> },
  own: readonly Notice[] = [],
): Outcome {
  const notices = [...own, ...open.notices.filter((notice) => told.has(notice.code))];
  return {
    ...outcome,
    result: { ...result, notices },
    text: (page) => [text(page), ...section(page, "Notices", noticeLines(page, notices))].join("\n"),
  };
}
