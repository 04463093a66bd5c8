/**
 * runs/<id>/: one recorded test. run.yaml says what it is; the original file lies beside it untouched;
 * log.parquet holds its channels in SI units and is made anew from the original where it does not
 * belong to this original and this mapping.
 */
import { chmod, constants, copyFile, rename, rm } from "node:fs/promises";
import { join } from "node:path";
import type { ChannelLog, Mapping, RunRecord } from "../evidence/index.js";
import { nearName, Refusal } from "../fault/index.js";
import { evidence } from "./evidence.js";
import { hashFile } from "./hashFile.js";
import { unreadPrefix } from "./logSql.js";
import { marksOf, openLog } from "./openLog.js";
import { parquetHead, readingParquet } from "./parquet.js";
import { kindAt, namesIn, readText, type TextFile } from "./readFile.js";
import { finishStaging, type Staging, withStaging } from "./staging.js";
import { isSystemError, refuseFile, refuseSystem } from "./system.js";
import { writeWhole } from "./wholeFile.js";
import { allRows, readWindow, strokeRows, type Window } from "./window.js";

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

/** Ids of the runs that hold an original of the same bytes; the run itself among them. */
export async function runsOfSameLog(folder: string, { record }: StoredRun): Promise<readonly string[]> {
  const { originalsOf } = await evidence();
  const own = new Set(originalsOf(record).map(({ sha256 }) => sha256));
  const ids = await runIds(folder);
  const isSame = await Promise.all(
    ids.map(async (id) => {
      try {
        const others = originalsOf((await readRunRecord(folder, id)).record);
        return others.some(({ sha256 }) => own.has(sha256));
      } catch (thrown) {
        // A faulty record is told where that run is asked for.
        if (thrown instanceof Refusal) return false;
        throw thrown;
      }
    }),
  );
  return [...new Set([record.id, ...ids.filter((_, index) => isSame[index])])];
}

/** Name of the stored channels of a file of a run, counted from 0. */
export const storedLogName = (index: number): string => (index === 0 ? logName : `log-${index + 1}.parquet`);

/** Names that a run's folder has files of its own by: its record, stored logs, and what is worked out of them. */
const ownNames = /^(run\.yaml|log(-\d+)?\.parquet|[a-z-]+\.json)$/i;

/** Name that an original is kept by: its own, unless the run has a file of that name itself. */
export function originalName(name: string): string {
  return ownNames.test(name) ? `original-${name}` : name;
}

/**
 * Adds a run: record, originals and logs, whole or not at all.
 * @param staging  holds the stored logs;  @param sources  the originals, in the order of the record
 * @returns its folder
 * Refuses  a run that is there already: a run is never overwritten; an original that changed meanwhile
 */
export async function addRun(
  folder: string,
  record: RunRecord,
  staging: Staging,
  sources: readonly string[],
): Promise<string> {
  const path = join(folder, runsName, record.id);
  const { runText, originalsOf } = await evidence();
  for (const [i, original] of originalsOf(record).entries()) {
    const into = join(staging.folder, original.file);
    await copied(sources[i] ?? "", into);
    const { sha256: found } = await hashFile(into);
    if (found !== original.sha256) {
      refuseFile(sources[i] ?? "", {
        code: "file-changed",
        found: "the file was changed by somebody else since it was read",
        allowed: "A run keeps the file that was read; nothing was written.",
        mend: "Let the logger finish its file, then give the same command again",
      });
    }
  }
  await writeWhole(join(staging.folder, recordName), runText(record), "never");
  await finishStaging(staging, path);
  return path;
}

async function copied(from: string, into: string): Promise<void> {
  try {
    await copyFile(from, into, constants.COPYFILE_EXCL | constants.COPYFILE_FICLONE);
    // The run is the user's own, whatever the rights of the file it came from.
    await chmod(into, 0o666 & ~process.umask());
  } catch (error) {
    refuseSystem(error, into, "write");
  }
}

/**
 * The channels of a run that have a role, its files on one clock: from the stored logs, or from the
 * originals where those are not of these mappings; of a long log those about its first stroke.
 * Refuses an original that is not the one that was imported, and one that the mapping no longer fits.
 */
export async function readRunLog(run: StoredRun): Promise<ChannelLog> {
  return (await readRun(run, strokeRows)).channels;
}

/**
 * The same with all strokes of a long log, up to as many rows as memory holds with ease; and what is to be
 * said where even those are not all.
 */
export async function readWholeRunLog(run: StoredRun): Promise<Window> {
  return await readRun(run, allRows);
}

async function readRun({ folder, record }: StoredRun, mostRows: number): Promise<Window> {
  const { joinLogs } = await evidence();
  const first = await fileLog(folder, record, 0, mostRows);
  const notices = [...first.notices];
  const further = [];
  for (const [i, { clock }] of (record.furtherFiles ?? []).entries()) {
    const read = await fileLog(folder, record.furtherFiles?.[i] ?? record, i + 1, mostRows);
    notices.push(...read.notices);
    further.push({ log: read.channels, clock });
  }
  return { channels: joinLogs(first.channels, record.original.file, further), notices };
}

type FilePart = Pick<RunRecord, "original" | "mapping">;

async function fileLog(
  folder: string,
  { original, mapping }: FilePart,
  index: number,
  mostRows: number,
): Promise<Window> {
  const path = join(folder, original.file);
  if ((await hashFile(path)).sha256 !== original.sha256) {
    return refuseFile(path, {
      code: "original-changed",
      found: "this is not the file that was imported: its SHA-256 differs from the one in run.yaml",
      allowed: "The original of a run stays as the logger wrote it; nothing rests on it otherwise.",
      mend: "Restore the file from your history, or import it as another run",
    });
  }
  const stored = join(folder, storedLogName(index));
  const kept = await storedLog(stored, path, mapping, mostRows);
  if (kept !== undefined) return kept;
  return await madeAnew(stored, path, mapping, mostRows);
}

/** The stored log, if it is whole and belongs to this original and this mapping. */
async function storedLog(
  stored: string,
  path: string,
  mapping: Mapping,
  mostRows: number,
): Promise<Window | undefined> {
  if ((await kindAt(stored)) !== "file") return undefined;
  const { about, names, rows } = await parquetHead(stored);
  const wanted = await marksOf(path, mapping);
  const isOurs = Object.entries(wanted).every(([key, value]) => about[key] === value);
  if (!isOurs) return undefined;
  const { channelUncertainties } = await evidence();
  const uncertainties = channelUncertainties(mapping);
  const own = names.filter(
    (name) => name !== "time_s" && name !== lineName && !name.startsWith(unreadPrefix),
  );
  const channels = mapping.channels.map(({ role, column }, i) => {
    const u = uncertainties[i];
    return { role, name: column.name, unit: "", ...(u === undefined ? {} : { standardUncertainty: u }) };
  });
  if (own.length !== channels.length) return undefined;
  const head = { channels, names: own, rows };
  return await readingParquet(stored, (connection) => readWindow(connection, stored, head, mostRows));
}

const lineName = "line_in_original";

/** Reads the original again and puts the log where it belongs, if the folder can be written. */
async function madeAnew(stored: string, path: string, mapping: Mapping, mostRows: number): Promise<Window> {
  return await withStaging(undefined, [path], async ({ folder, scratch }) => {
    const made = join(folder, logName);
    const { channels, head } = await (await openLog(path, scratch)).read(mapping, scratch, made);
    const beside = `${stored}.part`;
    try {
      await copyFile(made, beside);
      await rename(beside, stored);
    } catch (error) {
      if (!isSystemError(error)) throw error;
      await rm(beside, { force: true }).catch(() => undefined);
    }
    // Of a short log all rows are at hand already.
    if (head.rows <= strokeRows) return { channels, notices: [] };
    return await readingParquet(made, (connection) => readWindow(connection, made, head, mostRows));
  });
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
