/** Faults and notices as plain text. The JSON form of both is the record itself. */
import type { Fault, Notice, Place } from "./fault.js";

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
        (place(a).file ?? "").localeCompare(place(b).file ?? "", "en") ||
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
  const quoted = `${number} | ${where.sourceLine}`;
  if (where.column === undefined) return [quoted.trimEnd()];
  // Tabs stay tabs, so that the caret stands under its character at any tab width.
  const lead = where.sourceLine.slice(0, where.column - 1).replaceAll(/[^\t]/g, " ");
  const caret = "^".repeat(Math.max(1, where.length ?? 1));
  return [quoted, `${" ".repeat(number.length)} | ${lead}${caret}`];
}

function sentence(text: string): string {
  const trimmed = text.trim();
  return trimmed === "" || /[.?!]$/.test(trimmed) ? trimmed : `${trimmed}.`;
}
