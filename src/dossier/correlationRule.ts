/** Correlations: both fields exist and are uncertain, and all ranks together can be true at once. */
import { nearName, type Place, Refusal } from "../fault/index.js";
import { gaussianCopula } from "../numerics/index.js";
import type { Contradiction, Finding } from "./finding.js";
import { type Leaf, leavesOf } from "./path.js";
import { type ValveFile, valveFile } from "./schema.js";

/** Tables that are sampled as a whole. */
const tablePaths = ["valve.characteristic", "valve.recovery", "valve.hydrodynamic.curve"] as const;

/** Whether a path names one cell of a table that is sampled as a whole: no correlation joins it. */
export function isTableCell(path: string): boolean {
  return tablePaths.some((list) => path.startsWith(`${list}[`));
}

/** Findings about the declared correlations. */
export function correlationRule(valve: ValveFile, places: ReadonlyMap<string, Place>): readonly Finding[] {
  const rows = valve.correlations ?? [];
  if (rows.length === 0) return [];
  const leaves = leavesOf(valveFile, valve).filter(({ path }) => !path.startsWith("correlations["));
  const findings = rows.flatMap((row, index) => [
    ...(["first", "second"] as const).flatMap((end) =>
      endFindings(row[end], `correlations[${index}].${end}`, leaves, places),
    ),
    ...pairFindings(rows, index),
  ]);
  return findings.length > 0 ? findings : matrixFindings(rows);
}

type Row = NonNullable<ValveFile["correlations"]>[number];

function endFindings(
  named: string | undefined,
  path: string,
  leaves: readonly Leaf[],
  places: ReadonlyMap<string, Place>,
): readonly Finding[] {
  if (named === undefined) return [];
  const leaf = leaves.find((candidate) => candidate.path === named);
  // A field that could not be read has its own fault, and a tie to what is not known ties nothing.
  if (leaf === undefined && places.has(named)) return [];
  if (leaf === undefined) {
    const near = nearName(
      named,
      leaves.map((candidate) => candidate.path),
    );
    return [
      {
        kind: "fault",
        code: "correlation-unknown-field",
        path,
        notKnown: [path],
        found: `${named} is no value of this file`,
        allowed: "A correlation joins two values that the file gives, each by its path.",
        mend: "Correct the path, as `drive.stages[0].efficiency` (items count from 0), or give the value",
        ...(near === undefined ? {} : { near }),
      },
    ];
  }
  const table = tablePaths.find((list) => named.startsWith(`${list}[`));
  if (table !== undefined) {
    return [
      {
        kind: "fault",
        code: "correlation-table-row",
        path,
        notKnown: [path],
        found: `${named} is one cell of a table`,
        allowed: `The rows of ${table} move together, as one curve.`,
        mend: "Delete the correlation",
      },
    ];
  }
  if (leaf.declared.law.kind !== "exact") return [];
  return [
    {
      kind: "fault",
      code: "correlation-certain-field",
      path,
      notKnown: [path],
      found: `${named} is certain: ${leaf.declared.text}`,
      allowed: "Only values with a spread can go together.",
      mend: "Give the value its uncertainty, or delete the correlation",
    },
  ];
}

function pairFindings(rows: readonly Row[], index: number): readonly Contradiction[] {
  const row = rows[index];
  if (row?.first === undefined || row.second === undefined) return [];
  const fault = (code: string, found: string, allowed: string, mend: string): readonly Contradiction[] => [
    {
      kind: "fault",
      code,
      path: `correlations[${index}].second`,
      notKnown: [`correlations[${index}].second`],
      found,
      allowed,
      mend,
    },
  ];
  if (row.first === row.second) {
    return fault(
      "correlation-with-itself",
      `${row.second} is joined with itself`,
      "A correlation joins two different values.",
      "Name the other value, or delete the correlation",
    );
  }
  const pair = (other: Row) => [other.first, other.second].sort().join(" ");
  const twin = rows.findIndex((other) => pair(other) === pair(row));
  if (twin === index) return [];
  return fault(
    "correlation-repeated",
    `item ${twin + 1} of this list already joins these two values`,
    "Two values have one rank correlation.",
    "Delete one of the two",
  );
}

/** Whether all ranks can be true at once: their matrix is positive definite. */
function matrixFindings(rows: readonly Row[]): readonly Contradiction[] {
  const names = [
    ...new Set(rows.flatMap(({ first, second, rank }) => (first && second && rank ? [first, second] : []))),
  ];
  const matrix = names.map((_, row) => names.map((__, column) => Number(row === column)));
  for (const { first, second, rank } of rows) {
    const i = names.indexOf(first ?? "");
    const j = names.indexOf(second ?? "");
    for (const [row, column] of [
      [i, j],
      [j, i],
    ] as const) {
      const entries = matrix[row];
      if (entries !== undefined && column >= 0 && rank !== undefined) entries[column] = rank.value;
    }
  }
  try {
    gaussianCopula(matrix);
    return [];
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return [
      {
        kind: "fault",
        code: "correlation-not-positive",
        path: "correlations",
        notKnown: ["correlations"],
        found: thrown.message.trim(),
        allowed: "What goes with one value goes with its companions too, in proportion.",
        mend: "Bring the largest ranks nearer to 0, or leave out a value that follows from the others",
      },
    ];
  }
}
