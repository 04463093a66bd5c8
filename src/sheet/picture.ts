/** A picture on the sheet: drawn for a wide and for a narrow place, its words under it, its data one action away. */
import { drawSvg, type Figure, figureCsv } from "../picture/index.js";
import { html, type Markup, prose, trusted, visible } from "./markup.js";

/** Two of them stand side by side on a screen of 1200 px [px]. */
const half = 480;
/** One fills the column [px]. */
const whole = 720;
/** One fits a telephone, two stand side by side on paper [px]. */
const narrow = 340;
/** Kinds with a row for each entry: in half the width each row would take two lines. */
const rowKinds: ReadonlySet<Figure["kind"]> = new Set(["interval", "tornado", "waterfall", "streams"]);

/** @param id unique on the sheet; @param name of the data file, without its ending */
export function picture(figure: Figure, id: string, name: string): Markup {
  const draw = (suffix: string, width: number): Markup =>
    trusted(drawSvg({ ...figure, id: `${id}${suffix}` }, { width, caption: "left out" }));
  const isWhole = rowKinds.has(figure.kind);
  return html`<figure class="${isWhole ? "whole" : "half"}">
<div class="wide">${draw("", isWhole ? whole : half)}</div>
<div class="narrow">${draw("-narrow", narrow)}</div>
<figcaption>${prose(figure.words)} <a class="data" download="${name}.csv" href="${dataAddress(figureCsv(figure))}">Data as CSV<span class="unseen">: ${figure.title}</span></a></figcaption>
</figure>
`;
}

/** A text as an address that needs no network; what an address can hold stays as it is. */
function dataAddress(csv: string): string {
  const lines = csv.split("\n").map(visible).join("\n");
  return `data:text/csv;charset=utf-8,${encodeURIComponent(lines).replaceAll("%2C", ",")}`;
}
