/** The index of the site's search. */
import MiniSearch from "minisearch";
import type { Passage } from "./markdown.js";

/** A passage with where it stands. */
export interface FoundPassage {
  readonly address: string;
  /** Of the page. */
  readonly title: string;
  readonly heading: string;
  /** First words of the passage. */
  readonly begin: string;
}

interface Indexed extends FoundPassage {
  readonly id: number;
  readonly text: string;
}

/** Letters of a passage that a list of findings shows. */
const beginLength = 150;

/** Also given to the page, which opens the index with the same. */
const options = {
  fields: ["heading", "title", "text"],
  storeFields: ["address", "title", "heading", "begin"],
  searchOptions: { boost: { heading: 4, title: 2 }, prefix: true, fuzzy: 0.15, combineWith: "AND" },
} as const;

/** A page as the search knows it. */
export interface SearchedPage {
  readonly address: string;
  readonly title: string;
  readonly passages: readonly Passage[];
}

/** The index of all passages. */
export function indexOf(pages: readonly SearchedPage[]): MiniSearch<Indexed> {
  const engine = new MiniSearch<Indexed>(mutable());
  let id = 0;
  for (const { address, title, passages } of pages)
    for (const { anchor, heading, text } of passages)
      engine.add({
        id: id++,
        address: anchor === "" ? address : `${address}#${anchor}`,
        title,
        heading,
        begin: text.length > beginLength ? `${text.slice(0, beginLength)} ...` : text,
        text,
      });
  return engine;
}

/** The index as a script that a page can load from a folder. */
export function indexScript(engine: MiniSearch<Indexed>): string {
  return `globalThis.coldturnOptions=${JSON.stringify(options)};globalThis.coldturnIndex=${JSON.stringify(JSON.stringify(engine))};\n`;
}

function mutable() {
  return { ...options, fields: [...options.fields], storeFields: [...options.storeFields] };
}
