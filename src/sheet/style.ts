/**
 * The look of the sheet: a name plate, a strip of twelve verdicts, each question with its number and
 * verdict in the margin. Light, dark and print; nothing is told by colour alone.
 */
import { pageColours } from "./colours.js";
import { type Markup, trusted } from "./markup.js";
import { pageFoot } from "./pageFoot.js";

/** The style element. @param title stands at the foot of every printed page */
export function styleSheet(title: string): Markup {
  return trusted(
    `<style>\n${[colours(), text, layout, marks, parts, tables, columns, narrow, paper, pageFoot(title)].join("\n")}\n</style>`,
  );
}

/** Plain light colours first, for a reader that does not know light-dark(). */
function colours(): string {
  const list = Object.entries(pageColours);
  const light = list.map(([name, colour]) => `--${name}:${colour.light}`).join(";");
  const both = list.map(([name, colour]) => `--${name}:light-dark(${colour.light},${colour.dark})`).join(";");
  return `:root{color-scheme:light dark;${light}}
@supports (color:light-dark(#000,#fff)){:root{${both}}}
.holds{--tone:var(--holds)}.thin{--tone:var(--thin)}.fails{--tone:var(--fails)}.unknown{--tone:var(--unknown)}`;
}

const text = `*{box-sizing:border-box}
html{scroll-padding-top:5rem;text-size-adjust:100%}
body{margin:0 auto;max-inline-size:78rem;padding:1.5rem clamp(1rem,4vw,3rem) 4rem;background:var(--paper);color:var(--ink);font:1.125rem/1.5 'Segoe UI','Helvetica Neue','Liberation Sans',Arial,'DejaVu Sans',sans-serif;font-variant-numeric:tabular-nums;overflow-wrap:break-word}
a{color:var(--link);text-underline-offset:.18em}
a:focus-visible,summary:focus-visible{outline:3px solid var(--link);outline-offset:3px}
:target{scroll-margin-top:5rem}

code{font:.86em/1.45 ui-monospace,'Cascadia Mono','Liberation Mono','DejaVu Sans Mono',monospace;overflow-wrap:break-word}
small{font-size:.86em;color:var(--quiet);font-weight:400}
h1,h2,h3,h4{line-height:1.2;text-wrap:balance}
h1{font-size:clamp(2rem,5vw,3.1rem);letter-spacing:-.015em;margin:.1em 0 .35em}
h2{font-size:2rem;letter-spacing:-.01em;margin:0 0 1.25rem}
h3{font-size:1.3rem;margin:2rem 0 .5rem}
h4{font-size:1.125rem;margin:2rem 0 .5rem}
p{max-inline-size:70ch;margin:.5rem 0}
.unseen{position:absolute;inline-size:1px;block-size:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.skip a{position:absolute;inset-block-start:-8rem;background:var(--ink);color:var(--paper);padding:.6rem 1rem;z-index:3}
.skip a:focus{inset-block-start:.5rem}`;

const layout = `.head{display:grid;grid-template-columns:minmax(0,1fr) minmax(17rem,auto);gap:1rem 3rem;align-items:start}
.kind{margin:0;color:var(--quiet)}
.plate{margin:0;padding:1.4rem 2rem;display:grid;gap:.6rem;border:2px solid var(--ink);border-radius:1rem;background:radial-gradient(circle at .8rem .8rem,var(--quiet) .17rem,transparent .2rem),radial-gradient(circle at calc(100% - .8rem) .8rem,var(--quiet) .17rem,transparent .2rem),radial-gradient(circle at .8rem calc(100% - .8rem),var(--quiet) .17rem,transparent .2rem),radial-gradient(circle at calc(100% - .8rem) calc(100% - .8rem),var(--quiet) .17rem,transparent .2rem)}
.plate div{display:grid;grid-template-columns:8rem 1fr;gap:.5rem}
.plate dt{color:var(--quiet)}
.plate dd{margin:0;font-weight:600;max-inline-size:22rem}
.standing{grid-column:1/-1;display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,24rem),1fr));gap:0 3rem}
.strip{position:sticky;inset-block-start:0;z-index:2;background:var(--paper);padding:.5rem 0;margin-block-start:1rem}
.strip ol{list-style:none;margin:0;padding:0;display:grid;grid-template-columns:repeat(12,1fr);gap:.3rem}
.strip a{display:flex;align-items:center;justify-content:center;gap:.4rem;min-block-size:2.9rem;border:2px solid var(--tone);color:var(--tone);font-weight:700;text-decoration:none}
.strip .fails{background:var(--tone);color:var(--paper)}
.strip .unknown{border-style:dashed}
.contents ul{list-style:none;display:flex;flex-wrap:wrap;gap:0 1.6rem;padding:0;margin:.5rem 0}
.contents a{display:inline-block;padding:.5rem 0}
.part{margin-block-start:3.5rem}
.part>h2{border-block-start:4px solid var(--ink);padding-block-start:.5rem}
.question{position:relative;padding:1.25rem 0 0 9rem;margin-block-start:3.5rem;border-block-start:1px solid var(--quiet)}
.question:first-of-type{margin-block-start:0;border:0;padding-block-start:.5rem}
.question>h3{position:relative;font-size:1.7rem;margin:.15rem 0 .5rem}
.margin{position:absolute;inset-inline-start:-9rem;inset-block-start:.1rem;display:grid;gap:.5rem;font-size:1.125rem;font-weight:400}
.numeral{font-size:3.4rem;line-height:.8;font-weight:300;color:var(--tone)}
.sentence{font-size:1.3rem;line-height:1.45;white-space:pre-line}`;

const marks = `.shape{inline-size:1em;block-size:1em;flex:none}
.mark{display:inline-flex;align-items:center;gap:.4em;color:var(--tone);font-weight:700;white-space:nowrap}
.meanings{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,26rem),1fr));gap:.25rem 2rem;margin:1.5rem 0 .5rem}
.meanings div{display:grid;grid-template-columns:9.5rem 1fr}
.meanings dd{margin:0}
.open{list-style:none;padding:0;margin:.5rem 0}
.open li{display:grid;grid-template-columns:9.5rem minmax(0,1fr);margin-block:.35rem}
.open .mark{align-self:start}
@media print,(min-width:60rem){.short{columns:2}}`;

const parts = `.pictures{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(100%,27rem),1fr));gap:2rem 1.5rem;margin-block:1.25rem}
figure{margin:0;min-inline-size:0}
.whole{grid-column:1/-1}
figcaption{max-inline-size:80ch;color:var(--quiet);font-size:1rem;line-height:1.4;margin-block-start:.25rem;padding-inline-start:.75rem}
.data{white-space:nowrap}
.narrow{display:none}
.drivers{list-style:none;padding:0;margin:.5rem 0}
.drivers li{display:grid;grid-template-columns:6rem minmax(0,1fr);gap:1rem;margin-block:.35rem}
.bar{block-size:.7rem;margin-block-start:.5rem;border-block-end:2px solid var(--rule)}
.bar span{display:block;block-size:100%;background:var(--link)}
.caution{margin-block:1.25rem 0;padding:.35rem 1rem .35rem 2rem;background:repeating-linear-gradient(135deg,var(--ink) 0 6px,transparent 6px 12px) 0 0/.75rem 100% no-repeat}
.caution ul{margin:0;padding-inline-start:1.2rem}
.cautions{list-style:none}
.cautions h3{margin:1rem 0 .25rem;font-size:1.125rem}
h2+p+.cautions>li:first-child>h3{margin-block-start:0}
.sources{padding-inline-start:1.2rem}
.sources li{margin-block:.4rem;max-inline-size:80ch}
.lines{list-style:none;padding:0}
.lines li{min-block-size:4rem;border-block-end:1px solid var(--ink);color:var(--quiet)}`;

const tables = `.roll{overflow-x:auto}
table{border-collapse:collapse;inline-size:100%}
caption.seen{text-align:start;font-weight:700;padding-block:.5rem .25rem}
th,td{text-align:start;vertical-align:top;padding:.4rem 1rem .4rem 0;border-block-end:1px solid var(--rule);font-weight:400;overflow-wrap:anywhere}
th:last-child,td:last-child{padding-inline-end:0}
thead th{color:var(--quiet);font-size:1rem;border-block-end:1px solid var(--quiet)}
tbody th{font-weight:600}
tbody th small,td small{display:block}
td .mark small{display:inline}
.tables{display:grid;grid-template-columns:repeat(2,minmax(0,1fr));gap:1.25rem 2rem;align-items:start}
.roll:has(>.broad){grid-column:1/-1}
.checks tbody{border-block-end:1px solid var(--rule)}
.checks tbody td,.checks tbody th{border:0}
.checks .ground td{padding-block:0 .5rem}
:is(.checks,.dense) :is(th,small,code,.needs){overflow-wrap:anywhere}
.checks td:nth-of-type(3){white-space:nowrap}
summary h3{display:inline-block;margin:1.25rem 0 .25rem}
summary{cursor:pointer;padding-block:.35rem;color:var(--quiet);inline-size:fit-content}
.ground dl{display:grid;grid-template-columns:7.5rem minmax(0,1fr);gap:.2rem 1rem;margin:.25rem 0 .5rem;max-inline-size:80ch}
.ground dt{color:var(--quiet)}
.ground dd{margin:0}
.ground ul{margin:0;padding-inline-start:1.2rem}`;

const columns = `@media print,(min-width:42.01rem){
time{white-space:nowrap}
.overview th:first-child{inline-size:26%}
.checks th:first-child{inline-size:20%}
.inputs th:first-child{inline-size:34%}
.inputs th:nth-child(2){inline-size:21%}
}`;

const narrow = `@media screen and (max-width:60rem){
.head{grid-template-columns:minmax(0,1fr)}
.plate{justify-self:start}
.question{padding-inline-start:0}
.question>h3{display:flex;flex-direction:column-reverse;gap:.6rem}
.margin{position:static;display:flex;align-items:center;gap:1rem}
.tables{grid-template-columns:minmax(0,1fr)}
}
@media screen and (min-width:42.01rem) and (max-width:60rem){
table{font-size:1rem}
th,td{padding-inline-end:.75rem}
.dense{font-size:.875rem}
.dense :is(th,td){padding-inline-end:.5rem}
}
@media screen and (max-width:42rem){
html{scroll-padding-top:1rem}
.strip{position:static}
.strip ol{grid-template-columns:repeat(auto-fit,minmax(3.25rem,1fr))}
.plate{justify-self:stretch;padding:1.4rem 1.5rem}
.plate div{grid-template-columns:1fr;gap:0}
th,td{overflow-wrap:anywhere}
table:not(.slim),:not(.slim)>:is(caption.seen,tbody),:not(.slim)>tbody>tr,:not(.slim)>tbody>tr>:is(th,td){display:block}
:not(.slim)>thead{position:absolute;inline-size:1px;block-size:1px;overflow:hidden;clip-path:inset(50%)}
:not(.slim)>tbody>tr,.checks tbody{border-block-end:1px solid var(--quiet);padding-block:.5rem}
.checks>tbody>tr{border:0;padding-block:0}
:not(.slim)>tbody>tr>:is(th,td){border:0;padding:.1rem 0}
.slim :is(th,td){padding-inline-end:.75rem}
.open li{grid-template-columns:minmax(0,1fr)}
table:not(.slim) td[data-label]{display:grid;grid-template-columns:9.25rem minmax(0,1fr);gap:0 .75rem}
table:not(.slim) td[data-label]::before{content:attr(data-label);color:var(--quiet)}
td[data-label]>*{grid-column:2}
table:not(.slim) .empty{display:none}
table.overview>tbody>tr{display:grid;grid-template-columns:minmax(0,1fr) auto;gap:.1rem 1rem}
table.overview td[data-label]{display:block}
table.overview td[data-label]::before{content:none}
.overview td:last-child{grid-column:1/-1}
.drivers li{grid-template-columns:3rem minmax(0,1fr)}
.ground dl{grid-template-columns:minmax(0,1fr);gap:0}
}
@media screen and (max-width:34rem){
.pictures .wide{display:none}
.pictures .narrow{display:block}
}`;

const paper = `@media print{
:root{color-scheme:light;--paper:#fff}
*{print-color-adjust:exact}
body{max-inline-size:none;padding:0;font-size:10pt;line-height:1.4}
html{font-size:10pt}
h1{font-size:2.4rem}
h2{font-size:1.7rem;margin-block-end:.75rem}
h3{margin-block-start:1rem}
h4{margin-block:1rem .25rem}
.strip{position:static}
.skip,.contents,.data{display:none}
a{color:inherit;text-decoration:none}
.part{margin-block-start:2rem}
.question{margin-block-start:2rem;padding:.75rem 0 0}
.question>h3{display:flex;align-items:baseline;gap:.75rem;font-size:1.5rem}
.margin{display:contents}
.numeral{order:-1;font-size:2.2rem}
.pictures{display:block;margin-block:.5rem;orphans:1;widows:1}
figure{display:inline-block;vertical-align:top;margin-block-end:1rem}
.whole svg{max-block-size:180mm!important;inline-size:auto!important}
.half{inline-size:48.5%}
.half:nth-child(odd){margin-inline-end:2%}
figure .f-paper{fill:#fff!important}
figure .s-paper{stroke:#fff!important}
.half .wide,.whole .narrow{display:none}
.half .narrow,.whole .wide{display:block}
figcaption{font-size:.9rem}
h2,h3,h4,caption,thead,summary{break-after:avoid}
figure,tr,.checks tbody,.caution:not(.cautions),.cautions>li,.lines,.plate,.meanings div,.sources li{break-inside:avoid}
p,li{orphans:3;widows:3}
th,td{padding:.2rem .8rem .2rem 0}
table,.ground{font-size:9pt}
.ground dl{gap:0 1rem}
details::details-content{content-visibility:visible;block-size:auto}
summary{list-style:none;padding-block:0}
summary::-webkit-details-marker{display:none}
.ground dl{max-inline-size:none}
}`;
