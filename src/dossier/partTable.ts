/**
 * A team's own list of parts, as a table with a mapping: which column is which field, in which unit, with
 * which spread. Each row becomes the text of a file parts/<name>.yaml, which is then read as any other, so
 * that a value that does not fit is told with the line of the table, the column and the field.
 */
import { stringify } from "yaml";
import { type Fault, nearName } from "../fault/index.js";
import { parseDeclared } from "../quantity/index.js";
import { parseFile, type SourceFile } from "./document.js";
import { choice, list, section, text } from "./field.js";
import { type PartKind, partFieldPaths, partKinds, readParts } from "./part.js";
import { readFields } from "./read.js";

/** A table as a file gives it: names of the columns, and rows of text with the line each begins at. */
export interface PartTable {
  readonly path: string;
  readonly columns: readonly string[];
  readonly rows: readonly { readonly line: number; readonly cells: readonly string[] }[];
}

/** The parts of a table as files, with every fault found; a row with a fault gives no file. */
export interface PartsOfTable {
  readonly files: readonly { readonly name: string; readonly part: string; readonly text: string }[];
  readonly faults: readonly Fault[];
}

const roles = ["value", "low", "high"] as const;

const mappingFields = section(
  {
    kind: choice(partKinds, "What every row of the table is."),
    name: text("Column with the names of the parts.", "Type"),
    class: text("What sort all of them are within their kind.", "planetary"),
    class_column: text("Column that says it row by row.", "Series"),
    decimal: choice(["point", "comma"], "Sign before the decimals; left out: the point."),
    reason: text("Where the values come from.", "price list of March 2031"),
    reference: text("Document they stand in.", "list 17-C"),
    columns: list(
      {
        column: text("Name of the column.", "R [ohm]"),
        field: text("Field of the part that it fills.", "resistance"),
        unit: text("Unit of its numbers; left out: the cells name their own, or it has none.", "ohm"),
        spread: text("Standard uncertainty of every value, in the same unit or in %.", "5 %"),
        as: choice(roles, "Nominal value, or the low or high limit of one; left out: `value`."),
      },
      "Which column fills which field; a column that no row names is left out.",
    ),
  },
  "How the columns of a list of parts are read.",
);

interface MappedColumn {
  readonly at: number;
  readonly column: string;
  readonly field: string;
  readonly unit: string;
  readonly spread: string | undefined;
  readonly as: (typeof roles)[number];
}

/** Makes the files of a table's parts. @param mapping  the mapping file */
export function partsOfTable(table: PartTable, mapping: SourceFile): PartsOfTable {
  const parsed = parseFile(mapping);
  const read = readFields(mappingFields, parsed, (raw, { dimension, bounds }) =>
    parseDeclared(raw, dimension, bounds),
  );
  const { value } = read;
  const faults: Fault[] = [...read.faults];
  const missingHere = (field: string, found: string, allowed: string, mend: string, near?: string) =>
    faults.push({
      code: "part-mapping",
      where: read.places.get(field) ?? { file: mapping.path, field },
      found,
      allowed,
      mend,
      ...(near === undefined ? {} : { near }),
    });
  const columnAt = (name: string | undefined, field: string): number => {
    if (name === undefined) return -1;
    const at = table.columns.indexOf(name);
    if (at < 0)
      missingHere(
        field,
        `${table.path} has no column "${name}"`,
        `Its columns are ${table.columns.join("; ")}.`,
        "Write the name of a column as its head has it",
        nearName(name, table.columns),
      );
    return at;
  };
  const { kind } = value;
  if (kind === undefined && !read.places.has("kind"))
    missingHere(
      "kind",
      "the mapping does not say what the parts are",
      `A part is one of ${partKinds.join(", ")}.`,
      "Add `kind: motor`, or what they are",
    );
  if (value.name === undefined && !read.places.has("name"))
    missingHere(
      "name",
      "the mapping names no column with the names of the parts",
      "Valve files call a part by its name.",
      "Add `name: <column>`",
    );
  const nameAt = columnAt(value.name, "name");
  const classAt = columnAt(value.class_column, "class_column");
  const fields = kind === undefined ? [] : partFieldPaths(kind);
  const columns = (value.columns ?? []).flatMap((row, j): readonly MappedColumn[] => {
    const at = columnAt(row.column, `columns[${j}].column`);
    if (row.field !== undefined && kind !== undefined && !fields.includes(row.field)) {
      missingHere(
        `columns[${j}].field`,
        `a ${kind} has no field ${row.field}`,
        `Its fields are ${fields.join(", ")}.`,
        "Write one of them",
        nearName(row.field, fields),
      );
      return [];
    }
    if (at < 0 || row.field === undefined || row.column === undefined) return [];
    const { column, field, unit = "", spread, as = "value" } = row;
    return [{ at, column, field, unit, spread, as }];
  });
  if (kind === undefined || nameAt < 0 || faults.length > 0) return { files: [], faults };
  const common = { kind, class: value.class, reason: value.reason, reference: value.reference ?? table.path };
  return rowsOf(table, columns, common, { nameAt, classAt, isComma: value.decimal === "comma" });
}

function rowsOf(
  table: PartTable,
  columns: readonly MappedColumn[],
  common: {
    readonly kind: PartKind;
    readonly class: string | undefined;
    readonly reason: string | undefined;
    readonly reference: string;
  },
  {
    nameAt,
    classAt,
    isComma,
  }: { readonly nameAt: number; readonly classAt: number; readonly isComma: boolean },
): PartsOfTable {
  const files: { name: string; part: string; text: string }[] = [];
  const faults: Fault[] = [];
  const lineOf = new Map<string, number>();
  const names = new Set<string>();
  for (const { line, cells } of table.rows) {
    if (cells.every((cell) => cell.trim() === "")) continue;
    const name = (cells[nameAt] ?? "").trim();
    const where = { file: table.path, line };
    if (name === "" || lineOf.has(name)) {
      faults.push({
        code: name === "" ? "part-incomplete" : "part-repeated",
        where: { ...where, field: table.columns[nameAt] ?? "" },
        found: name === "" ? "the row has no name" : `${name} stands in line ${lineOf.get(name)} too`,
        allowed: "A part has a name of its own, by which valve files call it.",
        mend: name === "" ? "Give the part a name" : "Give one of the two another name",
      });
      continue;
    }
    lineOf.set(name, line);
    const odd = oddRow(cells, table, columns, isComma);
    if (odd !== undefined) {
      faults.push({ where: { ...where, field: odd.field }, ...odd.fault });
      continue;
    }
    const values: Record<string, unknown> = {};
    for (const field of new Set(columns.map((column) => column.field))) {
      const said = saidOf(
        columns.filter((column) => column.field === field),
        cells,
        isComma,
      );
      if (said !== undefined) put(values, field.split("."), said);
    }
    const sort = (classAt < 0 ? undefined : cells[classAt]?.trim()) || common.class;
    const content = { name, ...common, class: sort, values };
    const text = stringify(JSON.parse(JSON.stringify(content)), { lineWidth: 0 });
    const own = readParts([{ path: table.path, text }]).faults;
    faults.push(...own.map((each) => atRow(each, where, columns)));
    if (own.length === 0) files.push({ name: fileName(name, names), part: name, text });
  }
  return { files, faults };
}

/** A row of another width than the head, and a number that the mapping's decimal sign does not fit. */
function oddRow(
  cells: readonly string[],
  { columns: head }: PartTable,
  columns: readonly MappedColumn[],
  isComma: boolean,
): { readonly field: string; readonly fault: Omit<Fault, "where"> } | undefined {
  const filled = cells.findLastIndex((cell) => cell.trim() !== "") + 1;
  if (cells.length < head.length || filled > head.length)
    return {
      field: "",
      fault: {
        code: "part-row",
        found: `the row has ${cells.length} cells, where the head has ${head.length}`,
        allowed: "Each cell stands under the name of its column; a value that is not known is a blank cell.",
        mend: "Give the row as many cells as the head has names",
      },
    };
  const column = isComma ? columns.find(({ at }) => isPointed((cells[at] ?? "").trim())) : undefined;
  return (
    column && {
      field: `${column.field}, column "${column.column}"`,
      fault: {
        code: "part-row",
        found: `"${(cells[column.at] ?? "").trim()}" has a point that groups no thousands`,
        allowed:
          "The mapping says `decimal: comma`: a point then stands between groups of three digits alone.",
        mend: "Write the cell with a comma, or take `decimal: comma` out of the mapping",
      },
    }
  );
}

/** A number with a point that does not part groups of three digits. */
function isPointed(text: string): boolean {
  const [number = ""] = /^[+-]?[\d.,]+/.exec(text) ?? [];
  return number.includes(".") && !/^[+-]?\d{1,3}(\.\d{3})+(,\d*)?$/.test(number);
}

/** What a file says of a field: a value with its unit, or its limits; undefined where every cell is blank. */
function saidOf(columns: readonly MappedColumn[], cells: readonly string[], isComma: boolean): unknown {
  const cell = (as: (typeof roles)[number]) => {
    const column = columns.find((each) => each.as === as);
    const raw = (column === undefined ? "" : (cells[column.at] ?? "")).trim();
    if (column === undefined || raw === "") return undefined;
    const number = isComma ? raw.replaceAll(".", "").replace(",", ".") : raw;
    const spread = column.spread === undefined ? "" : ` +/- ${withUnit(column.spread, column.unit)}`;
    return { limit: withUnit(number, column.unit), value: `${withUnit(number, column.unit)}${spread}` };
  };
  const value = cell("value");
  const low = cell("low");
  const high = cell("high");
  if (low !== undefined && high !== undefined)
    return value === undefined
      ? { from: low.limit, to: high.limit }
      : { nominal: value.limit, low: low.limit, high: high.limit };
  return value?.value;
}

/** A bare number gets the unit of its column; a text with a unit of its own keeps it. */
function withUnit(text: string, unit: string): string {
  return unit !== "" && /^[+-]?[\d.]+(e[+-]?\d+)?$/i.test(text) ? `${text} ${unit}` : text;
}

function put(into: Record<string, unknown>, [first = "", ...rest]: readonly string[], said: unknown): void {
  if (rest.length === 0) {
    into[first] = said;
    return;
  }
  const inside: Record<string, unknown> = { ...(into[first] as Record<string, unknown> | undefined) };
  put(inside, rest, said);
  into[first] = inside;
}

/** A fault of a made file, at the row of the table it was made from. */
function atRow(
  { where: { field = "" }, ...fault }: Fault,
  where: { readonly file: string; readonly line: number },
  columns: readonly MappedColumn[],
): Fault {
  const inside = field.replace(/^values\./, "");
  const column = columns.find((each) => inside === each.field || inside.startsWith(`${each.field}.`))?.column;
  return {
    ...fault,
    where: { ...where, field: column === undefined ? inside : `${inside}, column "${column}"` },
  };
}

/** Name of a part's file: its letters and digits, with hyphens between. */
function fileName(part: string, taken: Set<string>): string {
  const plain =
    part
      .toLowerCase()
      .replaceAll(/[^a-z0-9]+/g, "-")
      .replaceAll(/^-|-$/g, "") || "part";
  let name = `${plain}.yaml`;
  for (let number = 2; taken.has(name); number++) name = `${plain}-${number}.yaml`;
  taken.add(name);
  return name;
}
