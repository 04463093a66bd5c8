/** `coldturn import`: the log of a test becomes a run: original kept, mapping shown, events and times found. */
import { basename } from "node:path";
import {
  decodeText,
  doubtedSense,
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
import { type Fault, type Notice, Refusal, refuse } from "../fault/index.js";
import { addRun, type DossierFiles, now, readBytes, readRunRecord, runIds, sha256 } from "../host/index.js";
import type { Angle } from "../quantity/index.js";
import type { Command, Input } from "./command.js";
import { importPage } from "./importText.js";
import { mapKey, withCorrections } from "./mapOption.js";
import { type OpenDossier, openDossier } from "./openDossier.js";
import { folderArgument, folderIn, hasOption, textOption, textsOption } from "./options.js";
import { conditionNotices } from "./testConditions.js";
import { dateNotices, headDate, readDate, stampedDate } from "./testDate.js";

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
    {
      flags: "--anew",
      description: "propose a mapping anew, whatever earlier runs had, also for a log that is a run already",
    },
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
    const typed = textOption(input, "date");
    const said = typed === undefined ? undefined : readDate(typed);
    const open = await openDossier(folderIn(input), caseTested(input));
    const original = await readBytes(path);
    const decoded = decodedLog(original, path);
    const proposal = await proposedMapping(open.files, decoded.text, path, hasOption(input, "anew"));
    const corrections = textsOption(input, "map");
    const mapping = withCorrections(proposal.mapping, corrections);
    const sense = senseNotices(decoded.text, mapping, corrections, proposal.from, path);
    const log = logBy(decoded.text, mapping, path);
    const stamped = stampedDate(mapping, proposal.inspection);
    const date = said ?? stamped;
    const dated = withFile(path, () => dateNotices(said, stamped ?? headDate(proposal.inspection), now()));
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
    if (!isDry && !hasOption(input, "anew")) await refuseSecondImport(open, record);
    const folder = isDry ? undefined : await addRun(open.files.folder, record, original, log);
    const notices = [
      ...decoded.notices,
      ...proposal.notices,
      ...sense,
      ...log.notices,
      ...dated,
      ...angleNotice(log, proposal.inspection),
      ...conditionNotices(open.filled.dossier, open.caseId, log, measurement),
    ];
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

function noteIn(input: Input): { readonly notes?: string } {
  const notes = textOption(input, "note");
  return notes === undefined ? {} : { notes };
}

function decodedLog(bytes: Uint8Array, path: string) {
  return withFile(path, () => decodeText(bytes));
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
    notices: notices.filter(({ code }) => code === "log-angle-reversed"),
  };
}

/**
 * What the log says against the sense of its angle, where nobody gave that sense for this very log.
 * Refuses an angle that an earlier mapping, or a column named on the command line, would turn the wrong
 * way: an opening would be judged as a closing.
 */
function senseNotices(
  text: string,
  mapping: Mapping,
  corrections: readonly string[],
  from: string | undefined,
  path: string,
): readonly Notice[] {
  if (corrections.some((one) => givesSense(one, mapping))) return [];
  const { mapping: other, notices } = withFile(path, () => doubtedSense(text, mapping));
  const reversed = notices.find(({ code }) => code === "log-angle-reversed");
  const angle = other.channels.find(({ role }) => role === "angle");
  const now = mapping.channels.find(({ role }) => role === "angle");
  if (reversed === undefined || angle === undefined || now === undefined) return notices;
  const turned = [
    `--map angle.sign=${angle.sign}`,
    ...(angle.zero === undefined ? [] : [`--map "angle.zero=${angle.zero}"`]),
  ];
  const source = from === undefined ? "" : `, read as in run ${from},`;
  throw new Refusal([
    {
      code: "log-angle-doubted",
      where: { file: path, field: "angle.sign" },
      found: `the angle${source} speaks against its sign ${now.sign}: ${reversed.text.replace(/: an opening ball[\s\S]*$|\. If the valve opened[\s\S]*$/, "")}`,
      allowed:
        "An opening ball turns to larger angles; read the other way, an opening would be judged as a closing.",
      mend: `If the valve opened, write ${turned.join(" ")}; if it closed, write --map angle.sign=${now.sign}; or let the mapping be proposed again with --anew`,
    },
  ]);
}

/** True for a correction that says which way the angle counts. */
function givesSense(correction: string, mapping: Mapping): boolean {
  const key =
    correction
      .split("=")[0]
      ?.trim()
      .replace(/^mapping\./, "") ?? "";
  return /^angle\.(sign|scale)$/.test(mapKey(`mapping.${key}`, mapping) ?? key);
}

/** A log without an angle is kept, and says nothing of the stroke. */
function angleNotice(log: Log, { columns }: Inspection): readonly Notice[] {
  if (log.channels.some(({ role }) => role === "angle")) return [];
  return [
    {
      code: "log-without-angle",
      text: `no column is mapped to the angle of the ball, so no events and no times are found, and the run cannot be held against a prediction. The columns are ${columns.map(({ name }) => name).join(", ")}; if one of them is the position sensor, write --map angle=<column> --map angle.unit=deg`,
    },
  ];
}

/** Refuses a log that is a run already: evidence counted twice narrows what it does not tell. */
async function refuseSecondImport({ files }: OpenDossier, { id, original }: RunRecord): Promise<void> {
  for (const other of await runIds(files.folder)) {
    if (other === id) continue;
    const { record } = await readRunRecord(files.folder, other);
    if (record.original.sha256 !== original.sha256) continue;
    refuse(
      "log-imported-already",
      `${original.file} is run ${other} already: the same bytes, SHA-256 ${original.sha256.slice(0, 12)}...`,
      "One test is evidence once; under two names it would count twice.",
      `Use run ${other}, correct its mapping in run.yaml, or import it again with --anew if it must stand twice`,
    );
  }
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
