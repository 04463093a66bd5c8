/** The look of the sheet: calm paper, large type, one strip of twelve verdicts; light, dark and print. */
import { paints, surface } from "../picture/index.js";
import { type Markup, trusted } from "./markup.js";

/** The style element. @param title stands at the foot of every printed page */
export function styleSheet(title: string): Markup {
  return trusted(`<style>\n${colours()}\n${screen}\n${print(title)}\n</style>`);
}

const named = {
  paper: surface.paper,
  ink: surface.ink,
  quiet: surface.quiet,
  rule: surface.rule,
  link: paints.prediction,
  holds: paints.available,
  thin: paints.worse,
  fails: paints.limit,
  unknown: paints.neutral,
};

/** Plain light colours first, for a reader that does not know light-dark(). */
function colours(): string {
  const each = (form: (name: string, light: string, dark: string) => string) =>
    Object.entries(named)
      .map(([name, { light, dark }]) => form(name, light, dark))
      .join("");
  return `:root{color-scheme:light dark;${each((name, light) => `--${name}:${light};`)}}
@supports (color:light-dark(#000,#fff)){:root{${each((name, light, dark) => `--${name}:light-dark(${light},${dark});`)}}}
.holds{--tone:var(--holds)}.thin{--tone:var(--thin)}.fails{--tone:var(--fails)}.unknown{--tone:var(--unknown)}`;
}

const screen = `*{box-sizing:border-box}
html{scroll-padding-top:5rem;-webkit-text-size-adjust:100%}
body{margin:0;padding:1.5rem clamp(1rem,4vw,3rem) 4rem;background:var(--paper);color:var(--ink);font:1.125rem/1.5 'Segoe UI','Helvetica Neue','Liberation Sans',Arial,'DejaVu Sans',sans-serif;font-variant-numeric:tabular-nums;max-inline-size:76rem;margin-inline:auto;overflow-wrap:break-word}
a{color:var(--link);text-underline-offset:.15em}
a:focus-visible,summary:focus-visible{outline:3px solid var(--link);outline-offset:2px}
code{font:.88em/1.4 ui-monospace,'Cascadia Mono','Liberation Mono','DejaVu Sans Mono',monospace;overflow-wrap:anywhere}
h1,h2,h3,h4,h5{line-height:1.2;text-wrap:balance}
small{font-size:.85em;color:var(--quiet)}
.unseen{position:absolute;inline-size:1px;block-size:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.skip a{position:absolute;inset-block-start:-6rem;inset-inline-start:1rem;background:var(--ink);color:var(--paper);padding:.6rem 1rem;z-index:3}
.skip a:focus{inset-block-start:.5rem}
.kind{margin:0;color:var(--quiet);letter-spacing:.04em}
h1{font-size:clamp(2rem,5vw,3rem);margin:.1em 0 .3em}
.about,.is{max-inline-size:66ch;margin:.4em 0}
.facts{display:flex;flex-wrap:wrap;gap:.5rem 2.5rem;margin:1rem 0}
.facts dt{color:var(--quiet);font-size:.9rem}
.facts dd{margin:0;font-weight:600}
.strip{position:sticky;inset-block-start:0;background:var(--paper);padding:.6rem 0;z-index:2}
.strip ol{list-style:none;margin:0;padding:0;display:grid;grid-template-columns:repeat(12,1fr);gap:.3rem}
.strip a{display:flex;align-items:center;justify-content:center;gap:.35rem;min-block-size:2.75rem;color:var(--tone);border:2px solid var(--tone);text-decoration:none;font-weight:700}
.shape{inline-size:1em;block-size:1em;flex:none}
.contents ul{list-style:none;display:flex;flex-wrap:wrap;gap:.25rem 1.5rem;padding:0;margin:1rem 0}
.contents a{display:inline-block;padding:.35rem 0}
.mark{display:inline-flex;align-items:center;gap:.4em;color:var(--tone);font-weight:700;white-space:nowrap}
.part{margin-block-start:3rem}
h2{font-size:1.9rem;border-block-end:3px solid var(--ink);padding-block-end:.25rem}
.question{margin-block:3rem;padding-block-start:1rem;border-block-start:1px solid var(--rule)}
.ask{display:flex;flex-wrap:wrap;align-items:baseline;gap:.25rem 1rem}
.ask h3{font-size:1.6rem;margin:0}
.numeral{margin:0;font-size:2.6rem;font-weight:300;line-height:1;color:var(--tone)}
.sentence{font-size:1.25rem;max-inline-size:70ch}
.pictures{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,30rem),1fr));gap:2rem}
figure{margin:0;min-inline-size:0}
figcaption{font-size:1rem;color:var(--quiet)}
.narrow{display:none}
table{border-collapse:collapse;inline-size:100%;margin-block:1rem}
caption{text-align:start;font-weight:700;padding-block:.4rem}
th,td{text-align:start;vertical-align:top;padding:.45rem .9rem .45rem 0;border-block-end:1px solid var(--rule)}
thead th{color:var(--quiet);font-weight:600;font-size:.95rem}
tbody th{font-weight:600}
.checks{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(100%,22rem),1fr));gap:1.5rem 2rem}
.check{border-inline-start:5px solid var(--tone);padding-inline-start:1rem}
.check h5{margin:0;font-size:1.125rem}
.check dl{margin:.4rem 0}
.check dl>div{display:flex;gap:1rem}
.check dt{color:var(--quiet);flex:0 0 8.5rem}
.check dd{margin:0}
.ground dt{font-size:.9rem}
summary{cursor:pointer;padding-block:.35rem}
.drivers{list-style:none;padding:0}
.drivers li{display:grid;grid-template-columns:8rem 1fr;gap:0 1rem;margin-block:.4rem}
.bar{background:var(--rule);block-size:.8rem;margin-block-start:.4rem}
.bar span{display:block;block-size:100%;background:var(--link)}
.open{list-style:none;padding:0}
.open li{display:flex;gap:1rem;margin-block:.5rem}
.caution{border:2px solid var(--thin);padding:.5rem 1rem;margin-block:1rem}
.caution ul{margin:.2rem 0;padding-inline-start:1.2rem}
.lines dd{border-block-end:1px solid var(--ink);block-size:3rem;margin:0}
@media screen and (max-width:44rem){
.strip ol{grid-template-columns:repeat(6,1fr)}
.wide{display:none}.narrow{display:block}
table,tbody,tr,th,td{display:block}
thead{position:absolute;inline-size:1px;block-size:1px;overflow:hidden;clip-path:inset(50%)}
tr{border-block-end:1px solid var(--rule);padding-block:.5rem}
th,td{border:0;padding:.1rem 0}
td[data-label]::before{content:attr(data-label) ": ";color:var(--quiet);font-size:.95rem}
.empty{display:none}
}`;

function print(title: string): string {
  return `@page{margin:14mm 14mm 18mm;@bottom-left{content:${cssText(title)};font:9pt sans-serif}@bottom-right{content:counter(page) " / " counter(pages);font:9pt sans-serif}}
@media print{
:root{color-scheme:light;--paper:#fff}
body{font-size:10.5pt;max-inline-size:none;padding:0}
.strip{position:static}
.skip,.contents,.data{display:none}
h2,h3,h4,h5,caption{break-after:avoid}
figure,.check,tr,.caution,.lines{break-inside:avoid}
details::details-content{content-visibility:visible;block-size:auto}
summary{list-style:none}
*{print-color-adjust:exact;-webkit-print-color-adjust:exact}
}`;
}

/** A text as a CSS string in which every character but letters, digits and spaces is a code. */
function cssText(text: string): string {
  const coded = [...text].map((character) =>
    /[A-Za-z0-9 ]/.test(character) ? character : `\\${(character.codePointAt(0) ?? 0).toString(16)} `,
  );
  return `"${coded.join("")}"`;
}
