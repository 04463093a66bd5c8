/** What stands within a line: words, their emphasis, links, marks of verdicts with their shapes. */
import { pageColours } from "../colours.js";
import { isUnseen, type PrintElement, type PrintNode } from "./tree.js";
import { breakPlaces, call, labelOf, rawLiteral, said } from "./words.js";

/** What the place of a line is: small words of a cell begin a line of their own. */
export interface Place {
  /** Anchors that are printed; a link to another is plain text. */
  readonly anchors: ReadonlySet<string>;
  /** Class of the nearest mark, which colours its shape. */
  readonly tone?: string;
  readonly isCell?: boolean;
  readonly isHeading?: boolean;
  readonly keepsLines?: boolean;
  /** Within a mark no line breaks. */
  readonly isWhole?: boolean;
}

/** Nodes as content of a line. */
export function inline(nodes: readonly PrintNode[], place: Place): string {
  return nodes
    .map((node) => (node.kind === "text" ? words(node.text, place) : element(node, place)))
    .join("");
}

function words(text: string, { keepsLines = false, isWhole = false }: Place): string {
  if (isWhole) return said(text.replace(/[\t\n\r ]+/g, "\u00a0"));
  const lines = keepsLines ? text.split("\n") : [text];
  return lines.map((line) => broken(line.replace(/[\t\n\r ]+/g, " "))).join("#linebreak();");
}

/** A break without a letter: who searches the page finds the word. */
const mayBreak = "#h(0pt);";

/** Long words, as paths of fields, may break behind their dots and strokes. */
function broken(line: string): string {
  return line.split(breakPlaces).map(said).join(mayBreak);
}

const printed: Readonly<Record<string, readonly [string, string]>> = {
  strong: ["strong", ""],
  b: ["strong", ""],
  em: ["emph", ""],
  cite: ["emph", ""],
  code: ["mono", ""],
  sub: ["sub", ""],
  sup: ["super", ""],
};

function element(node: PrintElement, place: Place): string {
  if (isUnseen(node) && !(place.isHeading === true && node.classes.has("unseen"))) return "";
  const { name, classes, children } = node;
  if (name === "wbr") return mayBreak;
  if (classes.has("blank")) return "#blank;";
  if (name === "br") return "#linebreak();";
  if (name === "svg") return shape(node, place);
  const tone = toneOf(classes) ?? place.tone;
  const isWhole = classes.has("mark") || place.isWhole === true;
  const inner = inline(children, tone === undefined ? { ...place, isWhole } : { ...place, isWhole, tone });
  if (classes.has("mark")) return call("mark", `rgb("${colourOf(tone)}")`, inner);
  if (name === "small")
    return `${place.isCell === true ? "#linebreak(justify: false);" : ""}${call("quiet", "", inner)}`;
  if (name === "a") return link(node, inner, place);
  const [command, settings] = printed[name] ?? ["", ""];
  return command === "" ? inner : call(command, settings, inner);
}

function link({ attributes }: PrintElement, inner: string, { anchors }: Place): string {
  const href = attributes.get("href") ?? "";
  const target = href.startsWith("#") ? labelOf(href.slice(1)) : undefined;
  return target === undefined || !anchors.has(target) ? inner : call("link", `<${target}>`, inner);
}

/** A shape beside its word: the word says it, so that a reading voice need not. */
function shape({ source, classes }: PrintElement, { tone }: Place): string {
  if (!classes.has("shape")) return "";
  const coloured = source
    .replace("<svg ", `<svg xmlns="http://www.w3.org/2000/svg" width="20" height="20" `)
    .replaceAll("currentColor", colourOf(tone));
  return `#shape(${rawLiteral(coloured)});#h(.3em);`;
}

function toneOf(classes: ReadonlySet<string>): string | undefined {
  return ["holds", "thin", "fails", "unknown"].find((name) => classes.has(name));
}

function colourOf(tone: string | undefined): string {
  const found = Object.entries(pageColours).find(([name]) => name === tone)?.[1];
  return (found ?? pageColours.ink).light;
}
