/** The checks of a question: value, band, limit, margin, probability, verdict, and what they rest on. */
import { formatNumber, fromSi, readUnit } from "../quantity/index.js";
import {
  bandWords,
  type Check,
  chanceWords,
  type KnownCheck,
  limitWords,
  percentWords,
  valueWords,
} from "../question/index.js";
import { html, type Inset, type Markup } from "./markup.js";
import { sourceText } from "./sources.js";
import { judgementClass, judgementMark } from "./verdict.js";

/** Anchor of a check. @param number of its question; @param index in its list */
export function checkId(number: number, index: number): string {
  return `check-${number}-${index + 1}`;
}

/** One check as a card: a definition list, then equation, source and assumptions. */
export function checkCard(check: Check, id: string): Markup {
  return html`<article class="check ${judgementClass(check.verdict)}" id="${id}" aria-labelledby="${id}-name">
<h5 id="${id}-name">${check.name}${check.standing === "judged" ? "" : html` <small>for information</small>`}</h5>
${judgementMark(check.verdict)}
<dl>
${entriesOf(check).map(
  ([term, value]) => html`<div><dt>${term}</dt><dd>${value}</dd></div>
`,
)}</dl>
<details><summary>Equation, source and assumptions<span class="unseen"> of ${check.name}</span></summary>
<dl class="ground"><dt>Equation</dt><dd>${check.equation}</dd>
<dt>Source</dt><dd>${sourceText(check.source)}</dd>
<dt>Assumptions</dt><dd><ul>${check.assumptions.map((assumption) => html`<li>${assumption}</li>`)}</ul></dd></dl>
</details>
</article>
`;
}

type Entry = readonly [string, Inset];

function entriesOf(check: Check): readonly Entry[] {
  switch (check.kind) {
    case "unknown":
      return [["Needs", check.needs.join(", ")]];
    case "failed":
      return [
        ["Finding", check.finding],
        ...(check.limit === undefined
          ? []
          : [["Limit", limitWords(check.limit, check.dimension, check.unit)] as const]),
        ...probability(check),
      ];
    case "known":
      return knownEntries(check);
  }
}

function knownEntries(check: KnownCheck): readonly Entry[] {
  const { value, band, dimension, unit, limit } = check;
  return [
    ["Value", html`<strong>${valueWords(value, band, dimension, unit)}</strong>`],
    ...(band === undefined
      ? []
      : [[`Band, ${percentWords(band.coverage)}`, bandWords(band, dimension, unit)] as const]),
    ["Limit", html`${limitWords(limit, dimension, unit)} <small>${limit.words}</small>`],
    ["Margin", marginWords(check)],
    ...probability(check),
  ];
}

function probability({ probability: chance, wanted }: Exclude<Check, { kind: "unknown" }>): readonly Entry[] {
  if (chance === undefined) return [];
  return [["Chance to keep it", html`${chanceWords(chance)} <small>wanted ${percentWords(wanted)}</small>`]];
}

/** The distance to the limit in the unit of the value; of a temperature scale, in its degrees. */
function marginWords({ value, margin, band, dimension, unit }: KnownCheck): string {
  const resolved = readUnit(unit, dimension);
  const size = (si: number) => fromSi(resolved, value + si) - fromSi(resolved, value);
  const half = band === undefined ? 0 : Math.abs(size((band.high - band.low) / 2));
  const number = formatNumber(size(margin), half > 0 ? { uncertainty: half } : { digits: 3 });
  const shown = dimension === "temperature" && unit === "degC" ? "K" : unit;
  return shown === "" ? number : `${number} ${shown}`;
}
