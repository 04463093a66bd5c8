/**
 * Parts: motors, gear stages, seats, valves and batteries described once and named in valve files by
 * `part:`. What the valve file says itself goes before what the part says.
 */
import { type Fault, nearName, type Place } from "../fault/index.js";
import { parseDeclared } from "../quantity/index.js";
import { parseFile, type SourceFile } from "./document.js";
import { faultyPaths } from "./faulty.js";
import { choice, type SectionField, type Shape, section, text } from "./field.js";
import type { Finding } from "./finding.js";
import { childPath, itemAt, withItem } from "./path.js";
import { readFields } from "./read.js";
import { type ValveFile, valveFile } from "./schema.js";
import { shippedParts } from "./shippedParts.js";

const { valve, drive } = valveFile.fields;

/** What can be a part, and the fields that its section has in a valve file. */
const kinds = {
  motor: drive.fields.motor.fields,
  stage: drive.fields.stages.fields,
  seat: valve.fields.seat.fields,
  valve: valve.fields,
  battery: drive.fields.supply.fields,
} as const satisfies Record<string, Shape>;
export type PartKind = keyof typeof kinds;
export const partKinds = [
  "motor",
  "stage",
  "seat",
  "valve",
  "battery",
] as const satisfies readonly PartKind[];

/** A described part. */
export interface Part {
  readonly name: string;
  readonly kind: PartKind;
  /** What sort it is within its kind: "planetary". */
  readonly class: string | undefined;
  readonly description: string;
  /** Where its values come from, as far as the file says. */
  readonly reason: string | undefined;
  readonly reference: string | undefined;
  /** What the section of a valve file would hold, by path inside it. */
  readonly values: ReadonlyMap<string, unknown>;
  /** Paths of values that the part names and that have a fault. */
  readonly faulty: readonly string[];
}

/** Parts of a team, with every fault found in reading them. */
export interface PartsRead {
  readonly parts: readonly Part[];
  readonly faults: readonly Fault[];
}

/** Reads the parts of a team, one file each. */
export function readParts(files: readonly SourceFile[]): PartsRead {
  const reads = files.map(readPart);
  const parts = reads.flatMap(({ part }) => (part === undefined ? [] : [part]));
  const repeated = reads.flatMap(({ part, places }, index): readonly Fault[] => {
    const twin = reads.findIndex((other) => other.part?.name === part?.name);
    if (part === undefined || twin === index) return [];
    return [
      {
        code: "part-repeated",
        where: places.get("name") ?? {},
        found: `${part.name} is described in ${files[twin]?.path} too`,
        allowed: "Two parts with one name cannot be told apart.",
        mend: "Give one of the two another name",
      },
    ];
  });
  return { parts, faults: [...reads.flatMap(({ faults }) => faults), ...repeated] };
}

/** Paths of the fields that hold a value, a text or a word in a part of a kind. */
export function partFieldPaths(kind: PartKind): readonly string[] {
  const inside = (fields: Shape, path: string): readonly string[] =>
    Object.entries(fields).flatMap(([name, child]) => {
      const here = childPath(path, name);
      if (child.kind === "section") return inside(child.fields, here);
      return child.kind === "list" || name === "part" || name === "name" ? [] : [here];
    });
  return inside(kinds[kind], "");
}

/** The file of a part: what it is, and its values as in a valve file. */
function partFile(kind: PartKind): SectionField {
  // A part does not name another part, and a stage is called by the part's own name.
  const own = Object.entries(kinds[kind]).filter(([name]) => name !== "part" && name !== "name");
  return section(
    {
      name: text("Name by which valve files call the part.", "our planetary 10:1"),
      kind: choice(partKinds, "What the part is."),
      class: text("What sort it is within its kind; `seek.try` may ask for it.", "planetary"),
      description: text("What the part is, in a sentence.", "Planetary stage 10:1 of 60 mm diameter"),
      reason: text("Where the values come from.", "data sheet, revision C"),
      reference: text("Document they stand in.", "data sheet 4711-C"),
      values: section(Object.fromEntries(own), "Values of the part, as in the valve file."),
    },
    "A part.",
  );
}

interface PartRead {
  readonly part?: Part;
  readonly faults: readonly Fault[];
  readonly places: ReadonlyMap<string, Place>;
}

function readPart(file: SourceFile): PartRead {
  const parsed = parseFile(file);
  const said = (key: string) => {
    const item: unknown = parsed.document?.get(key);
    return typeof item === "string" ? item : undefined;
  };
  const name = said("name");
  const kind = partKinds.find((each) => each === said("kind"));
  const because = [`part ${name}`, said("reason")].filter((each) => each !== undefined).join(": ");
  const reference = said("reference") ?? file.path;
  const { value, faults, places } = readFields(partFile(kind ?? "stage"), parsed, (raw, field) => ({
    because,
    reference,
    ...parseDeclared(raw, field.dimension, field.bounds, { origin: "catalogue" }),
  }));
  if (name !== undefined && kind !== undefined) {
    const values = valuesOf(kinds[kind], value.values);
    const faulty = [...faultyPaths({ values: section(kinds[kind], "") }, value, places, faults)].flatMap(
      (path) => (path.startsWith("values.") ? [path.slice("values.".length)] : []),
    );
    const part: Part = {
      name,
      kind,
      class: said("class"),
      description: said("description") ?? "",
      reason: said("reason"),
      reference: said("reference"),
      values,
      faulty,
    };
    return { faults, places, part };
  }
  // Without its kind nobody knows which values a part may have.
  const own = faults.filter(({ where }) => kind !== undefined || !where.field?.startsWith("values"));
  const lacking = ["name", "kind"].filter((key) => !places.has(key));
  if (parsed.document === undefined || lacking.length === 0) return { faults: own, places };
  const incomplete: Fault = {
    code: "part-incomplete",
    where: { file: file.path },
    found: `the part has no ${lacking.join(" and no ")}`,
    allowed: "A part has a name, by which valve files call it, and a kind.",
    mend: `Add ${lacking.map((key) => `\`${key}:\``).join(" and ")}; kinds are ${partKinds.join(", ")}`,
  };
  return { faults: [...own, incomplete], places };
}

/** Leaves and tables of a part by path. */
function valuesOf(fields: Shape, item: unknown, path = ""): ReadonlyMap<string, unknown> {
  const entries = Object.entries(fields).flatMap(([name, child]): readonly (readonly [string, unknown])[] => {
    const value = itemAt(item, name);
    if (value === undefined) return [];
    const here = childPath(path, name);
    return child.kind === "section" ? [...valuesOf(child.fields, value, here)] : [[here, value]];
  });
  return new Map(entries);
}

interface ShippedPart {
  readonly name: string;
  readonly kind: string;
  readonly class?: string;
  readonly description: string;
  readonly values: object;
  readonly reason: string;
  readonly references: readonly string[];
}

/** Names and kinds of the shipped parts. */
const shippedPartNames: readonly { readonly name: string; readonly kind: string }[] = shippedParts.map(
  ({ name, kind }) => ({ name, kind }),
);

/** A shipped part goes through the reader of all files: one way to read a value. */
function shippedPart(name: string): Part | undefined {
  const found: ShippedPart | undefined = shippedParts.find((each) => each.name === name);
  if (found === undefined) return undefined;
  const { references, kind, description, values, reason } = found;
  const { class: sort } = found;
  const reference = references.join("; ");
  const text = JSON.stringify({ name, kind, class: sort, description, reason, reference, values });
  return readPart({ path: name, text }).part;
}

/** Every part on file: the team's own, and the shipped ones whose names the team does not use itself. */
export function partsOnFile(team: readonly Part[]): readonly Part[] {
  const own = new Set(team.map(({ name }) => name));
  return [
    ...team,
    ...shippedPartNames.flatMap(({ name }) => {
      const part = own.has(name) ? undefined : shippedPart(name);
      return part === undefined ? [] : [part];
    }),
  ];
}

/** A valve file with the values of the parts it names. */
export interface FilledByParts {
  readonly valve: ValveFile;
  readonly findings: readonly Finding[];
  /** Path of the line that names the part, by path of the value that it gave. */
  readonly givenBy: ReadonlyMap<string, string>;
  /** Paths of values that a part gives with a fault and the valve file leaves to it. */
  readonly faulty: readonly string[];
}

/**
 * Fills what the valve file leaves to its parts.
 *
 * @param valve   the valve file as read
 * @param places  fields that the file names; these stay as they are, also where they have a fault
 * @param team    the team's own parts; they go before shipped ones of the same name
 */
export function fillFromParts(
  valve: ValveFile,
  places: ReadonlyMap<string, Place>,
  team: readonly Part[],
): FilledByParts {
  let filled = valve;
  const findings: Finding[] = [];
  const givenBy = new Map<string, string>();
  const faulty: string[] = [];
  for (const { at, kind, name } of namedParts(valve)) {
    const part = team.find((each) => each.name === name) ?? shippedPart(name);
    if (part === undefined || part.kind !== kind) {
      findings.push(partFinding(`${at}.part`, name, kind, part, team));
      continue;
    }
    faulty.push(
      ...part.faulty.map((inside) => `${at}.${inside}`).filter((path) => itemAt(filled, path) === undefined),
    );
    for (const [inside, item] of part.values) {
      const path = `${at}.${inside}`;
      if (places.has(path) || itemAt(filled, path) !== undefined) continue;
      filled = withItem(filled, path, item);
      givenBy.set(path, `${at}.part`);
    }
  }
  return { valve: filled, findings, givenBy, faulty };
}

interface NamedPart {
  readonly at: string;
  readonly kind: PartKind;
  readonly name: string;
}

/** Parts that a valve file names; a seat goes before the valve that contains one. */
function namedParts({ valve, drive }: ValveFile): readonly NamedPart[] {
  const all: readonly (readonly [at: string, kind: PartKind, name: string | undefined])[] = [
    ["valve.seat", "seat", valve?.seat?.part],
    ["valve", "valve", valve?.part],
    ["drive.motor", "motor", drive?.motor?.part],
    ...(drive?.stages ?? []).map(({ part }, index) => [`drive.stages[${index}]`, "stage", part] as const),
    ["drive.supply", "battery", drive?.supply?.part],
  ];
  return all.flatMap(([at, kind, name]) => (name === undefined ? [] : [{ at, kind, name }]));
}

function partFinding(
  path: string,
  name: string,
  kind: PartKind,
  part: Part | undefined,
  team: readonly Part[],
): Finding {
  const names = [...team, ...shippedPartNames].filter((each) => each.kind === kind).map((each) => each.name);
  const near = nearName(name, names);
  return {
    kind: "fault",
    code: part === undefined ? "part-unknown" : "part-wrong-kind",
    path,
    notKnown: [],
    found: part === undefined ? `${name} is no part on file` : `${name} is a ${part.kind}, not a ${kind}`,
    allowed: `A ${kind} on file is ${names.join("; ")}.`,
    mend: "Write one of these names, or describe the part in the folder parts/ of the dossier",
    ...(near === undefined ? {} : { near }),
  };
}
