/**
 * A log as it lies on the disk: a text, a Parquet file or an HDF5 file, small or large. It is looked at
 * first; then a mapping reads it into a Parquet file of channels in SI.
 *
 * A small text is read in memory, a large one by the database, of which only a sample is looked at. Both
 * give the same channels, notices and lines (test/host/openLog.test.ts). A large text that the database
 * does not take as it is (another encoding, runs of blanks, rows of uneven width) is first written anew,
 * line by line.
 */
import { createHash } from "node:crypto";
import { open, stat } from "node:fs/promises";
import { join } from "node:path";
import type {
  ChannelLog,
  Inspection,
  LogPlan,
  Mapping,
  SensedMapping,
  StoredHead,
} from "../evidence/index.js";
import { type Notice, Refusal } from "../fault/index.js";
import { quotedPath, quotedText, withDatabase } from "./database.js";
import { evidence } from "./evidence.js";
import { hdf5AsParquet, type TableParts } from "./hdf5.js";
import { type LogSample, sampleLog } from "./logSample.js";
import { type StoredSense, storedSense } from "./logSense.js";
import { namesOf } from "./logSql.js";
import { sampleParquet } from "./logTable.js";
import { writeParquet } from "./parquet.js";
import { isPlainTable, plainTable } from "./plainTable.js";
import { kindAt, readBytes, refuseMissing } from "./readFile.js";
import { storeLog, type TableSource } from "./storeLog.js";
import { isSystemError, refuseFile, refuseSystem } from "./system.js";
import { readWindow } from "./window.js";

/** A log that can be read by a mapping. */
export interface OpenLog {
  readonly path: string;
  readonly inspection: Inspection;
  /** How the bytes were read. */
  readonly notices: readonly Notice[];
  /**
   * What speaks against the sense of a mapping, as `doubtedSense`; absent where only a sample is at hand:
   * there all of the log tells it once it is read.
   */
  readonly doubted?: (mapping: Mapping) => SensedMapping;
  /**
   * Reads it into a Parquet file.
   * @param scratch  folder for what does not fit into memory;  @param into  the file to write
   * Refuses  as `readLog`, and a full disk
   */
  readonly read: (mapping: Mapping, scratch: string, into: string) => Promise<ReadLog>;
}

/** A log that was read: what it holds, and the channels about its stroke. */
export interface ReadLog {
  readonly head: StoredHead;
  readonly channels: ChannelLog;
  /** What all of the log says against its mapping, beside the sense of the angle. */
  readonly doubts: readonly Notice[];
  /** What all of it tells of that sense; absent where it could be told ahead. */
  readonly sense?: StoredSense;
  /**
   * Numbers that stand for no value, of each channel, as all of the log shows; absent where a proposal has
   * looked at all of it.
   */
  readonly missing?: readonly (readonly number[])[];
}

/** Texts up to this size are read in memory: it is sooner done than the database is asked [byte]. */
const smallText = 4_000_000;

export interface OpenOptions {
  /** Texts up to this size are read in memory [byte]. */
  readonly smallText?: number;
}

/** Opens a log. Refuses a file that cannot be read or is no log of a known form. */
export async function openLog(path: string, scratch: string, options: OpenOptions = {}): Promise<OpenLog> {
  if ((await kindAt(path)) === "nothing") return await refuseMissing(path);
  const kind = await formOf(path);
  if (kind === "parquet") return await openParquet(path, { path, metadata: [], notices: [] });
  if (kind === "hdf5") {
    return await openParquet(path, await hdf5AsParquet(path, join(scratch, "table")));
  }
  const { size } = await stat(path);
  return size <= (options.smallText ?? smallText) ? await openSmall(path) : await openLarge(path);
}

const signatures = [
  { kind: "parquet", bytes: [0x50, 0x41, 0x52, 0x31] },
  { kind: "hdf5", bytes: [0x89, 0x48, 0x44, 0x46, 0x0d, 0x0a, 0x1a, 0x0a] },
] as const;

async function formOf(path: string): Promise<"parquet" | "hdf5" | "text"> {
  const lead = await part(path, 0, 8);
  return signatures.find(({ bytes }) => bytes.every((byte, i) => lead[i] === byte))?.kind ?? "text";
}

async function part(path: string, at: number, count: number): Promise<Uint8Array> {
  try {
    const file = await open(path, "r");
    try {
      const buffer = new Uint8Array(count);
      const { bytesRead } = await file.read(buffer, 0, count, Math.max(0, at));
      return buffer.subarray(0, bytesRead);
    } finally {
      await file.close();
    }
  } catch (error) {
    if (isSystemError(error, "EISDIR")) {
      refuseFile(path, {
        code: "file-is-folder",
        found: "this is a folder, where a file is needed",
        allowed: "",
        mend: "Name the file itself",
      });
    }
    return refuseSystem(error, path, "read");
  }
}

const markBytes = 65_536;

/** Words for the stored file: which original it was read from, by its size and its ends, and by which mapping. */
export async function marksOf(
  path: string,
  mapping: Mapping,
): Promise<{ readonly original_mark: string; readonly mapping_sha256: string }> {
  const { size } = await stat(path);
  const ends = createHash("sha256").update(String(size));
  for (const at of [0, size - markBytes]) ends.update(await part(path, at, markBytes));
  const read = createHash("sha256").update(readingOf(mapping));
  return { original_mark: ends.digest("hex"), mapping_sha256: read.digest("hex") };
}

/** What a mapping says of the reading, whatever the order of its keys; its reasons change no value. */
function readingOf(mapping: Mapping): string {
  return JSON.stringify(mapping, (key, value: unknown) => {
    if (key === "because") return undefined;
    if (typeof value !== "object" || value === null || Array.isArray(value)) return value;
    return Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)));
  });
}

async function openSmall(path: string): Promise<OpenLog> {
  const { decodeText, inspectLog, doubtedSense, doubtsOf, readLog } = await evidence();
  const { text, notices } = inFile(
    path,
    (
      (bytes) => () =>
        decodeText(bytes)
    )(await readBytes(path)),
  );
  return {
    path,
    notices,
    inspection: inFile(path, () => inspectLog(text)),
    doubted: (mapping) => inFile(path, () => doubtedSense(text, mapping)),
    read: async (mapping, _, into) => {
      const log = inFile(path, () => readLog(text, mapping));
      const names = namesOf(log.channels);
      await writeParquet(into, {
        names: ["time_s", "line_in_original", ...names],
        columns: [log.time_s, Float64Array.from(log.lines), ...log.channels.map(({ values }) => values)],
        about: await marksOf(path, mapping),
      });
      const { channels, rows, time, metadata, rejected, notices: said } = log;
      const heads = channels.map(({ values: _values, ...head }) => head);
      return {
        head: {
          channels: heads,
          names,
          rows,
          time,
          metadata,
          rejected,
          rejectedCount: rejected.length,
          notices: said,
        },
        channels: {
          time_s: log.time_s,
          channels: channels.map(({ role, values, standardUncertainty: u }) => ({
            role,
            values,
            ...(u === undefined ? {} : { standardUncertainty: u }),
          })),
        },
        doubts: doubtsOf(log),
      };
    },
  };
}

async function openLarge(path: string): Promise<OpenLog> {
  const { inspectLines, layTable } = await evidence();
  const sample = await sampleLog(path).catch((thrown) =>
    inFile(path, () => {
      throw thrown;
    }),
  );
  const { lines, surely } = sample;
  const sure = <T>(act: () => T): T => withoutGuesses(path, surely, act);
  return {
    path,
    notices: sample.notices,
    inspection: sure(() => inspectLines(lines)),
    read: async (mapping, scratch, into) => {
      const { planLog } = await evidence();
      const plan = sure(() => planLog(layTable(lines, mapping.dialect), mapping));
      const source = await textSource(path, sample, plan, scratch);
      return await readLarge(path, { source, plan, mapping, scratch, into });
    },
  };
}

/** The table of a text as the database takes it: as it is, or written anew. */
async function textSource(
  path: string,
  sample: LogSample,
  plan: LogPlan,
  scratch: string,
): Promise<TableSource> {
  const plain = await isPlainTable(sample, plan);
  if (plain !== undefined) return { kind: "text", path, ...plain };
  return await plainTable(path, sample, plan, join(scratch, "table.csv"));
}

/** @param table  the file itself, or the parts that its columns were written to */
async function openParquet(path: string, table: TableParts): Promise<OpenLog> {
  const { inspectLines, layTable } = await evidence();
  const isOwn = table.path === path;
  const pattern = isOwn ? quotedPath(path) : quotedText(table.path);
  const { lines, names } = await sampleParquet(pattern, path, table.metadata);
  const { notices } = table;
  const sure = <T>(act: () => T): T => withoutGuesses(path, 1, act);
  return {
    path,
    notices,
    inspection: sure(() => inspectLines(lines)),
    read: async (mapping, scratch, into) => {
      const { planLog } = await evidence();
      const plan = sure(() => planLog(layTable(lines, mapping.dialect), mapping));
      const source: TableSource = { kind: "parquet", pattern, columns: names };
      return await readLarge(path, { source, plan, mapping, scratch, into });
    },
  };
}

interface LargeRead {
  readonly source: TableSource;
  readonly plan: LogPlan;
  readonly mapping: Mapping;
  readonly scratch: string;
  readonly into: string;
}

async function readLarge(path: string, request: LargeRead): Promise<ReadLog> {
  const { doubtsFrom, oddColumnsIn } = await evidence();
  const words = Object.entries(await marksOf(path, request.mapping));
  const about = `, KV_METADATA {${words.map(([key, value]) => `${key}: ${quotedText(value)}`).join(", ")}}`;
  try {
    return await withDatabase(async (connection) => {
      const oddColumns = oddColumnsIn(request.plan);
      const { head, facts, missing } = await storeLog(connection, { ...request, oddColumns, about });
      const { channels, notices } = await readWindow(connection, request.into, head);
      return {
        head: { ...head, notices: [...head.notices, ...notices] },
        channels,
        doubts: doubtsFrom(facts),
        sense: await storedSense(request.into, head, facts, request.mapping),
        missing,
      };
    }, request.scratch);
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    throw withFile(path, error);
  }
}

function withFile(path: string, { faults }: Refusal): Refusal {
  return new Refusal(faults.map((fault) => ({ ...fault, where: { file: path, ...fault.where } })));
}

/** Gives faults of a log the name of its file. */
function inFile<T>(path: string, act: () => T): T {
  try {
    return act();
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    throw withFile(path, thrown);
  }
}

/** Faults found in a sample: a line behind the head is only estimated, and is not told. */
function withoutGuesses<T>(path: string, surely: number, act: () => T): T {
  try {
    return act();
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    throw new Refusal(
      thrown.faults.map((fault) => {
        const { line, ...place } = fault.where;
        const isSure = line !== undefined && line <= surely;
        return { ...fault, where: { file: path, ...place, ...(isSure ? { line } : {}) } };
      }),
    );
  }
}
