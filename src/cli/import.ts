/** `coldturn import`: the log of a test becomes a run: original kept, mapping shown, events and times found. */
import { basename } from "node:path";
import {
  decodeText,
  type Inspection,
  inspectLog,
  type Log,
  type Mapping,
  measureStroke,
  type RunRecord,
  readLog,
  type StrokeMeasurement,
  strokeChannels,
} from "../evidence/index.js";
import { type Fault, Refusal, refuse } from "../fault/index.js";
import { addRun, type DossierFiles, now, readBytes, readRunRecord, runIds, sha256 } from "../host/index.js";
import type { Angle } from "../quantity/index.js";
import type { Command, Input } from "./command.js";
import { importPage } from "./importText.js";
import { mapKey, withCorrections } from "./mapOption.js";
import { type OpenDossier, openDossier } from "./openDossier.js";
import { folderArgument, folderIn, hasOption, textOption, textsOption } from "./options.js";

export const importCommand: Command = {
  name: "import",
  summary: "make a run of the log of a test",
  details: [
    "Reads the log of one test, proposes which column is which channel, finds the events and times of the stroke with their uncertainty, and keeps all of it in runs/<id>/: the original file untouched with its SHA-256, run.yaml with the mapping, and the channels in SI units as Parquet.",
    "What the log does not say (a unit, whether a pressure counts from vacuum) is asked for; nothing is dropped silently. Correct the proposal with --map; the mapping of an earlier run with the same columns is used again.",
  ],
  arguments: [
    folderArgument,
    {
      flags: "<log>",
      description: "log of the test: text with comma, semicolon, tab or blank separated values",
    },
  ],
  options: [
    { flags: "--case <id>", description: "the case that was tested, as in valve.yaml" },
    { flags: "--date <when>", description: "when the test was made, as 2031-04-18 or 2031-04-18T09:30:00Z" },
    { flags: "--run <id>", description: "id of the run (default: date, case and a number)" },
    {
      flags: "--map <key=value>",
      description: "correct the mapping: angle=<column>, angle.sign=-1, motor_current.unit=A, time.unit=ms",
      isRepeated: true,
    },
    { flags: "--anew", description: "propose a mapping anew, whatever earlier runs had" },
    { flags: "--note <text>", description: "a note to keep with the run" },
    { flags: "--dry-run", description: "show mapping, events and times, and write nothing" },
  ],
  examples: [
    {
      command: "coldturn import oxygen-main bench-03.csv --case dry-ambient --date 2031-04-18",
      says: "A test on the bench:",
    },
    {
      command:
        "coldturn import oxygen-main n2-01.csv --case nitrogen --map angle.sign=-1 --map motor_current.unit=A --dry-run",
      says: "A look at another log, with two corrections, before anything is written:",
    },
  ],
  act: async (input, desk) => {
    const [, path = ""] = input.arguments;
    const said = dateIn(input);
    const open = await openDossier(folderIn(input), caseTested(input));
    const original = await readBytes(path);
    const decoded = decodedLog(original, path);
    const proposal = await proposedMapping(open.files, decoded.text, path, hasOption(input, "anew"));
    const mapping = withCorrections(proposal.mapping, textsOption(input, "map"));
    const log = logBy(decoded.text, mapping, path);
    const date = said ?? stampedDate(mapping, proposal.inspection);
    const record: RunRecord = {
      id: textOption(input, "run") ?? (await freeId(open, date)),
      case: open.caseId,
      ...(date === undefined ? {} : { date }),
      imported: now(),
      original: { file: basename(path), sha256: sha256(original), bytes: original.byteLength },
      mapping,
      moves: [],
      ...noteIn(input),
    };
    requireId(record.id);
    const measurement = measured(open, record, log);
    desk.signal.throwIfAborted();
    const isDry = hasOption(input, "dry-run");
    const folder = isDry ? undefined : await addRun(open.files.folder, record, original, log);
    const notices = [...decoded.notices, ...proposal.notices, ...log.notices];
    const result = {
      run: record,
      folder: folder ?? null,
      mappingFrom: proposal.from ?? null,
      rows: log.rows,
      time: log.time,
      rejected: log.rejected,
      notices,
      events: measurement?.events ?? [],
      sense: measurement?.sense ?? null,
      times: measurement?.times ?? [],
      timesNotKnown: measurement?.timesNotKnown ?? [],
      measuringNotices: measurement?.notices ?? [],
    };
    return {
      status: 0,
      result,
      text: (page) =>
        importPage(page, { open, record, log, measurement, notices, from: proposal.from, folder }),
    };
  },
};

/** The case, which must be named: a test says nothing without its conditions. */
function caseTested(input: Input): string {
  return (
    textOption(input, "case") ??
    refuse(
      "case-missing",
      "no case is named",
      "A log is evidence for the conditions of one case of the valve file.",
      "Name it with --case <id>, or describe the test under `cases` in valve.yaml first",
    )
  );
}

function dateIn(input: Input): string | undefined {
  const text = textOption(input, "date");
  if (text === undefined) return undefined;
  const isDate = /^\d{4}-\d{2}-\d{2}(T\d{2}:\d{2}(:\d{2}(\.\d+)?)?(Z|[+-]\d{2}:\d{2}))?$/.test(text);
  if (isDate && !Number.isNaN(Date.parse(text))) return text;
  return refuse(
    "date-unreadable",
    `"${text}" is no date`,
    "The date of a test decides which predictions were sealed before it.",
    "Write it as 2031-04-18, or with time and zone as 2031-04-18T09:30:00Z",
  );
}

function noteIn(input: Input): { readonly notes?: string } {
  const notes = textOption(input, "note");
  return notes === undefined ? {} : { notes };
}

function decodedLog(bytes: Uint8Array, path: string) {
  return withFile(path, () => decodeText(bytes));
}

/**
 * When the log begins by its own stamps: the instant where they name their zone, else the day alone,
 * which counts from its first minute.
 */
function stampedDate({ time }: Mapping, { columns }: Inspection): string | undefined {
  if (time.kind !== "stamp") return undefined;
  const column = columns.find(({ name, index }) => name === time.column.name || index === time.column.index);
  const [, day, rest = ""] = /^(\d{4}-\d{2}-\d{2})(.*)$/.exec(column?.first[0]?.trim() ?? "") ?? [];
  const [, clock] = /^[T ](\d{2}:\d{2}(?::\d{2})?)[\d.,]*(?:Z|[+-]\d{2}:?\d{2})$/.exec(rest) ?? [];
  const zone = /(Z|[+-]\d{2}:?\d{2})$/.exec(rest)?.[1]?.replace(/(\d{2})(\d{2})$/, "$1:$2");
  return day === undefined || clock === undefined || zone === undefined ? day : `${day}T${clock}${zone}`;
}

interface Proposal {
  readonly inspection: Inspection;
  readonly mapping: Mapping;
  /** The earlier run whose mapping it is. */
  readonly from: string | undefined;
  readonly notices: Log["notices"];
}

/** The mapping of the newest run that fits this log; else a new proposal. */
async function proposedMapping(
  files: DossierFiles,
  text: string,
  path: string,
  isAnew: boolean,
): Promise<Proposal> {
  const inspection = withFile(path, () => inspectLog(text));
  const names = new Set(inspection.columns.map(({ name }) => name));
  const ids = isAnew ? [] : [...(await runIds(files.folder))].reverse();
  for (const id of ids) {
    const { mapping } = (await readRunRecord(files.folder, id)).record;
    const columns = [mapping.time.column, ...mapping.channels.map(({ column }) => column)];
    const fits = columns.every(
      (column) => column === undefined || (column.name !== "" && names.has(column.name)),
    );
    if (fits)
      return { inspection, mapping: { ...mapping, dialect: inspection.dialect }, from: id, notices: [] };
  }
  const { mapping, notices } = inspection;
  return {
    inspection,
    mapping,
    from: undefined,
    notices: notices.filter(({ code }) => code === "log-angle-reversed" || code === "log-angle-sense-open"),
  };
}

/** Reads the log; what the mapping leaves open is asked for in the words of --map. */
function logBy(text: string, mapping: Mapping, path: string): Log {
  try {
    return withFile(path, () => readLog(text, mapping));
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    throw new Refusal(thrown.faults.map((fault) => inMapWords(fault, mapping)));
  }
}

/** A fault of the mapping with the option that mends it: `--map motor_current.unit=...`. */
function inMapWords(fault: Fault, mapping: Mapping): Fault {
  const { field } = fault.where;
  const key = field === undefined ? undefined : mapKey(field, mapping);
  if (key === undefined) return fault;
  const mend = `${fault.mend.replace(/\.$/, "")}; here: --map ${key}=...`;
  return { ...fault, where: { ...fault.where, field: key }, mend };
}

/** Gives faults of a log the name of its file. */
function withFile<T>(path: string, act: () => T): T {
  try {
    return act();
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    throw new Refusal(thrown.faults.map((fault) => ({ ...fault, where: { file: path, ...fault.where } })));
  }
}

/** Date, case and the next free number: "2031-04-18-nitrogen-03". */
async function freeId({ files, caseId }: OpenDossier, date: string | undefined): Promise<string> {
  const ids = await runIds(files.folder);
  const stem = date === undefined ? caseId : `${date.slice(0, 10)}-${caseId}`;
  for (let n = 1; ; n++) {
    const id = `${stem}-${String(n).padStart(2, "0")}`;
    if (!ids.includes(id)) return id;
  }
}

function requireId(id: string): void {
  if (/^[A-Za-z0-9][A-Za-z0-9._-]{0,79}$/.test(id)) return;
  refuse(
    "run-id",
    `"${id}" cannot be the id of a run`,
    "It names a folder: letters, digits, points, hyphens and underscores, at most 80.",
    "Write, for example, --run 2031-04-18-nitrogen-01",
  );
}

/** Events and times, where the log has an angle and the valve a travel. */
function measured(open: OpenDossier, record: RunRecord, log: Log): StrokeMeasurement | undefined {
  const travel = open.filled.dossier.valve.valve?.travel?.value;
  const hasAngle = log.channels.some(({ role }) => role === "angle");
  if (travel === undefined || !hasAngle) return undefined;
  return measureStroke(record.id, strokeChannels(log), travel as Angle, record.moves);
}
