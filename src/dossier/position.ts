/** Places in a file's text: from offsets to line, column, source line and caret. */
import type { Place } from "../fault/index.js";

/** Finds places in one file. */
export interface Locator {
  /**
   * @param start  offset of the first character, from 0
   * @param end    offset behind the last character; the caret stops at the end of the line
   * @param field  path of the field, if it is one
   */
  readonly place: (start: number, end: number, field?: string) => Place;
}

/** A locator for a file's text. Lines end with a line feed, with or without a carriage return. */
export function locator(file: string, text: string): Locator {
  const starts = [0];
  for (let at = text.indexOf("\n"); at >= 0; at = text.indexOf("\n", at + 1)) starts.push(at + 1);

  const lineOf = (offset: number): number => {
    let low = 0;
    let high = starts.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if ((starts[middle] ?? 0) <= offset) low = middle;
      else high = middle - 1;
    }
    return low;
  };

  return {
    place: (start, end, field) => {
      const from = Math.min(Math.max(start, 0), text.length);
      const line = lineOf(from);
      const lineStart = starts[line] ?? 0;
      const lineEnd = text.indexOf("\n", lineStart);
      const sourceLine = text.slice(lineStart, lineEnd < 0 ? text.length : lineEnd).replace(/\r$/, "");
      const column = from - lineStart;
      const length = Math.max(1, Math.min(end, lineStart + sourceLine.length) - from);
      return {
        file,
        line: line + 1,
        column: column + 1,
        length,
        sourceLine,
        ...(field === undefined ? {} : { field }),
      };
    },
  };
}
