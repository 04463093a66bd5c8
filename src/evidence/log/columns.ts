/** Finding the columns of a mapping in a table, whatever their order. */
import { type Fault, nearName } from "../../fault/index.js";
import { type ColumnRef, mappingFault } from "./mapping.js";
import { plainName } from "./roles.js";
import type { Column, Table } from "./table.js";

/**
 * The column a mapping means: by its name, written in any letters; by its number where several have
 * that name or the table has no names.
 *
 * @param field  path of the column in the mapping, for the fault
 */
export function findColumn(table: Table, ref: ColumnRef, field: string): Column | Fault {
  const { columns, hasNames } = table;
  const numbered = columns.find((column) => column.index === ref.index);
  if (ref.name === "" && numbered !== undefined) return numbered;
  const wanted = plainName(ref.name);
  const named = columns.filter((column) => plainName(column.name) === wanted);
  const only = named[0];
  if (named.length === 1 && only !== undefined) return only;
  if (!hasNames) {
    if (numbered !== undefined) return numbered;
    return mappingFault(
      "log-column-missing",
      `${field}.index`,
      `the table has no line of names and ${columns.length} columns, but column ${ref.index} is asked for`,
      "Without names a column is found by its number, from 1.",
      `Write an index from 1 to ${columns.length}.`,
    );
  }
  if (named.length > 1) {
    if (numbered !== undefined && named.includes(numbered)) return numbered;
    return mappingFault(
      "log-column-repeated",
      `${field}.index`,
      `${named.length} columns are named "${ref.name}": ${named.map((column) => column.index).join(", ")}`,
      "Columns of one name are told apart by their number.",
      `Write the index of the one that is meant: ${named.map((column) => column.index).join(" or ")}.`,
    );
  }
  const names = columns.map((column) => column.name);
  return mappingFault(
    "log-column-missing",
    `${field}.name`,
    `no column is named "${ref.name}"`,
    `The columns are: ${names.join(", ")}.`,
    "Write one of these names, or import the log without this mapping.",
    nearName(ref.name, names),
  );
}

export function isFault(found: Column | Fault): found is Fault {
  return "mend" in found;
}
