/** A Markdown page as HTML, as its headings and as the passages that the search finds. */
import { Marked, type Token, type Tokens } from "marked";
import { anchorOf } from "./anchor.js";

/** What a heading stands above. */
export interface Passage {
  /** "" for what stands above the first heading. */
  readonly anchor: string;
  readonly heading: string;
  readonly text: string;
}

/** A page in all its forms. */
export interface RenderedPage {
  readonly title: string;
  readonly html: string;
  readonly anchors: readonly string[];
  readonly passages: readonly Passage[];
}

/** How a page refers to what is outside it. */
export interface Surroundings {
  /** Address of what a link or picture of the page leads to. Throws where it leads nowhere. */
  readonly addressOf: (target: string) => string;
  /** Address of a work in the bibliography; undefined for a word that is no key. */
  readonly citation: (key: string) => string | undefined;
}

/**
 * Renders one page. Refuses raw HTML: a page is read as Markdown too, and HTML hides what it does.
 * @param text  of the Markdown file
 */
export function renderPage(text: string, surroundings: Surroundings): RenderedPage {
  // An address in a text is text: what is a link says so.
  const marked = new Marked({ tokenizer: { url: () => undefined } });
  const tokens = marked.lexer(withoutComments(text));
  const anchors = anchorsOf(tokens);
  let heading = 0;
  marked.use({
    renderer: {
      heading({ tokens: words, depth }) {
        const anchor = anchors[heading++] ?? "";
        return `<h${depth} id="${escapeHtml(anchor)}">${this.parser.parseInline(words)}</h${depth}>\n`;
      },
      link({ href, tokens: words }) {
        return `<a href="${escapeHtml(surroundings.addressOf(href))}">${this.parser.parseInline(words)}</a>`;
      },
      image({ href, text: words }) {
        return `<img src="${escapeHtml(surroundings.addressOf(href))}" alt="${escapeHtml(words)}" loading="lazy">`;
      },
      html({ text: raw }) {
        throw new Error(`raw HTML: ${raw.trim().slice(0, 60)}`);
      },
      table(table) {
        return `<div class="table" tabindex="0" role="region" aria-label="table">${tableHtml(table, (cell) => this.parser.parseInline(cell))}</div>\n`;
      },
      text(token) {
        if ("tokens" in token && token.tokens !== undefined) return this.parser.parseInline(token.tokens);
        const isEscaped = "escaped" in token && token.escaped === true;
        return cited(isEscaped ? token.text : escapeHtml(token.text), surroundings);
      },
    },
  });
  return {
    title: plainText(tokens.find((token) => token.type === "heading")) || "Untitled",
    html: marked.parser(tokens),
    anchors,
    passages: passagesOf(tokens, anchors),
  };
}

/** The marks of samples and generators are for the checks, not for a reader. */
function withoutComments(text: string): string {
  return text.replace(/^<!--[\s\S]*?-->\n?/gm, "");
}

/** The anchors of the headings, made as readers of Markdown on the web make them; repeated ones are numbered. */
function anchorsOf(tokens: readonly Token[]): readonly string[] {
  const seen = new Map<string, number>();
  return tokens
    .filter((token): token is Tokens.Heading => token.type === "heading")
    .map((token) => {
      const anchor = anchorOf(token.text);
      const before = seen.get(anchor) ?? 0;
      seen.set(anchor, before + 1);
      return before === 0 ? anchor : `${anchor}-${before}`;
    });
}

function tableHtml({ header, rows }: Tokens.Table, inline: (tokens: Token[]) => string): string {
  const row = (cells: readonly Tokens.TableCell[], tag: string): string =>
    `<tr>${cells.map((cell) => `<${tag}>${inline(cell.tokens)}</${tag}>`).join("")}</tr>`;
  const head = header.every(({ text }) => text === "") ? "" : `<thead>${row(header, "th")}</thead>`;
  return `<table>${head}<tbody>${rows.map((cells) => row(cells, "td")).join("\n")}</tbody></table>`;
}

/** Keys in brackets, [jcgm-106-2012, eq. 3; clopper-pearson-1934], lead to the bibliography. */
function cited(html: string, { citation }: Surroundings): string {
  return html.replace(/\[([^[\]]+)\]/g, (whole, inside: string) => {
    const parts = inside.split(/(;\s*)/).map((part) => {
      const key = /^[a-z0-9.-]+/.exec(part)?.[0] ?? "";
      const address = citation(key);
      return address === undefined
        ? part
        : `<a href="${escapeHtml(address)}">${key}</a>${part.slice(key.length)}`;
    });
    return parts.join("") === inside ? whole : `[${parts.join("")}]`;
  });
}

function passagesOf(tokens: readonly Token[], anchors: readonly string[]): readonly Passage[] {
  const passages: { anchor: string; heading: string; text: string }[] = [];
  let headings = 0;
  for (const token of tokens) {
    if (token.type === "heading") {
      passages.push({ anchor: anchors[headings++] ?? "", heading: plainText(token), text: "" });
      continue;
    }
    const last = passages.at(-1) ?? { anchor: "", heading: "", text: "" };
    if (passages.length === 0) passages.push(last);
    last.text = `${last.text} ${plainText(token)}`.trim();
  }
  return passages;
}

/** The words of a token without their marks. */
function plainText(token: Token | undefined): string {
  if (token === undefined) return "";
  if (token.type === "table") {
    const { header, rows } = token as Tokens.Table;
    return [header, ...rows]
      .flat()
      .map(({ tokens }) => wordsOf(tokens))
      .join(" ");
  }
  if (token.type === "list")
    return (token as Tokens.List).items.map(({ tokens }) => wordsOf(tokens)).join(" ");
  if ("tokens" in token && token.tokens !== undefined) return wordsOf(token.tokens);
  return "text" in token && typeof token.text === "string" ? token.text.replace(/\s+/g, " ") : "";
}

function wordsOf(tokens: readonly Token[]): string {
  return tokens.map(plainText).join("");
}

/** Text that HTML takes for text. */
export function escapeHtml(text: string): string {
  return text
    .replaceAll("&", "&amp;")
    .replaceAll("<", "&lt;")
    .replaceAll(">", "&gt;")
    .replaceAll('"', "&quot;");
}
