/** The bibliography of a sheet: those entries of data/references.json that the sheet itself cites. */
import references from "../../data/references.json" with { type: "json" };
import { html, type Inset, type Markup } from "./markup.js";

interface Entry {
  readonly authors: string;
  readonly title: string;
  readonly year: number;
  readonly where?: string;
  readonly note?: string;
}

const entries: ReadonlyMap<string, Entry> = new Map(Object.entries(references));
const candidate = /[a-z][a-z0-9.]*(?:-[a-z0-9.]*[a-z0-9])+/g;

/** Keys of the bibliography that stand in some texts, in alphabetical order. */
export function citedKeys(texts: readonly string[]): readonly string[] {
  const found = texts.flatMap((text) => [...text.matchAll(candidate)].map(([key]) => key));
  return [...new Set(found.filter((key) => entries.has(key)))].sort();
}

/** A source as it is cited, each key a link to its entry. */
export function sourceText(text: string): Markup {
  const parts: Inset[] = [];
  let end = 0;
  for (const match of text.matchAll(candidate)) {
    const [key] = match;
    if (!entries.has(key)) continue;
    parts.push(text.slice(end, match.index), html`<a href="#source-${key}">${key}</a>`);
    end = match.index + key.length;
  }
  parts.push(text.slice(end));
  return html`${parts}`;
}

/** The entries of some keys as a list. */
export function bibliography(keys: readonly string[]): Markup {
  const items = keys.map((key) => {
    const entry = entries.get(key);
    if (entry === undefined) return undefined;
    const { authors, title, year, where, note } = entry;
    const rest = [where, note].filter((part) => part !== undefined).join("; ");
    return html`<li id="source-${key}"><code>${key}</code> ${authors} (${year}). <cite>${title}</cite>. ${rest === "" ? "" : `${rest}.`}</li>
`;
  });
  return html`<ul class="sources">
${items}</ul>
`;
}
