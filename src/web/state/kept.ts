/** What survives a reload of the page: edits, their history, the case and the variants, for this tab alone. */
import type { Files, History } from "./history.js";
import type { Variant, Workbench } from "./workbench.js";

interface Kept {
  readonly folder: string;
  readonly files: Files;
  /** The texts on the disk that the edits started from. */
  readonly baseTexts: Files;
  readonly history: History;
  readonly caseId: string;
  readonly variants: readonly Variant[];
}

const place = "coldturn-edits";

/** Time after which a change is kept; a page that is left before keeps it then [ms]. */
const delay = 250;
let timer: number | undefined;
let latest: Workbench | undefined;

/** Keeps the state soon: not while the answer to the change is being drawn. */
export function keepSoon(now: Workbench, before: Workbench): void {
  const { status, files, variants, base } = now;
  const isSame = files === before.files && variants === before.variants && base === before.base;
  if (status !== "open" || isSame || Object.keys(files).length === 0) return;
  latest = now;
  timer ??= window.setTimeout(keepNow, delay);
}

/** Keeps what was to be kept soon. */
export function keepNow(): void {
  clearTimeout(timer);
  timer = undefined;
  if (latest !== undefined) keepState(latest);
  latest = undefined;
}

/** Keeps the state; without room for it the page goes on, and a reload takes the files on the disk. */
function keepState({ folder, files, history, caseId, variants, base }: Workbench): void {
  const baseTexts = Object.fromEntries(Object.entries(base).map(([path, { text }]) => [path, text]));
  const kept: Kept = { folder, files, baseTexts, history, caseId, variants };
  try {
    sessionStorage.setItem(place, JSON.stringify(kept));
  } catch {
    sessionStorage.removeItem(place);
  }
}

/** What was kept of this folder, or undefined. */
export function keptState(folder: string): Kept | undefined {
  const text = sessionStorage.getItem(place);
  if (text === null) return undefined;
  // Written by keepState of the same page.
  const kept = JSON.parse(text) as Kept;
  return kept.folder === folder ? kept : undefined;
}
