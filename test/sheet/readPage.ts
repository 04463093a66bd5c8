/** A small strict reader of the sheet's HTML: tags nest, attributes are quoted, text has no stray signs. */

export interface PageElement {
  readonly name: string;
  readonly attributes: ReadonlyMap<string, string>;
  /** Everything inside as a reader sees it, spaces joined, entities resolved. */
  readonly text: string;
}

interface OpenElement {
  readonly name: string;
  readonly attributes: ReadonlyMap<string, string>;
  readonly start: number;
}

const voids = new Set(["meta", "wbr"]);
const tag = /<(\/?)([a-zA-Z][a-zA-Z0-9]*)((?:\s+[a-zA-Z:-]+(?:="[^"<]*")?)*)\s*(\/?)>/y;

/** Elements in the order in which they end; throws at the first fault. */
export function readPage(page: string): readonly PageElement[] {
  const start = "<!doctype html>\n";
  if (!page.startsWith(start)) throw new Error("the page has no document type");
  const open: OpenElement[] = [];
  const done: PageElement[] = [];
  let text = "";
  let at = start.length;
  while (at < page.length) {
    if (page[at] !== "<") {
      const end = page.indexOf("<", at);
      const piece = page.slice(at, end === -1 ? page.length : end);
      text += resolved(piece);
      at += piece.length;
      continue;
    }
    tag.lastIndex = at;
    const match = tag.exec(page);
    if (match === null) throw new Error(`no tag: ${page.slice(at, at + 80)}`);
    const [whole, slash, name = "", attributes = "", alone] = match;
    at += whole.length;
    if (slash === "/") {
      const last = open.pop();
      if (last?.name !== name) throw new Error(`</${name}> closes <${last?.name}>`);
      done.push({ name, attributes: last.attributes, text: tidy(text.slice(last.start)) });
      if (!inLine.has(name)) text += " ";
      continue;
    }
    const element = { name, attributes: attributesOf(attributes), start: text.length };
    if (voids.has(name) || alone === "/") done.push({ name, attributes: element.attributes, text: "" });
    else open.push(element);
    if (name === "style") at = page.indexOf("</style>", at);
  }
  if (open.length > 0) throw new Error(`<${open.at(-1)?.name}> is never closed`);
  return done;
}

const inLine = new Set(["span", "code", "strong", "small", "a", "time", "cite"]);

function attributesOf(text: string): ReadonlyMap<string, string> {
  const pairs = [...text.matchAll(/([a-zA-Z:-]+)(?:="([^"]*)")?(?=\s|$)/g)];
  const attributes = new Map(pairs.map(([, name = "", value = ""]) => [name, resolved(value)]));
  if (attributes.size !== pairs.length) throw new Error(`an attribute stands twice: ${text}`);
  return attributes;
}

const entities: Readonly<Record<string, string>> = {
  amp: "&",
  lt: "<",
  gt: ">",
  quot: '"',
  apos: "'",
  "#39": "'",
};

function resolved(text: string): string {
  if (/[<>]/.test(text)) throw new Error(`a stray sign: ${text.slice(0, 80)}`);
  return text.replace(/&([a-z0-9#]*;?)/g, (_, body: string) => {
    const sign = body.endsWith(";") ? entities[body.slice(0, -1)] : undefined;
    if (sign === undefined) throw new Error(`no entity: &${body}`);
    return sign;
  });
}

/** Runs of space as one, hard spaces as plain ones. */
export function tidy(text: string): string {
  return text.replace(/[\s\u00a0]+/g, " ").trim();
}
