/**
 * Random valve files: every field of the schema may be given or left out, each value in one of the forms
 * a person may write, and values that belong together in an order that can be true.
 */
import fc from "fast-check";
import { describeSchema, type FieldDescription } from "../../src/dossier/index.js";
import { type Dimension, formatQuantity } from "../../src/quantity/index.js";

/** A file as nested plain data, and the SI value that each path must read as. */
export interface RandomFile {
  readonly data: Section;
  readonly expected: ReadonlyMap<string, number>;
}
export type Section = { [name: string]: unknown };

/** Sizes that look like the thing, SI: all random values of a dimension lie between. */
const sizes: Partial<Record<Dimension, readonly [low: number, high: number]>> = {
  pressure: [1e5, 1e7],
  temperature: [250, 400],
  "temperature coefficient": [0.0001, 0.01],
  angle: [0.01, 1.5],
  ratio: [0.02, 0.98],
  number: [1, 100],
};

/** Fields whose bounds exclude the usual size of their dimension. */
const sizeByName: Readonly<Record<string, readonly [low: number, high: number]>> = {
  breakaway_ratio: [1, 3],
  collar_breakaway_ratio: [1, 3],
  efficiency: [0.5, 0.98],
  starting_efficiency: [0.1, 0.4],
  back_pressure_at_start: [1e4, 9e4],
  dwell_ratio: [1, 2],
  ratio: [1, 100],
  scale: [0.5, 2],
  travel: [1.52, 1.6],
  lowest: [0.1, 0.5],
  step: [0.01, 0.4],
  exponent: [1, 1.6],
  heat_ratio: [1.05, 1.6],
  free_gas: [0.001, 0.09],
  wall_stiffness: [1e7, 1e10],
  yield_factor: [1, 5],
  ultimate_factor: [1, 5],
  life_factor: [1, 20],
  tolerance: [0.01, 0.4],
  proof_factor: [1, 5],
  burst_factor: [1, 5],
  held_factor: [0.1, 0.7],
  // A tube with room for any stem, and air drier than it can be.
  tube_outer_diameter: [20, 30],
  tube_wall: [1e-3, 1],
  dew_point: [230, 249],
};

function sizeOf(path: string, dimension: Dimension): readonly [number, number] {
  const name = path.split(".").at(-1) ?? "";
  return sizeByName[name] ?? sizes[dimension] ?? [1e-3, 10];
}

type Written = { readonly text: string; readonly si: number };

/** A value as text, in one of the forms, with the nominal value it must read as. */
function writtenValue(dimension: Dimension, low: number, high: number): fc.Arbitrary<Written> {
  const print = (si: number) => formatQuantity(si, dimension, { digits: "all" });
  const number = fc.double({ min: low, max: high, noNaN: true });
  const spreadDimension: Dimension =
    dimension === "pressure"
      ? "pressure difference"
      : dimension === "temperature"
        ? "temperature difference"
        : dimension;
  const spread = (si: number) => formatQuantity(si, spreadDimension, { digits: "all" });
  return fc.oneof(
    number.map((si) => ({ text: print(si), si })),
    fc
      .tuple(number, fc.double({ min: 1e-3, max: 0.3, noNaN: true }))
      .map(([si, share]) => ({ text: `${print(si)} +/- ${spread(Math.abs(si) * share + 1e-9)}`, si })),
    fc.tuple(number, number).map(([a, b]) => {
      const [from, to] = a < b ? [a, b] : [b, a];
      return { text: `{ from: ${print(from)}, to: ${print(to)} }`, si: (from + to) / 2 };
    }),
    fc.tuple(number, number, number).map((three) => {
      const [least = low, middle = low, most = low] = [...three].sort((a, b) => a - b);
      return {
        text: `{ nominal: ${print(middle)}, low: ${print(least)}, high: ${print(most)} }`,
        si: middle,
      };
    }),
  );
}

/** A mapping text as data: the file is printed from data. */
function asData(text: string): unknown {
  if (!text.startsWith("{")) return text;
  const parts = text
    .slice(1, -1)
    .split(",")
    .map((part) => part.split(": "));
  return Object.fromEntries(parts.map(([name = "", value = ""]) => [name.trim(), value.trim()]));
}

const fields = describeSchema();

/** Any subset of the fields directly in a section, with what is below them. */
function sectionArbitrary(path: string): fc.Arbitrary<RandomFile> {
  const children = fields.filter((field) => parentOf(field.path) === path && !isSkipped(field));
  const parts = children.map((field) =>
    fc.option(fieldArbitrary(field), { freq: 5, nil: undefined }).map((part) => ({ field, part })),
  );
  return fc.tuple(...parts).map((given) => {
    const data: Section = {};
    const expected = new Map<string, number>();
    for (const { field, part } of given) {
      if (part === undefined) continue;
      data[field.path.slice(path === "" ? 0 : path.length + 1)] = part.data;
      for (const [at, si] of part.expected) expected.set(at, si);
    }
    return { data, expected };
  });
}

interface RandomPart {
  readonly data: unknown;
  readonly expected: ReadonlyMap<string, number>;
}

function fieldArbitrary(field: FieldDescription): fc.Arbitrary<RandomPart> {
  const { path, kind, dimension, words } = field;
  const plain = (data: unknown): RandomPart => ({ data, expected: new Map() });
  if (kind === "quantity" && dimension !== undefined) {
    const [low, high] = sizeOf(path, dimension);
    return writtenValue(dimension, low, high).map(({ text, si }) => ({
      data: asData(text),
      expected: new Map([[path, si]]),
    }));
  }
  if (kind === "count") return fc.integer({ min: 1, max: 4 }).map(plain);
  if (kind === "choice") return fc.constantFrom(...(words ?? [])).map(plain);
  if (kind === "section") return sectionArbitrary(path);
  if (kind === "list") {
    const item = sectionArbitrary(`${path}[]`);
    return fc.array(item, { maxLength: 3 }).map((items) => ({
      data: items.map(({ data }) => data),
      expected: new Map(
        items.flatMap(({ expected }, index) =>
          [...expected].map(([at, si]): [string, number] => [
            at.replace(`${path}[]`, `${path}[${index}]`),
            si,
          ]),
        ),
      ),
    }));
  }
  if (/\.(when|expires)$/.test(path)) return fc.constantFrom("2031-03-02", "2032-02-29").map(plain);
  return fc.constantFrom("some words", "nitrogen-03").map(plain);
}

function parentOf(path: string): string {
  return path.includes(".") ? path.slice(0, path.lastIndexOf(".")) : "";
}

/** What must agree with other fields is tested by itself. */
function isSkipped({ path }: FieldDescription): boolean {
  return /(^|\.)(coldturn|part|material|\w+_material|fluid|gas|id|correlations|cases|characteristic|characteristic_velocity|recovery|curve|seal_diameter|\w+_follows|parts|links|stations|branches_after|after|components|pipes|points|step|seek\.stages|injector_drop|walls|sections|joints|flaw|cavity|near|peak_torque)$/.test(
    path,
  );
}

/** Fields that only certain orders of size make true together, smallest first. */
const orders: readonly (readonly string[])[] = [
  ["valve.bore", "valve.seat_contact_diameter", "valve.ball_diameter"],
  ["valve.stem.collar_inner_diameter", "valve.stem.collar_outer_diameter"],
  ["duty.close_within.no_faster_than", "duty.close_within.time"],
  ["engine.box.least", "engine.box.most"],
  ["engine.lead.least", "engine.lead.most"],
];

/** A random valve file without contradictions. */
export const randomFile: fc.Arbitrary<RandomFile> = sectionArbitrary("").map((file) => {
  let { data } = file;
  const expected = new Map(file.expected);
  const set = (path: string, si: number) => {
    const dimension =
      fields.find((field) => field.path === path.replaceAll(/\[\d+\]/g, "[]"))?.dimension ?? "ratio";
    data = withData(
      data,
      path.split(/\.|\[|\]\.?/).filter((step) => step !== ""),
      formatQuantity(si, dimension, { digits: "all" }),
    );
    expected.set(path, si);
  };
  for (const order of orders) {
    const given = order.filter((path) => expected.has(path));
    const values = given.map((path) => expected.get(path) ?? 0).sort((a, b) => a - b);
    given.forEach((path, index) => {
      set(path, (values[index] ?? 0) * (1 + index / 100));
    });
  }
  [...expected.keys()].forEach((path) => {
    const rated = expected.get(path) ?? 0;
    if (path.endsWith(".rated_torque") && expected.has(path.replace("rated", "momentary")))
      set(path.replace("rated", "momentary"), rated * 2);
  });
  return { data, expected };
});

/** A copy of plain data with another item at a path. */
export function withData(data: Section, steps: readonly string[], item: unknown): Section {
  const [step = "", ...rest] = steps;
  const copy: Section | unknown[] = Array.isArray(data) ? [...data] : { ...data };
  const below: unknown = Reflect.get(copy, step);
  const next = rest.length === 0 ? item : withData(isSection(below) ? below : {}, rest, item);
  Reflect.set(copy, step, next);
  return copy as Section;
}

/** A copy of plain data without the item at a path. */
export function withoutData(data: Section, steps: readonly string[]): Section {
  const [step = "", ...rest] = steps;
  const copy: Section | unknown[] = Array.isArray(data) ? [...data] : { ...data };
  const below: unknown = Reflect.get(copy, step);
  if (rest.length === 0) Reflect.deleteProperty(copy, step);
  else if (isSection(below)) Reflect.set(copy, step, withoutData(below, rest));
  return copy as Section;
}

function isSection(item: unknown): item is Section {
  return typeof item === "object" && item !== null;
}

/** Steps of a path for `withData`. */
export function stepsOf(path: string): readonly string[] {
  return path.split(/\.|\[|\]\.?/).filter((step) => step !== "");
}
