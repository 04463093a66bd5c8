/** Headings, paragraphs, lists and boxes of a document, one below the other. */
import { printedFigures } from "./figure.js";
import { inline, type Place } from "./inline.js";
import { printedTable } from "./table.js";
import { isUnseen, type PrintElement, type PrintNode } from "./tree.js";
import { anchorText, call, labelOf } from "./words.js";

const within = new Set(
  "a abbr b br cite code em i kbd mark q s small span strong sub sup time u var wbr svg".split(" "),
);

/** Nodes as blocks; words that stand between blocks become paragraphs. */
export function blocks(nodes: readonly PrintNode[], place: Place): string {
  let written = "";
  let line: PrintNode[] = [];
  const flush = (): void => {
    const content = inline(line, place);
    if (line.some((node) => node.kind === "element" || node.text.trim() !== "")) written += `${content}\n\n`;
    line = [];
  };
  for (const node of nodes) {
    if (node.kind === "text" || within.has(node.name)) line.push(node);
    else {
      flush();
      written += block(node, place);
    }
  }
  flush();
  return written;
}

function block(node: PrintElement, place: Place): string {
  if (isUnseen(node)) return "";
  // A card begins a page.
  const start = node.classes.has("card") ? "#pagebreak(weak: true)\n" : "";
  return `${start}${anchor(node)}${body(node, place)}`;
}

/** Elements whose place a link can lead to; a body of a table has its own in its first cell. */
const anchored = new Set("article details div h1 h2 h3 h4 h5 h6 header li main ol p section ul".split(" "));

function anchor({ attributes, name }: PrintElement): string {
  const label = labelOf(attributes.get("id"));
  return label === undefined || !anchored.has(name) ? "" : `${anchorText(label)}\n`;
}

/** Anchors that `blocks` writes for these nodes. */
export function anchorsIn(nodes: readonly PrintNode[]): ReadonlySet<string> {
  const found = new Set<string>();
  const look = (node: PrintNode): void => {
    if (node.kind === "text" || isUnseen(node)) return;
    const label = labelOf(node.attributes.get("id"));
    if (label !== undefined && (anchored.has(node.name) || node.name === "tbody")) found.add(label);
    node.children.forEach(look);
  };
  nodes.forEach(look);
  return found;
}

function body(node: PrintElement, place: Place): string {
  const { name, classes, children } = node;
  const heading = /^h([1-6])$/.exec(name)?.[1];
  if (heading !== undefined)
    return `${call("heading", `level: ${heading}`, inline(children, { ...place, isHeading: true }))}\n`;
  if (name === "p") return paragraph(node, place);
  if (name === "table") return printedTable(node, place, blocks);
  if (name === "ul" && classes.has("lines")) return penLines(node, place);
  if (name === "ul" || name === "ol") return list(node, place);
  if (name === "dl") return terms(node, place);
  if (name === "details") return blocks(opened(children), place);
  if (classes.has("pictures")) return printedFigures(elementsIn(children), place);
  if (name === "figure") return printedFigures([node], place);
  if (classes.has("caution") && name === "div") return `${call("caution", "", blocks(children, place))}\n`;
  return blocks(children, place);
}

function paragraph({ classes, children }: PrintElement, place: Place): string {
  const isSentence = classes.has("sentence");
  const content = inline(children, { ...place, keepsLines: isSentence });
  if (content === "") return "";
  if (isSentence) return `${call("sentence", "", content)}\n`;
  return classes.has("kind") ? `${call("quiet", "", content)}\n\n` : `${content}\n\n`;
}

/** What is folded on a screen is open on paper; its own line stays where it is a heading. */
function opened(children: readonly PrintNode[]): readonly PrintNode[] {
  return children.flatMap((node) => {
    if (node.kind === "text" || node.name !== "summary") return [node];
    return elementsIn(node.children).filter(({ name }) => /^h[1-6]$/.test(name));
  });
}

export function elementsIn(nodes: readonly PrintNode[]): readonly PrintElement[] {
  return nodes.flatMap((node) => (node.kind === "element" ? [node] : []));
}

function list({ name, children, classes }: PrintElement, place: Place): string {
  const items = elementsIn(children).filter((item) => item.name === "li");
  if (items.length === 0) return "";
  // Items with headings of their own are parts of the page, not points.
  if (classes.has("cautions")) return items.map((item) => blocks(item.children, place)).join("");
  const written = items.map(
    (item) => `[${anchor(item)}${blocks(item.children, { ...place, isCell: false })}]`,
  );
  return `#${name === "ol" ? "enum" : "list"}(${written.join(",")});\n\n`;
}

function penLines({ children }: PrintElement, place: Place): string {
  return elementsIn(children)
    .map((item) => `${call("penline", "", inline(item.children, place))}\n`)
    .join("");
}

/** Terms with what they mean, whether or not each pair stands in an element of its own. */
function terms({ children }: PrintElement, place: Place): string {
  const flat = elementsIn(children).flatMap((node) =>
    node.name === "div" ? elementsIn(node.children) : [node],
  );
  let term = "";
  const items: string[] = [];
  for (const node of flat) {
    if (node.name === "dt") term = inline(node.children, place);
    else items.push(`terms.item([${term}],[${blocks(node.children, place)}])`);
  }
  return items.length === 0 ? "" : `#terms(${items.join(",")});\n\n`;
}
