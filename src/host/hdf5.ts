/**
 * An HDF5 file that comes as a log: its sets of numbers of one length are columns, named by their paths,
 * with the unit that an attribute states. It is written as Parquet part by part and read like any other
 * log from there. The library is loaded at the first use.
 */
import fs from "node:fs";
import type { Dataset, File, Group } from "h5wasm/node";
import type { Notice } from "../fault/index.js";
import { database, quotedName, quotedText, withDatabase } from "./database.js";
import { refuseFile } from "./system.js";

export interface TableParts {
  /** Pattern of its Parquet files. */
  readonly path: string;
  /** Attributes of the file in words, as metadata of a log. */
  readonly metadata: readonly string[];
  readonly notices: readonly Notice[];
}

/** Rows of one part. */
const partRows = 262_144;
/** Groups within groups; a group that holds itself has no end. */
const deepest = 20;
/** Best ratio of the compression that the format has built in (deflate, from memory: zlib's manual). */
const bestCompression = 1032;
/** Columns of one set of two dimensions; a wider one is a picture or a field. */
const mostColumns = 64;

/**
 * Writes the columns of an HDF5 file as Parquet.
 * @param into  without ending; the parts get numbers
 * Refuses      a damaged file, and one without sets of numbers
 */
export async function hdf5AsParquet(path: string, into: string): Promise<TableParts> {
  const h5 = await library();
  const file = opened(path, () => {
    const found = new h5.File(path, "r");
    if (found.file_id < 0n) throw new Error("it cannot be opened");
    return found;
  });
  try {
    const { columns, length, skipped, elsewhere, metadata } = opened(path, () =>
      lookedThrough(path, file, h5),
    );
    await written({ path, columns, length, into });
    return {
      path: `${into}-*.parquet`,
      metadata,
      notices: [
        ...(skipped.length === 0 ? [] : [skippedNotice(skipped, length)]),
        ...(elsewhere.length === 0 ? [] : [elsewhereNotice(elsewhere)]),
      ],
    };
  } finally {
    closed(file);
  }
}

/** What a file holds, as far as it is told before the values are read. */
function lookedThrough(path: string, file: File, h5: Library) {
  const elsewhere: string[] = [];
  const sets = setsIn(file, "", h5, elsewhere);
  const length = lengthOf(sets);
  const used = sets.filter(({ set }) => set.shape?.[0] === length);
  if (length < 1 || used.length === 0) refuseNoSets(path);
  const columns = used.flatMap((one) => columnsOf(one));
  requireHeld(columns.length * length, fs.statSync(path).size);
  const skipped = sets.filter((one) => !used.includes(one));
  return { columns, length, skipped, elsewhere, metadata: attributesOf(file) };
}

/** What cannot even be closed has been told as damaged. */
function closed(file: File): void {
  try {
    withErrorsTo([], () => file.close());
  } catch (thrown) {
    forgetIfEnded(thrown);
  }
}

type Library = typeof import("h5wasm/node");

let loaded: Promise<Library> | undefined;
/** How often the library has ended itself: what it is built of can be begun anew, but not gone on with. */
let ends = 0;

function library(): Promise<Library> {
  loaded ??= load();
  return loaded;
}

async function load(): Promise<Library> {
  const again = ends === 0 ? undefined : `${import.meta.resolve("h5wasm/node")}?${ends}`;
  const h5: Library = again === undefined ? await import("h5wasm/node") : await import(again);
  await h5.ready;
  return h5;
}

/** A damaged file can make the library give up for good: the next file gets a new one. */
function forgetIfEnded(thrown: unknown): void {
  if (!(thrown instanceof Error) || thrown.name !== "RuntimeError") return;
  loaded = undefined;
  ends++;
}

interface NamedSet {
  readonly name: string;
  readonly set: Dataset;
}

/** Sets of numbers of one or two dimensions, in groups too. @param elsewhere  gets the names of those in other files */
function setsIn(
  group: Group,
  above: string,
  h5: Library,
  elsewhere: string[],
  depth = 0,
): readonly NamedSet[] {
  if (depth > deepest) throw new Error(`groups lie in groups more than ${deepest} deep, or one holds itself`);
  return group.keys().flatMap((key): readonly NamedSet[] => {
    const name = above === "" ? key : `${above} ${key}`;
    const path = `${group.path === "/" ? "" : group.path}/${key}`;
    // What a link within the file names is read where it stands.
    if (typeof group.get_link(path) === "string") return [];
    const found = leadsElsewhere(group.get_external_link(path)) ? undefined : group.get(key);
    if (
      found === undefined ||
      (found instanceof h5.Dataset && found.metadata.virtual_sources !== undefined)
    ) {
      elsewhere.push(name);
      return [];
    }
    if (found instanceof h5.Group) return setsIn(found, name, h5, elsewhere, depth + 1);
    if (!(found instanceof h5.Dataset)) return [];
    const { shape } = found;
    const isNumbers = typeof found.dtype === "string" && /^[<>|]?[bBhHiIlLqQefd]/.test(found.dtype);
    const isTable =
      shape !== null && (shape.length === 1 || (shape.length === 2 && (shape[1] ?? 0) <= mostColumns));
    return isNumbers && isTable ? [{ name, set: found }] : [];
  });
}

/** Whether a place is a link to another file, which is not followed: a log says what it holds itself. */
function leadsElsewhere(link: { readonly filename?: string } | null): boolean {
  return typeof link?.filename === "string";
}

/** A set can claim any size without holding a value. @param size  of the file [byte] */
function requireHeld(values: number, size: number): void {
  // A value has one byte at least.
  if (values > bestCompression * size)
    throw new Error(
      `its sets claim ${values.toExponential(1)} values, more than a file of ${size} bytes can hold`,
    );
}

/** The length that most sets have; the longer of two that as many have. */
function lengthOf(sets: readonly NamedSet[]): number {
  const counts = new Map<number, number>();
  for (const { set } of sets) {
    const length = set.shape?.[0] ?? 0;
    counts.set(length, (counts.get(length) ?? 0) + 1);
  }
  return [...counts].sort((a, b) => b[1] - a[1] || b[0] - a[0])[0]?.[0] ?? 0;
}

interface SetColumn {
  readonly name: string;
  readonly numbers: (from: number, to: number) => Float64Array;
}

function columnsOf({ name, set }: NamedSet): readonly SetColumn[] {
  const unit = unitOf(set);
  const label = unit === undefined ? name : `${name} [${unit}]`;
  const width = set.shape?.[1];
  const read = (from: number, to: number) =>
    numbersOf(set.slice(width === undefined ? [[from, to]] : [[from, to], []]));
  if (width === undefined) return [{ name: label, numbers: read }];
  return Array.from({ length: width }, (_, k) => ({
    name: label.replace(name, `${name} ${k + 1}`),
    numbers: (from: number, to: number) => {
      const all = read(from, to);
      return Float64Array.from({ length: to - from }, (_unused, row) => all[row * width + k] ?? Number.NaN);
    },
  }));
}

function numbersOf(data: unknown): Float64Array {
  if (data instanceof BigInt64Array || data instanceof BigUint64Array) return Float64Array.from(data, Number);
  if (ArrayBuffer.isView(data) && "length" in data) return Float64Array.from(data as Float64Array);
  throw new Error("a set of numbers gives no numbers");
}

function unitOf(set: Dataset): string | undefined {
  const key = Object.keys(set.attrs).find((one) => /^(units?|unit_?string)$/i.test(one));
  const value = key === undefined ? undefined : set.attrs[key]?.value;
  return typeof value === "string" && value.trim() !== "" ? value.trim() : undefined;
}

/** Attributes of the file, one line each. */
function attributesOf(file: File): readonly string[] {
  return Object.entries(file.attrs).flatMap(([key, { value }]) =>
    typeof value === "string" || typeof value === "number" ? [`${key}: ${value}`] : [],
  );
}

interface Writing {
  readonly path: string;
  readonly columns: readonly SetColumn[];
  readonly length: number;
  readonly into: string;
}

async function written({ path, columns, length, into }: Writing): Promise<void> {
  const { DOUBLE, DuckDBDataChunk: Chunk, DuckDBDoubleVector: Doubles } = await database();
  const rowsAtOnce = 2048;
  await withDatabase(async (connection) => {
    const list = columns.map((_, i) => `c${i} DOUBLE`).join(", ");
    const names = columns.map(({ name }, i) => `c${i} AS ${quotedName(name)}`).join(", ");
    for (let from = 0, part = 0; from < length; from += partRows, part++) {
      const to = Math.min(length, from + partRows);
      await connection.run(`CREATE OR REPLACE TABLE part (${list})`);
      const numbers = columns.map((column) => opened(path, () => column.numbers(from, to)));
      const appender = await connection.createAppender("part");
      for (let at = 0; at < to - from; at += rowsAtOnce) {
        const count = Math.min(rowsAtOnce, to - from - at);
        const chunk = Chunk.create(
          columns.map(() => DOUBLE),
          count,
        );
        for (const [i, values] of numbers.entries()) {
          const vector = chunk.getColumnVector(i);
          if (!(vector instanceof Doubles)) throw new Error("a column of numbers is no column of numbers");
          values.subarray(at, at + count).forEach((value, row) => {
            vector.setItem(row, Number.isNaN(value) ? null : value);
          });
          vector.flush();
        }
        appender.appendDataChunk(chunk);
      }
      appender.closeSync();
      const name = `${into}-${String(part).padStart(6, "0")}.parquet`;
      await connection.run(`COPY (SELECT ${names} FROM part) TO ${quotedText(name)} (FORMAT parquet)`);
    }
  });
}

/** What the library cannot read, as a refusal, with the innermost of its reasons. */
function opened<T>(path: string, act: () => T): T {
  const said: string[] = [];
  try {
    return withErrorsTo(said, act);
  } catch (thrown) {
    forgetIfEnded(thrown);
    if (!(thrown instanceof Error) || "faults" in thrown) throw thrown;
    const reasons = [...said.join("").matchAll(/#\d+: .*?\(\): (.*)$/gm)].map(([, reason]) => reason);
    return refuseFile(path, {
      code: "log-file-damaged",
      found: `the HDF5 file cannot be read (${reasons.at(-1) ?? thrown.message.slice(0, 120)})`,
      allowed: "An HDF5 file that was not closed by its logger, or was cut off, has no readable sets.",
      mend: "Copy it from the logger again; if it is damaged there too, export what can be read as CSV",
    });
  }
}

const standardError = 2;

/** The library writes its errors to the descriptor itself; while it is at work they are kept instead. */
function withErrorsTo<T>(said: string[], act: () => T): T {
  const { writeSync } = fs;
  const keep = (descriptor: number, ...rest: [Uint8Array, number?, number?, number?]): number => {
    if (descriptor !== standardError) return Reflect.apply(writeSync, fs, [descriptor, ...rest]);
    const [bytes, from = 0, length = bytes.length - from] = rest;
    said.push(new TextDecoder().decode(bytes.subarray(from, from + length)));
    return length;
  };
  Object.defineProperty(fs, "writeSync", { value: keep, configurable: true, writable: true });
  try {
    return act();
  } finally {
    Object.defineProperty(fs, "writeSync", { value: writeSync, configurable: true, writable: true });
  }
}

function skippedNotice(skipped: readonly NamedSet[], length: number): Notice {
  const list = skipped.map(({ name, set }) => `"${name}" (${set.shape?.[0] ?? 0})`).join(", ");
  return {
    code: "log-unmapped",
    text: `not read, since most sets of the file have ${length} rows: ${list}`,
  };
}

function elsewhereNotice(names: readonly string[]): Notice {
  const list = names.map((name) => `"${name}"`).join(", ");
  return { code: "log-unmapped", text: `not read, since they stand in other files: ${list}` };
}

function refuseNoSets(path: string): never {
  return refuseFile(path, {
    code: "log-no-table",
    found: "the HDF5 file holds no sets of numbers of one length",
    allowed: "A log is a table: each set a column, one value for each sample, with its unit as an attribute.",
    mend: "Export the data as sets of one dimension, or as CSV",
  });
}
