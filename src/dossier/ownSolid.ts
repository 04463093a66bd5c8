/**
 * A team's own solids: a file in parts/ with `format: solid/1`, in the form of the shipped data files
 * (data/solids/), so that a measured blank takes the place of a handbook's.
 */
import { isCollection, isMap, isNode, isScalar } from "yaml";
import { type Fault, type Place, Refusal, shapeFaults } from "../fault/index.js";
import type { Temperature } from "../quantity/index.js";
import {
  contraction,
  isSolidName,
  propertyRange,
  type Solid,
  type SolidFile,
  type SolidQuantity,
  solid,
  solidFileIn,
  solidFileKeys,
  solidOf,
  solidProperty,
  solidQuantities,
} from "../substance/index.js";
import { type ParsedFile, parseFile, plainDataOf, type SourceFile } from "./document.js";
import type { ValveFile } from "./schema.js";

const allowed =
  "A solid has the form of the files in data/solids: every value with its range, spread and source.";
const fileFault = { code: "solid-file" } as const;

/** Whether a file of the folder parts/ describes a solid. */
export function isSolidFile(file: SourceFile): boolean {
  return isSolid(parseFile(file));
}

function isSolid(parsed: ParsedFile): boolean {
  return String(parsed.document?.get("format")).startsWith("solid");
}

/** The solids among the files of the folder parts/, with every fault of theirs. A solid with a fault is left out. */
export function readSolids(files: readonly SourceFile[]): {
  readonly solids: readonly SolidFile[];
  readonly faults: readonly Fault[];
} {
  const reads = files
    .map((file) => ({ file, parsed: parseFile(file) }))
    .flatMap(({ file, parsed }) => (isSolid(parsed) ? [readShape(file, parsed)] : []));
  const shaped = reads.flatMap((read) => (read.solid === undefined ? [] : [read.solid]));
  const faults = [...reads.flatMap((read) => read.faults)];
  const solids = reads.flatMap(({ solid: own, placeOf }, index): readonly SolidFile[] => {
    if (own === undefined) return [];
    const twin = reads.findIndex((other) => other.solid?.id === own.id);
    const found =
      twin === index
        ? meaningFaults(own, shaped, placeOf)
        : [
            {
              ...fileFault,
              where: placeOf(["id"]),
              found: `${own.id} is described in ${reads[twin]?.path} too`,
              allowed: "Two solids with one name cannot be told apart.",
              mend: "Give one of the two another id",
            },
          ];
    faults.push(...found);
    return found.length === 0 ? [own] : [];
  });
  return { solids, faults };
}

interface ShapeRead {
  readonly solid?: SolidFile;
  readonly faults: readonly Fault[];
  readonly path: string;
  readonly placeOf: (keys: readonly (string | number)[]) => Place;
}

function readShape(file: SourceFile, parsed: ParsedFile): ShapeRead {
  const { document, locate } = parsed;
  const placeOf = (keys: readonly (string | number)[]): Place => {
    const field = keys.reduce<string>(
      (path, key) => (typeof key === "number" ? `${path}[${key}]` : path === "" ? key : `${path}.${key}`),
      "",
    );
    for (let depth = keys.length; depth > 0; depth--) {
      const [start, end] = rangeAt(document, keys.slice(0, depth)) ?? [];
      if (start !== undefined && end !== undefined) return locate.place(start, end, field);
    }
    return { file: file.path, field };
  };
  const base = { path: file.path, placeOf };
  if (document === undefined) return { ...base, faults: parsed.faults };
  const { data, faults: referring } = dataOf(parsed);
  if (referring.length > 0) return { ...base, faults: [...parsed.faults, ...referring] };
  const read = solidFileIn(data);
  if (read.success) return { ...base, solid: read.data, faults: parsed.faults };
  const mend = "Correct it; CONTRIBUTING.md explains the form under 'A solid, step by step'";
  // In another form every other key may mean something else.
  const format = read.error.issues.filter(({ path }) => path[0] === "format");
  const faults = shapeFaults(format.length > 0 ? format : read.error.issues, {
    ...fileFault,
    allowed,
    mend,
    keys: solidFileKeys,
    placeOf,
  });
  return { ...base, faults: [...parsed.faults, ...faults] };
}

/** The file as plain data; a key that stands twice is told beside what the rest says. */
function dataOf(parsed: ParsedFile): { readonly data: unknown; readonly faults: readonly Fault[] } {
  try {
    return { data: plainDataOf({ ...parsed, faults: [] }), faults: [] };
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return { data: undefined, faults: thrown.faults };
  }
}

/** Where a key's value stands; the key itself where the value goes on over lines. */
function rangeAt(
  document: ParsedFile["document"],
  keys: readonly (string | number)[],
): readonly number[] | undefined {
  const parent: unknown = keys.length === 1 ? document?.contents : document?.getIn(keys.slice(0, -1), true);
  const pair = isMap(parent)
    ? parent.items.find(({ key }) => isScalar(key) && String(key.value) === String(keys.at(-1)))
    : undefined;
  const value: unknown = pair === undefined ? document?.getIn(keys, true) : pair.value;
  const shown = isCollection(value) && pair !== undefined ? pair.key : value;
  return isNode(shown) && Array.isArray(shown.range) ? shown.range : undefined;
}

/** What the form cannot hold: units, the order of rows and limits, and values that no solid has. */
function meaningFaults(
  own: SolidFile,
  all: readonly SolidFile[],
  placeOf: ShapeRead["placeOf"],
): readonly Fault[] {
  const tried = (keys: readonly string[], act: () => void): readonly Fault[] => {
    try {
      act();
      return [];
    } catch (thrown) {
      if (!(thrown instanceof Refusal)) throw thrown;
      return thrown.faults.map((fault) => ({ ...fault, ...fileFault, where: placeOf(keys) }));
    }
  };
  const rows = Object.entries(own).flatMap(([key, data]) => rowFaults(key, data, placeOf));
  if (rows.length > 0) return rows;
  return [
    ...tried(["contraction"], () => {
      const made = solidOf(own, all);
      const { TMin } = contraction(made, reference, reference);
      refuseGrowing(contraction(made, reference, TMin).value);
    }),
    ...Object.keys(solidQuantities).flatMap((key) => {
      const quantity = key as SolidQuantity;
      return own[quantity] === undefined ? [] : tried([key], () => positiveOver(own, quantity));
    }),
  ];
}

const reference = 293 as Temperature;

/** A sign that was turned round would let a seat grow in the cold. */
function refuseGrowing(contracted: number): void {
  if (contracted >= 0) return;
  throw new Refusal([
    {
      ...fileFault,
      where: {},
      found: `it grows in the cold, by ${(-100 * contracted).toPrecision(3)} % down to the end of its data`,
      allowed: "A contraction is (L - L293) / L293: negative when colder than 293 K.",
      mend: "Turn the signs round",
    },
  ]);
}

/** Rows that rise in temperature, each with its lower limit first. */
function rowFaults(key: string, data: unknown, placeOf: ShapeRead["placeOf"]): readonly Fault[] {
  const rows: unknown = typeof data === "object" && data !== null ? Reflect.get(data, "rows") : undefined;
  if (!Array.isArray(rows)) return [];
  return rows.flatMap((row: { T_K: number; low: number; high: number }, n): readonly Fault[] => {
    const before: { T_K: number } | undefined = rows[n - 1];
    const found =
      row.low > row.high
        ? `the lower limit ${row.low} lies above the upper one, ${row.high}`
        : before !== undefined && row.T_K <= before.T_K
          ? `${row.T_K} K stands behind ${before.T_K} K`
          : undefined;
    if (found === undefined) return [];
    const mend = "Sort the rows by temperature, coldest first, and write the lower limit as `low`";
    return [{ ...fileFault, where: placeOf([key, "rows", n]), found, allowed, mend }];
  });
}

function positiveOver(own: SolidFile, quantity: SolidQuantity): void {
  const made: Solid = { id: own.id, name: own.name, kind: own.kind, file: own };
  const { TMin, TMax } = propertyRange(made, quantity);
  for (const T of [TMin, TMax]) {
    const { low } = solidProperty(made, quantity, T);
    if (low > 0) continue;
    const { words: named } = solidQuantities[quantity];
    throw new Refusal([
      {
        ...fileFault,
        where: {},
        found: `the ${named} at ${T} K comes to ${low}`,
        allowed: "It is above zero over all of its range.",
        mend: "Check unit, coefficients and spread",
      },
    ]);
  }
}

/** The solid that a material field names: of the team's own files first. Undefined where there is none. */
export function materialNamed({ solids }: ValveFile, name: string | undefined): Solid | undefined {
  return name !== undefined && isSolidName(name, solids) ? solid(name, solids) : undefined;
}
