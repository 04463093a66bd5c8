/** Tables against opening: whole rows, from closed to open, within the travel, in a possible direction. */
import type { Place } from "../fault/index.js";
import type { Declared } from "../quantity/index.js";
import type { Finding } from "./finding.js";
import { nominalText } from "./provenance.js";
import type { ValveFile } from "./schema.js";

/** A rounded 1.5708 rad is no opening beyond 90 deg. */
const roundingOfTravel = 1e-4;

interface Table {
  readonly path: string;
  readonly column: string;
  /** A curve needs two rows; the recovery factor may be one value for all openings. */
  readonly leastRows: number;
  readonly rows: readonly { readonly angle: Declared | undefined; readonly value: Declared | undefined }[];
}

/** Findings about the three tables against opening. */
export function tableRule({ valve }: ValveFile, places: ReadonlyMap<string, Place>): readonly Finding[] {
  const tables: readonly Table[] = [
    {
      path: "valve.characteristic",
      column: "flow_coefficient",
      leastRows: 2,
      rows: (valve?.characteristic ?? []).map((row) => ({ angle: row.angle, value: row.flow_coefficient })),
    },
    {
      path: "valve.recovery",
      column: "factor",
      leastRows: 1,
      rows: (valve?.recovery ?? []).map((row) => ({ angle: row.angle, value: row.factor })),
    },
    {
      path: "valve.hydrodynamic.curve",
      column: "coefficient",
      leastRows: 2,
      rows: (valve?.hydrodynamic?.curve ?? []).map((row) => ({ angle: row.angle, value: row.coefficient })),
    },
  ];
  return tables.flatMap((table) => {
    const short = tooShort(table, places);
    if (short.length > 0) return short;
    return [
      ...incompleteRows(table, places),
      ...angleOrder(table, valve?.travel),
      ...(table.path === "valve.characteristic" ? characteristicShape(table) : []),
    ];
  });
}

function tooShort({ path, leastRows, rows }: Table, places: ReadonlyMap<string, Place>): readonly Finding[] {
  const isGiven = rows.length > 0 || places.has(path);
  if (!isGiven || rows.length >= leastRows) return [];
  return [
    {
      kind: "fault",
      code: "table-too-short",
      path,
      notKnown: [path],
      found: rows.length === 0 ? "no row" : "one row alone",
      allowed: leastRows === 1 ? "A table has a row." : "A curve has at least two rows.",
      mend: "Add rows, or leave the table out",
    },
  ];
}

/** A row with a gap would bend the curve: without it the table is another one. */
function incompleteRows(
  { path, column, rows }: Table,
  places: ReadonlyMap<string, Place>,
): readonly Finding[] {
  return rows.flatMap(({ angle, value }, index): readonly Finding[] =>
    [["angle", angle] as const, [column, value] as const].flatMap(([name, cell]): readonly Finding[] => {
      const here = `${path}[${index}]`;
      if (cell !== undefined) return [];
      // A cell that the file names has been reported already; the table is not known all the same.
      if (places.has(`${here}.${name}`)) return [{ kind: "consequence", notKnown: [path] }];
      return [
        {
          kind: "fault",
          code: "table-row-incomplete",
          path: here,
          notKnown: [path],
          found: `${name} is missing in row ${index + 1}`,
          allowed: `Each row of ${path} has an angle and a ${column}.`,
          mend: "Add the value, or delete the row",
        },
      ];
    }),
  );
}

function angleOrder({ path, rows }: Table, travel: Declared | undefined): readonly Finding[] {
  return rows.flatMap(({ angle }, index): readonly Finding[] => {
    const before = rows[index - 1]?.angle;
    const place = { path: `${path}[${index}].angle`, notKnown: [path] };
    if (angle !== undefined && before !== undefined && angle.value <= before.value) {
      return [
        {
          kind: "fault",
          code: "table-not-ascending",
          ...place,
          found: `${nominalText(angle)} does not lie above ${nominalText(before)} in the row before`,
          allowed: "A table against opening goes from closed to open, each angle once.",
          mend: "Sort the rows by angle, and give each angle one row",
        },
      ];
    }
    if (angle === undefined || travel === undefined || angle.value <= travel.value * (1 + roundingOfTravel))
      return [];
    return [
      {
        kind: "fault",
        code: "table-beyond-travel",
        ...place,
        found: `${nominalText(angle)} lies beyond the travel of ${nominalText(travel)}`,
        allowed: "Openings count from closed and end at valve.travel.",
        mend: "Correct the angle or valve.travel",
      },
    ];
  });
}

function characteristicShape({ path, rows }: Table): readonly Finding[] {
  const first = rows[0]?.value;
  const fault = (code: string, index: number, found: string, allowed: string, mend: string): Finding => ({
    kind: "fault",
    code,
    path: `${path}[${index}].flow_coefficient`,
    notKnown: [path],
    found,
    allowed,
    mend,
  });
  const falling = rows.flatMap(({ value }, index): readonly Finding[] => {
    const before = rows[index - 1]?.value;
    if (value === undefined || before === undefined || value.value >= before.value) return [];
    return [
      fault(
        "characteristic-falls",
        index,
        `${nominalText(value)} is less than ${nominalText(before)} at the smaller opening before`,
        "A ball valve passes more as it opens.",
        "Check the rows, also whether all count from closed and are all Kv or all Cv",
      ),
    ];
  });
  if (first === undefined || first.value === 0) return falling;
  return [
    fault(
      "characteristic-open-when-shut",
      0,
      `the table begins with ${nominalText(first)}`,
      "A ball passes nothing over its first degrees, and the table says where flow begins.",
      "Put a row with flow coefficient 0 ahead, at the largest opening without flow",
    ),
    ...falling,
  ];
}
