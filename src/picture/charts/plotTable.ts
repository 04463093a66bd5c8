/** The data behind a plot: a row per value, with the mark it belongs to. */
import { kindOfMark } from "../marks/list.js";
import type { DataRow } from "../marks/mark.js";
import type { Axis } from "../role.js";
import { cleanText } from "../words.js";
import type { Table } from "./chart.js";
import type { PlotFigure } from "./plotFigure.js";

const columns = ["x", "xLow", "xHigh", "y", "yLow", "yHigh"] as const;

/** Mark, label and role of each value, then the values; columns that nothing fills are left out. */
export function plotTable(figure: PlotFigure): Table {
  const rows = figure.marks.flatMap((mark) => {
    const kind = kindOfMark(mark);
    const label = kind.label(mark)?.text ?? ("label" in mark ? (mark.label ?? "") : "");
    return kind
      .rows(mark)
      .map((row) => ({ words: [mark.kind, mark.role ?? "limit", cleanText(label)], row }));
  });
  const used = columns.filter((column) => rows.some(({ row }) => row[column] !== undefined));
  const heads = ["mark", "role", "label", ...used.map((column) => headOf(column, figure))];
  return {
    heads: distinct(heads),
    rows: rows.map(({ words, row }) => [...words, ...used.map((column) => row[column])]),
  };
}

function headOf(column: keyof DataRow, figure: PlotFigure): string {
  const axis = column.startsWith("x") ? figure.x : figure.y;
  return columnHead(axis, column.endsWith("Low") ? "low" : column.endsWith("High") ? "high" : undefined);
}

/** The head of a column: the words of the axis, which end of a spread, and the unit, as "travel_time_low_ms". */
export function columnHead(axis: Pick<Axis, "label" | "unit">, part?: string): string {
  const parts = [inSnakeCase(axis.label), part ?? "", unitInHead(axis.unit)];
  return parts.filter((one) => one !== "").join("_");
}

function inSnakeCase(label: string): string {
  return cleanText(label)
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, "_")
    .replace(/^_+|_+$/g, "");
}

const spelledUnits: readonly (readonly [string, string])[] = [
  ["°C", "degC"],
  ["°", "deg"],
  ["%", "percent"],
  ["·", "."],
  ["*", "."],
  ["²", "2"],
  ["³", "3"],
  ["^", ""],
  ["/", "_per_"],
  ["µ", "u"],
  ["μ", "u"],
  ["Ω", "Ohm"],
  ["(", "_"],
  [")", ""],
  [" ", "_"],
];

/** A unit without the characters that trouble programs reading the head: "N*m" gives N.m, "kg/s" kg_per_s. */
function unitInHead(unit: string): string {
  const clean = cleanText(unit);
  if (clean === "1" || clean === "-") return "";
  return spelledUnits.reduce((spelled, [sign, spelling]) => spelled.replaceAll(sign, spelling), clean);
}

/** The heads with a number behind each that had been used before. */
export function distinct(heads: readonly string[]): readonly string[] {
  const used = new Set<string>();
  return heads.map((head) => {
    let free = head;
    for (let number = 2; used.has(free); number++) free = `${head}_${number}`;
    used.add(free);
    return free;
  });
}
