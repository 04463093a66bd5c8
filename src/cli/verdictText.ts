/** A verdict on a page: a shape, the word, and on a terminal a colour that says the same. */
import type { Verdict } from "../question/index.js";
import { coloured, type Page, padded } from "./page.js";

/** Full, half full, crossed, empty. */
const looks: Readonly<
  Record<Verdict, { readonly mark: string; readonly plain: string; readonly colour: number }>
> = {
  holds: { mark: "●", plain: "+", colour: 96 },
  thin: { mark: "◐", plain: "~", colour: 93 },
  fails: { mark: "✕", plain: "x", colour: 91 },
  "not known": { mark: "○", plain: "?", colour: 37 },
};

/** Cells of the longest verdict with its shape. */
export const verdictWidth = "○ not known".length;

/** A verdict, padded to the same width for all. */
export function verdictText(page: Page, verdict: Verdict): string {
  const { mark, plain, colour } = looks[verdict];
  return coloured(page, padded(`${page.unicode ? mark : plain} ${verdict}`, verdictWidth), colour);
}
