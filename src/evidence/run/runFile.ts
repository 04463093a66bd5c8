/**
 * run.yaml: what is recorded of one test beside its log: the case it tested, when, the original file
 * and its hash, how its columns are read, and events moved by hand with who and why.
 * `coldturn import` writes it; mapping, moved events and notes may be edited.
 */
import { isMap, isNode, stringify } from "yaml";
import { z } from "zod";
import { newerFault, parseFile, plainDataOf } from "../../dossier/index.js";
import { type Place, Refusal, refuse, shapeFaults } from "../../fault/index.js";
import { eventIds } from "../../physics/motion/index.js";
import { parseQuantity, type Time } from "../../quantity/index.js";
import { alignmentMethods, type ClockAlignment } from "../clock/index.js";
import type { EventMove } from "../event/index.js";
import { type Mapping, readMapping } from "../log/mapping.js";

/** The file that came from the logger, kept as it was. */
export interface OriginalFile {
  readonly file: string;
  readonly sha256: string;
  readonly bytes: number;
}

/** Another log of the same test, with its own mapping and its own clock. */
export interface FurtherFile {
  readonly original: OriginalFile;
  readonly mapping: Mapping;
  readonly clock: ClockAlignment;
}

export interface RunRecord {
  readonly id: string;
  /** The case whose conditions it tested. */
  readonly case: string;
  /** When the test was made, ISO 8601; absent if nobody said and no stamp tells. */
  readonly date?: string;
  /** When it was imported, ISO 8601. */
  readonly imported: string;
  /** The first file; the clock of the run is its clock. */
  readonly original: OriginalFile;
  readonly mapping: Mapping;
  readonly furtherFiles?: readonly FurtherFile[];
  readonly moves: readonly EventMove[];
  /** Conditions of the test as measured beside the log, text by field path. */
  readonly conditions?: Readonly<Record<string, string>>;
  readonly notes?: string;
}

const move = z.strictObject({
  event: z.enum(eventIds),
  time: z.string(),
  uncertainty: z.string().optional(),
  who: z.string().min(1),
  why: z.string().min(1),
});

const original = z.strictObject({
  // Of a run that came from elsewhere too: it names a file of its own folder alone.
  file: z.string().regex(/^(?!\.{1,2}$)[^/\\\p{Cc}]+$/u, "is no name of a file of the run's own folder"),
  sha256: z.string().regex(/^[0-9a-f]{64}$/, "is no SHA-256 in hexadecimal"),
  bytes: z.number().int().nonnegative(),
});

const clock = z.strictObject({
  offset: z.string(),
  uncertainty: z.string(),
  drift: z.number().optional(),
  method: z.enum(alignmentMethods),
  how: z.string(),
  who: z.string().min(1).optional(),
  why: z.string().min(1).optional(),
});

const furtherFile = z.strictObject({ original, mapping: z.unknown(), clock });

/** A log of a thousand columns, each with its mapping, has some ten thousand keys. */
const limits = { largest: 20_000_000, mostFields: 50_000 };

/** Form of run.yaml; it rises when an older file would read otherwise. */
const runVersion = 1;

const runFile = z.strictObject({
  coldturn_run: z.literal(runVersion),
  id: z.string().min(1),
  case: z.string().min(1),
  date: z.string().optional(),
  imported: z.string(),
  original,
  mapping: z.unknown(),
  further_files: z.array(furtherFile).optional(),
  moved_events: z.array(move).optional(),
  conditions: z.record(z.string(), z.string()).optional(),
  notes: z.string().optional(),
});

const head = `# One test, as imported. The original file beside it is kept untouched.
# You may correct the mapping, move events (moved_events: event, time, who, why), set the clock of a
# further file by hand (clock: offset, uncertainty, method: by hand, how, who, why), state conditions as
# they were measured (conditions: supply_pressure: 27.4 bar(a) +/- 0.1 bar) and add notes.
`;

/** The text of run.yaml. */
export function runText(record: RunRecord): string {
  const data = {
    coldturn_run: runVersion,
    id: record.id,
    case: record.case,
    ...(record.date === undefined ? {} : { date: record.date }),
    imported: record.imported,
    original: record.original,
    mapping: record.mapping,
    ...(record.furtherFiles === undefined || record.furtherFiles.length === 0
      ? {}
      : { further_files: record.furtherFiles.map(furtherData) }),
    ...(record.moves.length === 0
      ? {}
      : {
          moved_events: record.moves.map(({ id, time_s, standardUncertainty_s, who, why }) => ({
            event: id,
            time: `${time_s} s`,
            ...(standardUncertainty_s === undefined ? {} : { uncertainty: `${standardUncertainty_s} s` }),
            who,
            why,
          })),
        }),
    ...(record.conditions === undefined ? {} : { conditions: record.conditions }),
    ...(record.notes === undefined ? {} : { notes: record.notes }),
  };
  return `${head}${stringify(data, { lineWidth: 110, aliasDuplicateObjects: false })}`;
}

function furtherData({ original, mapping, clock }: FurtherFile) {
  const { file: _, offset_s, standardUncertainty_s, drift, method, how, who, why } = clock;
  return {
    original,
    mapping,
    clock: {
      offset: `${offset_s} s`,
      uncertainty: `${standardUncertainty_s} s`,
      ...(drift === undefined ? {} : { drift }),
      method,
      how,
      ...(who === undefined ? {} : { who }),
      ...(why === undefined ? {} : { why }),
    },
  };
}

/** The originals of a run, the first file ahead. */
export function originalsOf(record: RunRecord): readonly OriginalFile[] {
  return [record.original, ...(record.furtherFiles ?? []).map(({ original }) => original)];
}

/** The clocks of the further files of a run against the clock of its first. */
export function clocksOf(record: RunRecord): readonly ClockAlignment[] {
  return (record.furtherFiles ?? []).map(({ clock }) => clock);
}

/**
 * Reads run.yaml.
 * @param path shown in faults
 * Refuses text that is no YAML mapping, unknown keys, wrong values: every fault at once with its line.
 */
export function readRun(text: string, path: string): RunRecord {
  const parsed = parseFile({ path, text }, limits);
  const data = plainDataOf(parsed);
  const { document, locate } = parsed;
  const placeOf = (keys: readonly (string | number)[]): Place => {
    const field = keys
      .map((key, i) => (typeof key === "number" ? `[${key}]` : i === 0 ? key : `.${key}`))
      .join("");
    const node = keys.length === 0 ? document?.contents : document?.getIn(keys, true);
    const offset = isNode(node) ? node.range?.[0] : undefined;
    if (offset === undefined) return { file: path, ...(field === "" ? {} : { field }) };
    return locate.place(offset, offset + 1, field);
  };
  if (!isMap(document?.contents)) {
    throw new Refusal([
      {
        code: "run-syntax",
        where: placeOf([]),
        found: "the file holds no keys",
        allowed: "run.yaml is a list of keys with values in YAML 1.2.",
        mend: "Mend the line, or import the log once more",
      },
    ]);
  }
  const version: unknown = document.contents.get("coldturn_run");
  if (Number.isInteger(version) && Number(version) > runVersion)
    throw new Refusal([newerFault(placeOf(["coldturn_run"]), Number(version), runVersion)]);
  const shaped = runFile.safeParse(data);
  if (!shaped.success) {
    throw new Refusal(
      shapeFaults(shaped.error.issues, {
        code: "run-field",
        allowed: "The keys and values of run.yaml are those that `coldturn import` writes.",
        mend: "Correct it, or import the log once more",
        keys: Object.keys(runFile.shape),
        placeOf,
      }),
    );
  }
  const { mapping, moved_events: moved, further_files: further, ...rest } = shaped.data;
  const read = withPlaces(() => readMapping(mapping, "mapping"), path, placeOf);
  const furtherFiles = (further ?? []).map((row, i): FurtherFile => {
    const field = `further_files[${i}].mapping`;
    return {
      original: row.original,
      mapping: withPlaces(() => readMapping(row.mapping, field), path, placeOf),
      clock: withPlaces(
        () => clockIn(row),
        path,
        () => placeOf(["further_files", i, "clock"]),
      ),
    };
  });
  const moves = (moved ?? []).map(
    (row, i): EventMove =>
      withPlaces(
        () => ({
          id: row.event,
          time_s: parseQuantity(row.time, "time") as Time,
          ...(row.uncertainty === undefined
            ? {}
            : { standardUncertainty_s: parseQuantity(row.uncertainty, "time") as Time }),
          who: row.who,
          why: row.why,
        }),
        path,
        () => placeOf(["moved_events", i]),
      ),
  );
  return {
    id: rest.id,
    case: rest.case,
    ...(rest.date === undefined ? {} : { date: rest.date }),
    imported: rest.imported,
    original: rest.original,
    mapping: read,
    ...(furtherFiles.length === 0 ? {} : { furtherFiles }),
    moves,
    ...(rest.conditions === undefined ? {} : { conditions: rest.conditions }),
    ...(rest.notes === undefined ? {} : { notes: rest.notes }),
  };
}

/** Refuses a clock set by hand without who and why, and an uncertainty that is none. */
function clockIn({ original, clock: row }: z.infer<typeof furtherFile>): ClockAlignment {
  const u = parseQuantity(row.uncertainty, "time");
  if (!(u > 0)) {
    refuse(
      "clock-uncertainty",
      `the clock of ${original.file} has an uncertainty of "${row.uncertainty}"`,
      "No two clocks are known to agree exactly; every time that spans both files rests on this value.",
      "Write the standard uncertainty of the offset, for example 2 ms",
    );
  }
  if (row.method === "by hand" && (row.who === undefined || row.why === undefined)) {
    refuse(
      "clock-by-hand",
      `the clock of ${original.file} is set by hand, and who did it or why is not said`,
      "What a person sets in place of what the logs say stands with a name and a reason.",
      "Write who and why",
    );
  }
  return {
    file: original.file,
    offset_s: parseQuantity(row.offset, "time"),
    standardUncertainty_s: u,
    ...(row.drift === undefined ? {} : { drift: row.drift }),
    method: row.method,
    how: row.how,
    ...(row.who === undefined ? {} : { who: row.who }),
    ...(row.why === undefined ? {} : { why: row.why }),
  };
}

/** Gives the faults of a part of the file their file and line. */
function withPlaces<T>(
  act: () => T,
  path: string,
  placeOf: (keys: readonly (string | number)[]) => Place,
): T {
  try {
    return act();
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    throw new Refusal(
      error.faults.map((fault) => ({
        ...fault,
        where: { ...placeOf(keysOf(fault.where.field)), ...fault.where, file: path },
      })),
    );
  }
}

function keysOf(field: string | undefined): readonly (string | number)[] {
  return [...(field ?? "").matchAll(/[A-Za-z_]\w*|\d+/g)].map(([key]) =>
    /^\d/.test(key) ? Number(key) : key,
  );
}
