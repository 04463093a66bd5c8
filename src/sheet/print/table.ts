/** Tables on paper: the head again on each page, columns as wide as their words ask for. */
import { inline, type Place } from "./inline.js";
import { type PrintElement, type PrintNode, textIn } from "./tree.js";
import { call } from "./words.js";

type Blocks = (nodes: readonly PrintNode[], place: Place) => string;

interface Cell {
  readonly node: PrintElement;
  readonly span: number;
}

/** Columns from which on the type is smaller. */
const manyColumns = 6;

/** @param blocks  writes what stands in a cell */
export function printedTable(table: PrintElement, place: Place, blocks: Blocks): string {
  const parts = childrenNamed(table, ["thead", "tbody", "tfoot"]);
  const head = parts.filter(({ name }) => name === "thead").flatMap(rowsIn);
  const rows = parts.filter(({ name }) => name !== "thead").flatMap(rowsIn);
  const columns = Math.max(0, ...[...head, ...rows].map((cells) => cells.reduce((sum, { span }) => sum + span, 0)));
  if (columns === 0) return "";
  const inCell = { ...place, isCell: true };
  const written = (cells: readonly Cell[], isHead: boolean) =>
    cells.map((cell) => cellText(cell, inCell, blocks, isHead)).join(",");
  const lines = [
    `columns: (${weights(columns, [...head, ...rows]).map((weight) => `${weight.toFixed(1)}fr`).join(",")},)`,
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
  return childrenNamed(part, ["tr"]).map((row) =>
    childrenNamed(row, ["th", "td"]).map((node) => ({
      node,
      span: Math.max(1, Number(node.attributes.get("colspan") ?? "1") || 1),
    })),
  );
}

/** A short row is filled up, or the cells of the next would move into it. */
function padded(written: string, cells: readonly Cell[], columns: number): string {
  const missing = columns - cells.reduce((sum, { span }) => sum + span, 0);
  return [written, ...Array.from({ length: missing }, () => "[]")].filter((part) => part !== "").join(",");
}

function cellText({ node, span }: Cell, place: Place, blocks: Blocks, isHead: boolean): string {
  const isInline = node.children.every(
    (child) => child.kind === "text" || !/^(details|div|dl|h\d|ol|p|section|table|ul)$/.test(child.name),
  );
  const content = isInline ? inline(node.children, place) : blocks(node.children, place);
  const weighted = isHead || node.name === "th" ? call("strong", "", content) : content;
  return span === 1 ? `[${weighted}]` : `table.cell(colspan: ${span})[${weighted}]`;
}

/** Room that a column asks for: never less than its longest word, and with long texts their square root. */
function weights(columns: number, rows: readonly (readonly Cell[])[]): readonly number[] {
  const longest = Array.from({ length: columns }, () => 2);
  const most = Array.from({ length: columns }, () => 2);
  for (const cells of rows) {
    let column = 0;
    for (const { node, span } of cells) {
      if (span === 1) {
        const text = textIn(node).trim();
        const word = Math.max(0, ...text.split(/[\s\u200b-]+/).map((part) => part.length));
        longest[column] = Math.max(longest[column] ?? 0, word);
        most[column] = Math.max(most[column] ?? 0, text.length);
      }
      column += span;
    }
  }
  return longest.map((word, column) => Math.max(word + 1, Math.sqrt(16 * (most[column] ?? 0))));
}
