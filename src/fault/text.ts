/** Faults and notices as plain text. The JSON form of both is the record itself. */
import type { Fault, Notice, Place } from "./fault.js";

/** Characters shown of a source line; with the line number they fit a terminal of 110 columns. */
const widestLine = 96;

/**
 * One fault as text: where, what was found, the user's own line with a caret, what is allowed and
 * why, how to mend it, a near name if there is one. Parts that are unknown are left out.
 *
 * @returns lines joined by a line feed, without a final one
 */
export function faultText(fault: Fault): string {
  const head = [placeText(fault.where), fault.where.field ?? "", fault.found].filter((part) => part !== "");
  const near = fault.near === undefined ? "" : `Did you mean "${fault.near}"?`;
  const advice = [sentence(fault.allowed), sentence(fault.mend), near].filter((part) => part !== "");
  return [head.join("  "), ...sourceLines(fault.where), advice.join(" ")]
    .filter((line) => line !== "")
    .join("\n");
}

/**
 * All faults of one reading, in the order of their place in the file, with a blank line between.
 * Faults without a place keep their order and come first.
 */
export function faultsText(faults: readonly Fault[]): string {
  const place = (fault: Fault) => fault.where;
  return [...faults]
    .sort(
      (a, b) =>
        byCode(place(a).file ?? "", place(b).file ?? "") ||
        (place(a).line ?? 0) - (place(b).line ?? 0) ||
        (place(a).column ?? 0) - (place(b).column ?? 0),
    )
    .map(faultText)
    .join("\n\n");
}

/** One notice as a line of text: `note  drive.motor.resistance  extrapolated by 12 K`. */
export function noticeText(notice: Notice): string {
  return ["note", notice.field ?? "", notice.text].filter((part) => part !== "").join("  ");
}

/** Order of two texts by code unit, the same on every machine. */
function byCode(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** `valve.yaml:14:17`, as far as it is known. */
function placeText(where: Place): string {
  const parts: (string | number)[] = [];
  if (where.file !== undefined) parts.push(where.file);
  if (where.line !== undefined) {
    parts.push(where.file === undefined ? `line ${where.line}` : where.line);
    if (where.column !== undefined) parts.push(where.column);
  }
  return parts.join(":");
}

function sourceLines(where: Place): readonly string[] {
  if (where.sourceLine === undefined || where.line === undefined) return [];
  const number = String(where.line).padStart(5);
  if (where.column === undefined) return [`${number} | ${shortened(where.sourceLine, 1).line}`.trimEnd()];
  const { line, column } = shortened(where.sourceLine, where.column);
  // Tabs stay tabs, so that the caret stands under its character at any tab width.
  const lead = line.slice(0, column - 1).replaceAll(/[^\t]/g, " ");
  const room = Math.max(1, line.length - (column - 1));
  const caret = "^".repeat(Math.min(room, Math.max(1, where.length ?? 1)));
  return [`${number} | ${line}`, `${" ".repeat(number.length)} | ${lead}${caret}`];
}

/** A line of a log can be thousands of characters: only the part about the column is shown. */
function shortened(line: string, column: number): { readonly line: string; readonly column: number } {
  if (line.length <= widestLine) return { line, column };
  const start = Math.max(0, Math.min(column - 1 - widestLine / 2, line.length - widestLine));
  const before = start > 0 ? "..." : "";
  const after = start + widestLine < line.length ? "..." : "";
  return {
    line: `${before}${line.slice(start, start + widestLine)}${after}`,
    column: column - start + before.length,
  };
}

function sentence(text: string): string {
  const trimmed = text.trim();
  return trimmed === "" || /[.?!]$/.test(trimmed) ? trimmed : `${trimmed}.`;
}
