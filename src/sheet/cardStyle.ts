/** The look of the cards: A4, black on white, boxes and lines for a pen, nothing told by colour. */
import { type Markup, trusted } from "./markup.js";
import { pageFoot } from "./pageFoot.js";

/** The style element. @param title stands at the foot of every printed page */
export function cardStyle(title: string): Markup {
  return trusted(
    `<style>\n${[text, blocks, tables, pens, paper, pageFoot(title, "A4", "9mm 11mm 12mm")].join("\n")}\n</style>`,
  );
}

const text = `*{box-sizing:border-box}
:root{color-scheme:light}
body{margin:0 auto;max-inline-size:210mm;background:#fff;color:#000;font:8pt/1.25 'Segoe UI','Helvetica Neue','Liberation Sans',Arial,'DejaVu Sans',sans-serif;font-variant-numeric:tabular-nums;overflow-wrap:break-word}
code{font:.88em/1.35 ui-monospace,'Cascadia Mono','Liberation Mono','DejaVu Sans Mono',monospace;overflow-wrap:anywhere}
.typed{margin:.3em 0;padding:.3em .6em;border:1px solid #000;columns:2}
.typed p{margin:0}
h1{font-size:13.5pt;line-height:1.15;margin:.1em 0 .2em;text-wrap:balance}
h2{font-size:8.5pt;margin:.35em 0 .05em;padding-block-start:.1em;border-block-start:1.2pt solid #000;text-transform:none}
p{margin:.2em 0}
.note{font-size:7pt;color:#333}`;

const blocks = `.card{padding:10mm 12mm}
.card+.card{border-block-start:1px dashed #000}
.kind{display:flex;flex-wrap:wrap;align-items:baseline;gap:.3em .8em;margin:0;font-size:10pt;font-weight:700}
.stage{border:1.4pt solid #000;padding:.05em .5em}
.state{margin-inline-start:auto;padding:.05em .5em;border:1.4pt solid #000}
.state.made{background:#000;color:#fff}
.state.waiting{border-style:dashed}
.seal{border:1pt solid #000;padding:.25em .6em}
.two{display:grid;grid-template-columns:minmax(0,5fr) minmax(0,7fr);gap:0 6mm}
dl{display:grid;grid-template-columns:auto minmax(0,1fr);gap:0 .8em;margin:.1em 0}
dt{color:#333}
dd{margin:0;font-weight:600}
ul{margin:.1em 0;padding-inline-start:1.1em}
li{margin-block:.04em}
.boxes{list-style:none;padding:0}
ul.boxes:not(.columns){font-size:7.5pt}
.boxes li{padding-inline-start:1.5em;text-indent:-1.5em}
.columns{columns:2;column-gap:6mm}
.dense{columns:2;column-gap:6mm;font-size:7.5pt}
.small{columns:3;column-gap:5mm;font-size:7pt;line-height:1.2}`;

const tables = `table{border-collapse:collapse;inline-size:100%;font-size:7.5pt;line-height:1.2}
th,td{text-align:start;vertical-align:top;padding:.12em .6em .06em 0;border-block-end:.5pt solid #888;font-weight:400}
thead th{color:#333;font-size:7pt;border-block-end-color:#000}
td:last-child,th:last-child{padding-inline-end:0}
.filled td:first-child{inline-size:33%}
.filled td:last-child{inline-size:26mm}
.instruments td:last-child{inline-size:40mm}`;

const pens = `.box{display:inline-block;inline-size:.95em;block-size:.95em;margin-inline-end:.35em;border:1pt solid #000;font-size:1em;line-height:0;text-indent:0;color:transparent;overflow:hidden;vertical-align:-.1em}
.box.on{background:linear-gradient(45deg,transparent 44%,#000 44% 56%,transparent 56%),linear-gradient(-45deg,transparent 44%,#000 44% 56%,transparent 56%)}
.blank{display:block;block-size:1em}
.filled td:last-child{border-inline-start:.5pt solid #888}
.lines{list-style:none;display:grid;grid-template-columns:2fr 3fr 3fr;gap:0 5mm;padding:0;margin:2.2mm 0 0}
.lines li{block-size:8mm;border-block-end:1pt solid #000;color:#333;font-size:7pt}`;

const paper = `@media print{
*{print-color-adjust:exact}
body{max-inline-size:none}
.card{padding:0}
.card+.card{border:0;break-before:page}
h2,thead{break-after:avoid}
tr,li,.lines,dl{break-inside:avoid}
}`;
