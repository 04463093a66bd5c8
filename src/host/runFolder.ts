/**
 * runs/<id>/: one recorded test. run.yaml says what it is; the original file lies beside it untouched;
 * log.parquet holds its channels in SI units and is made anew from the original where it does not
 * belong to this original and this mapping.
 */
import { join } from "node:path";
import type { ChannelLog, Log, Mapping, RunRecord } from "../evidence/index.js";
import { nearName, Refusal } from "../fault/index.js";
import { evidence } from "./evidence.js";
import { sha256 } from "./hash.js";
import { type NumberTable, readParquet, writeParquet } from "./parquet.js";
import { kindAt, namesIn, readBytes, readText, type TextFile } from "./readFile.js";
import { refuseFile } from "./system.js";
import { makeWholeFolder, writeWhole } from "./wholeFile.js";

const runsName = "runs";
const recordName = "run.yaml";
const logName = "log.parquet";

/** A run as its record describes it. */
export interface StoredRun {
  /** Folder of the run. */
  readonly folder: string;
  readonly record: RunRecord;
  readonly file: TextFile;
}

/** Ids of the runs of a dossier, in order. */
export async function runIds(folder: string): Promise<readonly string[]> {
  const names = await namesIn(join(folder, runsName));
  const kinds = await Promise.all(names.map((name) => kindAt(join(folder, runsName, name, recordName))));
  return names.filter((_, index) => kinds[index] === "file");
}

/** Reads the record of a run. Refuses a run that is not there, with a near name, and a record with faults. */
export async function readRunRecord(folder: string, id: string): Promise<StoredRun> {
  const ids = await runIds(folder);
  if (!ids.includes(id)) return refuseRun(folder, id, ids);
  const runFolder = join(folder, runsName, id);
  const file = await readText(join(runFolder, recordName));
  const { readRun } = await evidence();
  return { folder: runFolder, record: readRun(file.text, file.path), file };
}

/** Ids of the runs that hold the same original, byte for byte; the run itself among them. */
export async function runsOfSameLog(folder: string, { record }: StoredRun): Promise<readonly string[]> {
  const ids = await runIds(folder);
  const isSame = await Promise.all(
    ids.map(async (id) => {
      try {
        return (await readRunRecord(folder, id)).record.original.sha256 === record.original.sha256;
      } catch (thrown) {
        // A faulty record is told where that run is asked for.
        if (thrown instanceof Refusal) return false;
        throw thrown;
      }
    }),
  );
  return [...new Set([record.id, ...ids.filter((_, index) => isSame[index])])];
}

/**
 * Adds a run: record, original and log, whole or not at all.
 * @returns its folder
 * Refuses  a run that is there already: a run is never overwritten
 */
export async function addRun(
  folder: string,
  record: RunRecord,
  original: Uint8Array,
  log: Log,
): Promise<string> {
  const path = join(folder, runsName, record.id);
  const { runText } = await evidence();
  await makeWholeFolder(path, async (inside) => {
    await writeWhole(join(inside, record.original.file), original, "never");
    await writeWhole(join(inside, recordName), runText(record), "never");
    await writeParquet(join(inside, logName), tableOf(log, record));
  });
  return path;
}

/**
 * The channels of a run, from its stored log, or from the original where that is not of this mapping.
 * Refuses an original that is not the one that was imported, and one that the mapping no longer fits.
 */
export async function readRunLog({ folder, record }: StoredRun): Promise<ChannelLog> {
  const path = join(folder, record.original.file);
  const original = await readBytes(path);
  if (sha256(original) !== record.original.sha256) {
    return refuseFile(path, {
      code: "original-changed",
      found: "this is not the file that was imported: its SHA-256 differs from the one in run.yaml",
      allowed: "The original of a run stays as the logger wrote it; nothing rests on it otherwise.",
      mend: "Restore the file from your history, or import it as another run",
    });
  }
  const stored = await storedTable(join(folder, logName), record);
  if (stored !== undefined) return logOf(stored, record);
  const { decodeText, readLog } = await evidence();
  const log = readLog(decodeText(original).text, record.mapping);
  return {
    time_s: log.time_s,
    channels: log.channels.map(({ role, values }) => ({ role, values })),
  };
}

/** What a stored log belongs to: this original, read by this mapping. */
function belongsTo({ original, mapping }: { original: RunRecord["original"]; mapping: Mapping }): {
  readonly original_sha256: string;
  readonly mapping_sha256: string;
} {
  return { original_sha256: original.sha256, mapping_sha256: sha256(JSON.stringify(mapping)) };
}

function tableOf(log: Log, record: RunRecord): NumberTable {
  const names = log.channels.map(({ role, name, unit }, index) => {
    const words = role === "other" ? `other ${index + 1} ${name}` : role;
    return unit === "" ? words : `${words}_${unit}`;
  });
  return {
    names: ["time_s", "line_in_original", ...names],
    columns: [log.time_s, Float64Array.from(log.lines), ...log.channels.map(({ values }) => values)],
    about: belongsTo(record),
  };
}

/** The stored table, if it is whole and belongs to this run as it is. */
async function storedTable(path: string, record: RunRecord): Promise<NumberTable | undefined> {
  if ((await kindAt(path)) !== "file") return undefined;
  const table = await readParquet(path);
  const wanted = belongsTo(record);
  const isOurs =
    table.about.original_sha256 === wanted.original_sha256 &&
    table.about.mapping_sha256 === wanted.mapping_sha256 &&
    table.columns.length === record.mapping.channels.length + 2;
  return isOurs ? table : undefined;
}

function logOf({ columns }: NumberTable, { mapping }: RunRecord): ChannelLog {
  const [time_s = new Float64Array(), , ...values] = columns;
  return {
    time_s,
    channels: mapping.channels.map(({ role }, index) => ({
      role,
      values: values[index] ?? new Float64Array(time_s.length).fill(Number.NaN),
    })),
  };
}

function refuseRun(folder: string, id: string, ids: readonly string[]): never {
  const near = nearName(id, ids);
  return refuseFile(join(folder, runsName), {
    code: "run-unknown",
    found: `${id} is no run of this dossier`,
    allowed: ids.length === 0 ? "No test has been imported yet." : `Its runs are ${ids.join(", ")}.`,
    mend: "Name one of them, or import a log with `coldturn import`",
    ...(near === undefined ? {} : { near }),
  });
}
