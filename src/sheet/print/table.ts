/** Tables on paper: the head again on each page, columns as wide as their words ask for. */
import { inline, type Place } from "./inline.js";
import { type PrintElement, type PrintNode, textIn } from "./tree.js";
import { anchorText, breakPlaces, call, labelOf } from "./words.js";

type Blocks = (nodes: readonly PrintNode[], place: Place) => string;

interface Cell {
  readonly node: PrintElement;
  readonly span: number;
  /** Of the body that begins with it. */
  readonly anchor: string;
}

/** Columns from which on the type is smaller. */
const manyColumns = 6;

/** @param blocks  writes what stands in a cell */
export function printedTable(table: PrintElement, place: Place, blocks: Blocks): string {
  const parts = childrenNamed(table, ["thead", "tbody", "tfoot"]);
  const head = parts.filter(({ name }) => name === "thead").flatMap(rowsIn);
  const rows = parts.filter(({ name }) => name !== "thead").flatMap(rowsIn);
  const columns = Math.max(
    0,
    ...[...head, ...rows].map((cells) => cells.reduce((sum, { span }) => sum + span, 0)),
  );
  if (columns === 0) return "";
  const inCell = { ...place, isCell: true };
  const written = (cells: readonly Cell[], isHead: boolean) =>
    cells.map((cell) => cellText(cell, inCell, blocks, isHead)).join(",");
  const lines = [
    `columns: (${weights(
      columns,
      [...head, ...rows],
      columns >= manyColumns ? lettersAcross.small : lettersAcross.large,
    )
      .map((weight) => `${weight.toFixed(1)}fr`)
      .join(",")},)`,
    ...(head.length === 0 ? [] : [`table.header(${head.map((cells) => written(cells, true)).join(",")})`]),
    ...rows.map((cells) => padded(written(cells, false), cells, columns)),
  ];
  const size = columns >= manyColumns ? "6.6pt" : "7.6pt";
  return `${caption(table, place)}#{\nset text(size: ${size})\ntable(${lines.join(",\n")})\n}\n\n`;
}

function caption(table: PrintElement, place: Place): string {
  const [found] = childrenNamed(table, ["caption"]);
  if (found === undefined || found.classes.has("unseen")) return "";
  return `${call("block", "sticky: true, above: 1.2em, below: .5em", call("strong", "", inline(found.children, place)))}\n`;
}

function childrenNamed({ children }: PrintElement, names: readonly string[]): readonly PrintElement[] {
  return children.flatMap((node) => (node.kind === "element" && names.includes(node.name) ? [node] : []));
}

function rowsIn(part: PrintElement): readonly (readonly Cell[])[] {
  const label = part.name === "tbody" ? labelOf(part.attributes.get("id")) : undefined;
  return childrenNamed(part, ["tr"]).map((row, down) =>
    childrenNamed(row, ["th", "td"]).map((node, across) => ({
      node,
      anchor: label !== undefined && down + across === 0 ? anchorText(label) : "",
      span: Math.max(1, Number(node.attributes.get("colspan") ?? "1") || 1),
    })),
  );
}

/** A short row is filled up, or the cells of the next would move into it. */
function padded(written: string, cells: readonly Cell[], columns: number): string {
  const missing = columns - cells.reduce((sum, { span }) => sum + span, 0);
  return [written, ...Array.from({ length: missing }, () => "[]")].filter((part) => part !== "").join(",");
}

function cellText({ node, span, anchor }: Cell, place: Place, blocks: Blocks, isHead: boolean): string {
  const isInline = node.children.every(
    (child) => child.kind === "text" || !/^(details|div|dl|h\d|ol|p|section|table|ul)$/.test(child.name),
  );
  const content = isInline ? inline(node.children, place) : blocks(node.children, place);
  const weighted = isHead || node.name === "th" ? call("strong", "", content) : content;
  const placed = `[${anchor}${weighted}]`;
  return span === 1 ? placed : `table.cell(colspan: ${span})${placed}`;
}

/** Letters of the smaller and the larger type that fit a line of the page. */
const lettersAcross = { small: 140, large: 120 };
/** Letters of its column that a mark's shape takes. */
const shapeLetters = 2;

/** Room of each column: its longest word at least; what is left goes to those with long texts, by the root of their length. */
function weights(columns: number, rows: readonly (readonly Cell[])[], across: number): readonly number[] {
  const least = Array.from({ length: columns }, () => 3);
  const wished = Array.from({ length: columns }, () => 3);
  for (const cells of rows) {
    let column = 0;
    for (const { node, span } of cells) {
      if (span === 1) {
        const text = textIn(node).trim();
        least[column] = Math.max(least[column] ?? 0, longestWord(node, text) + 1.5);
        wished[column] = Math.max(wished[column] ?? 0, Math.min(text.length, Math.sqrt(24 * text.length)));
      }
      column += span;
    }
  }
  const room = Math.max(0, across - least.reduce((sum, one) => sum + one, 0));
  const more = least.map((one, column) => Math.max(0, (wished[column] ?? 0) - one));
  const total = Math.max(
    1,
    more.reduce((sum, one) => sum + one, 0),
  );
  return least.map((one, column) => one + (room * (more[column] ?? 0)) / total);
}

/** A number and its unit, and a mark with its word, are not broken. */
function longestWord(node: PrintElement, text: string): number {
  const words = text
    .split(/[ \t\r\n\u200b]+|(?<=-)/)
    .flatMap((part) => part.split(breakPlaces))
    .map((part) => part.length);
  return Math.max(
    0,
    symbolLetters(node),
    ...words,
    ...marksIn(node).map((mark) => textIn(mark).length + shapeLetters),
  );
}

/** Letters of equal width are this much wider than those around them. */
const monoWidth = 1.15;
const longestSymbol = 16;

/** A symbol alone in its cell, set in letters of equal width, stays whole; a longer word of code may break. */
function symbolLetters({ children }: PrintElement): number {
  const [only, ...others] = children;
  if (only?.kind !== "element" || only.name !== "code" || others.length > 0) return 0;
  const { length } = textIn(only);
  return length > longestSymbol ? 0 : monoWidth * length;
}

function marksIn(node: PrintNode): readonly PrintElement[] {
  if (node.kind === "text") return [];
  return node.classes.has("mark") ? [node] : node.children.flatMap(marksIn);
}
