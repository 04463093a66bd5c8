/** What every terminal picture shares: title, words, key, lines cut to the width. */

import type { FigureWords } from "../role.js";
import type { KeyEntry } from "../svg/heading.js";
import { inTurn, roleStyles } from "../theme.js";
import { cellsOf, clip, wrap } from "../words.js";
import { coloured, type TextManner } from "./canvas.js";
import { shownText } from "./shown.js";

/** The ellipsis the terminal can show. */
export function ellipsisOf(manner: TextManner): string {
  return manner.unicode ? "…" : "...";
}

// A picture's words take no more lines than this; the rest is in the description and on the page.
const mostWordLines = 3;

/** Title and words. */
export function textHeading(
  figure: FigureWords,
  columns: number,
  manner: TextManner,
  caption: "drawn" | "left out",
): readonly string[] {
  const ellipsis = ellipsisOf(manner);
  const title = clip(shownText(figure.title, manner), columns, cellsOf, ellipsis);
  if (caption === "left out") return [title];
  return [title, ...wrap(shownText(figure.words, manner), columns, cellsOf, mostWordLines, ellipsis)];
}

/** A key entry whose line is traced with fine dots or not. */
export interface TextKeyEntry extends Omit<KeyEntry, "sample"> {
  readonly sample: KeyEntry["sample"] | "fine";
}

const keyGap = "   ";

/** Samples with their labels, as many side by side as the width takes. */
export function textKey(
  entries: readonly TextKeyEntry[],
  columns: number,
  manner: TextManner,
): readonly string[] {
  const lines: { text: string; cells: number }[] = [];
  for (const entry of entries) {
    const sample = sampleText(entry, manner);
    const room = columns - cellsOf(sample) - 1;
    const label = clip(shownText(entry.text, manner), room, cellsOf, ellipsisOf(manner));
    const text = `${coloured(sample, entry.role, manner)} ${label}`;
    const cells = cellsOf(sample) + 1 + cellsOf(label);
    const line = lines.at(-1);
    if (line === undefined || line.cells + keyGap.length + cells > columns) lines.push({ text, cells });
    else {
      line.text += keyGap + text;
      line.cells += keyGap.length + cells;
    }
  }
  return lines.map(({ text }) => text);
}

function sampleText({ role, nth, sample }: TextKeyEntry, manner: TextManner): string {
  const style = roleStyles[role];
  const letter = inTurn(manner.unicode ? style.glyphs : style.plainGlyphs, nth);
  if (sample === "fine") return manner.unicode ? "⠒⠒⠒" : letter.repeat(3);
  if (sample === "area") return manner.unicode ? "░░░" : "...";
  if (sample === "region") return manner.unicode ? "· ·" : "/ /";
  if (sample === "solid") return manner.unicode ? "███" : "###";
  if (sample === "bead") return letter;
  return `${letter} ${letter}`;
}

/** The text with spaces behind it up to a number of cells. */
export function padEnd(text: string, cells: number): string {
  return text + " ".repeat(Math.max(0, cells - cellsOf(text)));
}

/** The text with spaces ahead of it up to a number of cells. */
export function padStart(text: string, cells: number): string {
  return " ".repeat(Math.max(0, cells - cellsOf(text))) + text;
}
