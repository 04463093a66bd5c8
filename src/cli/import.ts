/** `coldturn import`: the log of a test becomes a run: original kept, mapping shown, events and times found. */
import {
  type ChannelLog,
  type ClockAlignment,
  calibrationNotices,
  joinLogs,
  measureStroke,
  originalsOf,
  type RunRecord,
  type StrokeMeasurement,
  strokeChannels,
} from "../evidence/index.js";
import { type Fault, type Notice, Refusal, refuse } from "../fault/index.js";
import {
  addRun,
  clearBrokenImports,
  clockNotices,
  now,
  type OpenDossier,
  openDossier,
  readRunRecord,
  runIds,
  withStaging,
} from "../host/index.js";
import type { Angle } from "../quantity/index.js";
import type { Command, Input } from "./command.js";
import { clocksFor } from "./importClocks.js";
import { type ImportedFile, importedFiles } from "./importFiles.js";
import { importPage } from "./importText.js";
import { inMapKeys } from "./mapOption.js";
import { folderArgument, folderIn, hasOption, textOption, textsOption } from "./options.js";
import { conditionNotices } from "./testConditions.js";
import { dateNotices, headDate, readDate, stampedDate } from "./testDate.js";

export const importCommand: Command = {
  name: "import",
  summary: "make a run of the log of a test",
  details: [
    "Reads the log of one test, proposes which column is which channel, finds the events and times of the stroke with their uncertainty, and keeps all of it in runs/<id>/: the original file untouched with its SHA-256, run.yaml with the mapping, and the channels in SI units as Parquet.",
    "What the log does not say (a unit, whether a pressure counts from vacuum) is asked for; nothing is dropped silently. Correct the proposal with --map; the mapping of an earlier run with the same columns from the same source (logger, serial number, sampling rate, delimiter, as the log states them) is used again.",
    "A test recorded in several files is one run: name them all. The clock of the first is that of the run; the others are put on it by a command or another channel that both hold, with the uncertainty of it, or by --clock.",
  ],
  arguments: [
    folderArgument,
    {
      flags: "<log...>",
      description:
        "logs of the test: text with comma, semicolon, tab or blank separated values, Parquet or HDF5",
    },
  ],
  options: [
    { flags: "--case <id>", description: "the case that was tested, as in valve.yaml" },
    { flags: "--date <when>", description: "when the test was made, as 2031-04-18 or 2031-04-18T09:30:00Z" },
    { flags: "--run <id>", description: "id of the run (default: date, case and a number)" },
    {
      flags: "--map <key=value>",
      description:
        "correct the mapping: angle=<column>, angle.sign=-1, motor_current.unit=A, time.unit=ms, angle.calibration=<sensor>; 2:angle.sign=-1 is of the second file",
      isRepeated: true,
    },
    {
      flags: "--clock <file=offset>",
      description: 'set the clock of a further file by hand, as "dyn.csv=0.125 s +/- 2 ms"',
      isRepeated: true,
    },
    { flags: "--who <name>", description: "who sets a clock by hand" },
    { flags: "--why <text>", description: "why a clock is set by hand" },
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
    {
      command: "coldturn import oxygen-main controller.csv stand.csv --case nitrogen",
      says: "One test in two files with clocks of their own:",
    },
  ],
  act: async (input, desk) => {
    const typed = textOption(input, "date");
    const said = typed === undefined ? undefined : readDate(typed);
    const open = await openDossier(folderIn(input), caseTested(input));
    const paths = pathsIn(input);
    const isDry = hasOption(input, "dry-run");
    const broken = isDry ? [] : await clearBrokenImports(open.files.folder);
    const behind = isDry ? [] : await clockNotices(open.files.folder);
    const step = (what: string, done: number) =>
      desk.progress.tell(what, { done, total: 3, secondsLeft: Number.NaN });
    return await withStaging(isDry ? undefined : open.files.folder, paths, async (staging) => {
      step("reading the log", 0);
      const files = await importedFiles({
        files: open.files,
        paths,
        corrections: textsOption(input, "map"),
        isAnew: hasOption(input, "anew"),
        staging,
        signal: desk.signal,
      });
      const clocks = clocksFor(input, files);
      const dates = datesOf(files, said);
      const record = await recordOf(input, open, files, clocks, dates.date);
      const [first] = files;
      const log = joinLogs(
        first?.read.channels ?? { time_s: new Float64Array(), channels: [] },
        record.original.file,
        files.slice(1).flatMap(({ read }, i) => {
          const clock = clocks[i];
          return clock === undefined ? [] : [{ log: read.channels, clock }];
        }),
      );
      step("measuring the stroke", 1);
      const measurement = measured(open, record, log);
      desk.signal.throwIfAborted();
      if (!isDry && !hasOption(input, "anew")) await refuseSecondImport(open, record);
      step("keeping the run", 2);
      const folder = isDry ? undefined : await addRun(open.files.folder, record, staging, paths);
      const notices = [
        ...broken,
        ...behind,
        ...files.flatMap((file) => fileNotices(file, files.length, dates.date)),
        ...dates.notices,
        ...angleNotice(log, files),
        ...conditionNotices(open.filled.dossier, open.caseId, log, measurement),
      ];
      const faults = impossibleFaults(measurement, files, folder);
      const result = {
        run: record,
        folder: folder ?? null,
        ...fileResult(first),
        files: files.map((file, i) => ({
          file: file.name,
          ...fileResult(file),
          clock: clocks[i - 1] ?? null,
        })),
        notices,
        events: measurement?.events ?? [],
        sense: measurement?.sense ?? null,
        times: measurement?.times ?? [],
        timesNotKnown: measurement?.timesNotKnown ?? [],
        measuringNotices: measurement?.notices ?? [],
      };
      return {
        status: faults.length > 0 ? 2 : 0,
        faults,
        result,
        text: (page) => importPage(page, { open, record, files, measurement, notices, folder }),
      };
    });
  },
};

/** The logs that were named: the first one, whose clock is that of the run, and further ones. */
function pathsIn({ arguments: [, first = "", ...further] }: Input): readonly string[] {
  return [first, ...further];
}

/** What is said of one file in JSON. */
function fileResult(file: ImportedFile | undefined) {
  if (file === undefined) return {};
  const { rows, time, rejected, rejectedCount, names, channels } = file.read.head;
  return {
    mappingFrom: file.from ?? null,
    rows,
    time,
    channels: channels.map((channel, i) => ({ ...channel, stored: names[i] ?? null })),
    rejected,
    rejectedCount,
  };
}

/** Notices of one file, with its name where there are several. */
function fileNotices(file: ImportedFile, count: number, date: string | undefined): readonly Notice[] {
  const calibrated = file.mapping.channels.flatMap(({ column, calibration }) =>
    calibration === undefined ? [] : calibrationNotices(column.name, calibration, date),
  );
  const all = [...file.notices, ...calibrated].map((notice) => inMapKeys(notice, file.mapping));
  return count === 1 ? all : all.map((notice) => ({ ...notice, text: `${file.name}: ${notice.text}` }));
}

/** The date of the test, and what speaks against it. */
function datesOf(files: readonly ImportedFile[], said: string | undefined) {
  const stamps = files.flatMap(({ mapping, inspection }) => stampedDate(mapping, inspection) ?? []);
  const heads = files.flatMap(({ inspection }) => headDate(inspection) ?? []);
  const date = said ?? stamps[0];
  const path = files[0]?.path ?? "";
  return { date, notices: withFile(path, () => dateNotices(said, stamps[0] ?? heads[0], now())) };
}

async function recordOf(
  input: Input,
  open: OpenDossier,
  files: readonly ImportedFile[],
  clocks: readonly ClockAlignment[],
  date: string | undefined,
): Promise<RunRecord> {
  const [first, ...further] = files;
  if (first === undefined) throw new Error("an import without a file");
  const id = textOption(input, "run") ?? (await freeId(open, date));
  requireId(id);
  const furtherFiles = further.flatMap(({ original, mapping }, i) => {
    const clock = clocks[i];
    return clock === undefined ? [] : [{ original, mapping, clock }];
  });
  return {
    id,
    case: open.caseId,
    ...(date === undefined ? {} : { date }),
    imported: now(),
    original: first.original,
    mapping: first.mapping,
    ...(furtherFiles.length === 0 ? {} : { furtherFiles }),
    moves: [],
    ...noteIn(input),
  };
}

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

/** A log without an angle is kept, and says nothing of the stroke. */
function angleNotice(log: ChannelLog, files: readonly ImportedFile[]): readonly Notice[] {
  if (log.channels.some(({ role }) => role === "angle")) return [];
  const columns = files.flatMap(({ inspection }) => inspection.columns);
  return [
    {
      code: "log-without-angle",
      text: `no column is mapped to the angle of the ball, so no events and no times are found, and the run cannot be held against a prediction. The columns are ${columns.map(({ name }) => name).join(", ")}; if one of them is the position sensor, write --map angle=<column> --map angle.unit=deg`,
    },
  ];
}

/**
 * An angle that cannot be that of this valve: the run is kept, since its original and the rest of its mapping
 * stand, and what it needs is asked for; until then it shows no times and no command judges it.
 */
function impossibleFaults(
  measurement: StrokeMeasurement | undefined,
  files: readonly ImportedFile[],
  folder: string | undefined,
): readonly Fault[] {
  const found = measurement?.detection.impossible;
  const file = files.find(({ mapping }) => mapping.channels.some(({ role }) => role === "angle"));
  if (found === undefined || file === undefined) return [];
  const [first] = files;
  const number = file === first ? "" : `${files.indexOf(file) + 1}:`;
  const keys = `--map ${number}angle=<column>, ${number}angle.unit=deg or "${number}angle.scale=0:0 deg,90:90 deg"`;
  return [
    {
      code: "log-angle-impossible",
      where: { file: file.path, field: "angle.unit" },
      found,
      allowed:
        "Such an angle is not that of the ball: the times of the motion are not known, and the run is held against no prediction.",
      mend:
        folder === undefined
          ? `Correct its column, unit or scale (readings with their values, where the head of the log names a wrong unit) with ${keys}, or valve.travel in valve.yaml`
          : `The original is kept in ${folder}: correct column, unit or scale of the channel angle under mapping in its run.yaml (scale: readings with their values, where the head of the log names a wrong unit), or valve.travel in valve.yaml`,
    },
  ];
}

/** Refuses a log that is a run already: evidence counted twice narrows what it does not tell. */
async function refuseSecondImport({ files }: OpenDossier, record: RunRecord): Promise<void> {
  for (const other of await runIds(files.folder)) {
    if (other === record.id) continue;
    const stored = originalsOf((await readRunRecord(files.folder, other)).record);
    const twice = originalsOf(record).find(({ sha256 }) => stored.some((one) => one.sha256 === sha256));
    if (twice === undefined) continue;
    refuse(
      "log-imported-already",
      `${twice.file} is run ${other} already: the same bytes, SHA-256 ${twice.sha256.slice(0, 12)}...`,
      "One test is evidence once; under two names it would count twice.",
      `Use run ${other}, correct its mapping in run.yaml, or import it again with --anew if it must stand twice`,
    );
  }
  const own = originalsOf(record);
  const same = own.find(({ sha256 }, i) => own.findIndex((one) => one.sha256 === sha256) < i);
  if (same === undefined) return;
  refuse(
    "log-imported-already",
    `${same.file} stands twice among the files: the same bytes`,
    "A log tells once what it tells.",
    "Name each log of the test once",
  );
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
function measured(open: OpenDossier, record: RunRecord, log: ChannelLog): StrokeMeasurement | undefined {
  const travel = open.filled.dossier.valve.valve?.travel?.value;
  const hasAngle = log.channels.some(({ role }) => role === "angle");
  if (travel === undefined || !hasAngle) return undefined;
  return measureStroke(record.id, strokeChannels(log), travel as Angle, record.moves);
}
