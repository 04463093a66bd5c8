/**
 * The edits of the files of a dossier, without limit: each keeps what it cut out and put in, so that a
 * thousand of them take less room than the file.
 */

/** One edit of one file. */
export interface Edit {
  readonly file: string;
  /** Offset of what differs, what stood there and what stands there now. */
  readonly at: number;
  readonly cut: string;
  readonly put: string;
  /** What was edited, for the list of edits. */
  readonly words: string;
  /** Edits of one gesture, as the drag of a slider or a variant of several files, are undone together. */
  readonly gesture: string;
}

/** What was done, and what was undone since; the newest last in both. */
export interface History {
  readonly done: readonly Edit[];
  readonly undone: readonly Edit[];
}

/** Texts by path. */
export type Files = Readonly<Record<string, string>>;

export const noHistory: History = { done: [], undone: [] };

/** The difference of two texts as one cut. */
export function editBetween(
  file: string,
  before: string,
  after: string,
  words: string,
  gesture: string,
): Edit {
  const shorter = Math.min(before.length, after.length);
  let at = 0;
  while (at < shorter && before[at] === after[at]) at++;
  let tail = 0;
  while (tail < shorter - at && before.at(-1 - tail) === after.at(-1 - tail)) tail++;
  const cut = before.slice(at, before.length - tail);
  const put = after.slice(at, after.length - tail);
  return { file, at, cut, put, words, gesture };
}

/** A history with one more edit; what was undone before is gone. An edit of the same gesture joins the last one. */
export function withEdit(history: History, files: Files, edit: Edit): History {
  const last = history.done.at(-1);
  if (last === undefined || last.gesture !== edit.gesture || last.file !== edit.file)
    return { done: [...history.done, edit], undone: [] };
  const now = files[edit.file] ?? "";
  const joined = editBetween(edit.file, reversed(now, last), applied(now, edit), edit.words, edit.gesture);
  return { done: [...history.done.slice(0, -1), joined], undone: [] };
}

/** The files one gesture earlier, or undefined where nothing was done. */
export function undo(
  history: History,
  files: Files,
): { readonly history: History; readonly files: Files } | undefined {
  const gesture = history.done.at(-1)?.gesture;
  if (gesture === undefined) return undefined;
  const first = history.done.findLastIndex((edit) => edit.gesture !== gesture) + 1;
  const taken = history.done.slice(first).toReversed();
  return {
    history: { done: history.done.slice(0, first), undone: [...history.undone, ...taken] },
    files: filesWith(files, taken, reversed),
  };
}

/** The files with the gesture that was undone last, or undefined where nothing was. */
export function redo(
  history: History,
  files: Files,
): { readonly history: History; readonly files: Files } | undefined {
  const gesture = history.undone.at(-1)?.gesture;
  if (gesture === undefined) return undefined;
  const first = history.undone.findLastIndex((edit) => edit.gesture !== gesture) + 1;
  const taken = history.undone.slice(first).toReversed();
  return {
    history: { done: [...history.done, ...taken], undone: history.undone.slice(0, first) },
    files: filesWith(files, taken, applied),
  };
}

function filesWith(
  files: Files,
  edits: readonly Edit[],
  change: (text: string, edit: Edit) => string,
): Files {
  const changed: Record<string, string> = { ...files };
  for (const edit of edits) changed[edit.file] = change(changed[edit.file] ?? "", edit);
  return changed;
}

/** A text with an edit. */
export function applied(text: string, { at, cut, put }: Edit): string {
  return text.slice(0, at) + put + text.slice(at + cut.length);
}

function reversed(text: string, { at, cut, put }: Edit): string {
  return text.slice(0, at) + cut + text.slice(at + put.length);
}
