/** A first look at a log: its dialect, its columns, and a proposed mapping with the reason for each row. */
import { type Fault, type Notice, Refusal } from "../../fault/index.js";
import { unitDimensions } from "../../quantity/index.js";
import { isData, readCell } from "./cell.js";
import { doubtsOf } from "./doubt.js";
import { guessEpoch } from "./epoch.js";
import { cellsOf, type LogLine, linesOf } from "./lines.js";
import { type ChannelMapping, type Mapping, mappingFault, type TimeMapping } from "./mapping.js";
import { declaredRate, triggerSample } from "./metadata.js";
import { type Log, readTable } from "./read.js";
import { guessRole, plainName, type RoleGuess } from "./roles.js";
import { judgedSense, movesOf, type SensedMapping } from "./sense.js";
import { sentinelsIn } from "./sentinel.js";
import { isDate, isStamp, readStamp } from "./stamp.js";
import { type Column, type Dialect, findDialect, layTable, type MetadataLine, type Table } from "./table.js";

/** What a first look shows. */
export interface Inspection {
  readonly dialect: Dialect;
  readonly metadata: readonly MetadataLine[];
  /** Columns with their first cells as written. */
  readonly columns: readonly (Column & { readonly first: readonly string[] })[];
  readonly footer: readonly MetadataLine[];
  /** The proposal; every line of it says why. */
  readonly mapping: Mapping;
  /** The same before the sense of its angle was looked at. */
  readonly draft: Mapping;
  /** What must be answered before the log can be read; each names the key of the mapping to set. */
  readonly questions: readonly Fault[];
  /** What may be answered otherwise than proposed. */
  readonly notices: readonly Notice[];
  /** What only a proposal says: numbers that stand for no value. */
  readonly proposed: readonly Notice[];
}

const shownRows = 5;
const sampledRows = 2000;

/**
 * Looks at a log and proposes a mapping.
 *
 * @param text  of the log (see `decodeText`)
 * Refuses  a text that holds no table
 */
export function inspectLog(text: string): Inspection {
  return inspectLines(linesOf(text));
}

/**
 * Looks at lines of a log, all of them or its head, some from its middle and its tail.
 * Refuses  as `inspectLog`
 */
export function inspectLines(lines: readonly LogLine[]): Inspection {
  const dialect = findDialect(lines);
  const table = layTable(lines, dialect);
  const cells = table.rows
    .slice(0, sampledRows)
    .filter((line) => line.text.trim() !== "")
    .map((line) => cellsOf(line.text, dialect.delimiter));
  const columns = table.columns.map((column) => ({
    ...column,
    first: cells.slice(0, shownRows).map((row) => row[column.index - 1] ?? ""),
  }));
  const time = timeOf(table, cells);
  const { channels, notices: sentinels } = withMissing(
    table,
    dataRows(table, time),
    channelsOf(table, cells, time),
  );
  const draft: Mapping = { dialect, time, channels };
  const sensed = withSense(table, draft);
  const read = attempt(table, sensed.mapping);
  const doubtful = doubtfulDecimal(table);
  return {
    dialect,
    metadata: table.metadata,
    columns,
    footer: table.footer,
    mapping: sensed.mapping,
    draft,
    questions: doubtful.length > 0 ? doubtful : "faults" in read ? read.faults : [],
    notices: [...sensed.notices, ...("faults" in read ? [] : read.notices)],
    proposed: sentinels,
  };
}

/**
 * What a log says against the sense that a mapping gives its angle, as of an earlier run or of the
 * command line. The notices are those of a proposal, and the mapping is what would be proposed instead.
 *
 * @param text  of the log;  @param mapping  by which it is to be read
 * @returns     the mapping as it came and no notices, where nothing speaks against it
 */
export function doubtedSense(text: string, mapping: Mapping): SensedMapping {
  return withSense(layTable(linesOf(text), mapping.dialect), mapping);
}

/** What lines of a log say against their own mapping, beside the sense of the angle. */
export function doubtsIn(lines: readonly LogLine[], mapping: Mapping): readonly Notice[] {
  const read = attempt(layTable(lines, mapping.dialect), mapping);
  return "faults" in read ? [] : doubtsOf(read);
}

type Rows = readonly (readonly string[])[];

const timeName =
  /^(t|time|zeit|temps|tiempo|tempo|uhrzeit|timestamp|time ?stamp|elapsed( time)?|rel(ative)? time|date ?time|datetime|sec|seconds|clock)\b/;
const countName =
  /^(sample|samples|index|idx|n|no|nr|count|scan|row|record|reading|punkt|#)?( ?(number|no|nr|index|count))?$/;

/** Time by a column of stamps, else of times, else of sample numbers, else by counting rows. */
function timeOf(table: Table, rows: Rows): TimeMapping {
  const declared = declaredRate(table.metadata);
  const claimed = declared === undefined ? {} : { declared_rate: declared };
  const column = (index: number) => ({ name: table.columns[index]?.name ?? "", index: index + 1 });
  const all = table.columns.map((_, i) => rows.map((row) => row[i] ?? "").filter((cell) => cell !== ""));
  const most = (i: number, test: (cell: string) => boolean) => {
    const list = all[i] ?? [];
    return list.length > 0 && list.filter(test).length > 0.9 * list.length;
  };
  const named = table.columns.findIndex(
    ({ name, unit }, i) =>
      timeName.test(plainName(name)) &&
      (unit === undefined || unitDimensions(unit).includes("time")) &&
      most(i, (cell) => readCell(cell, table.dialect.decimal).kind === "number") &&
      rises(all[i] ?? [], table),
  );
  const stamped = table.columns.findIndex((_, i) => most(i, isStamp));
  const byUnit = table.columns.findIndex(
    ({ unit }, i) =>
      unit !== undefined && unitDimensions(unit).includes("time") && rises(all[i] ?? [], table),
  );
  const dated = table.columns.findIndex(
    ({ name }, i) =>
      /^(date|datum)$/.test(plainName(name)) &&
      rises(all[i] ?? [], table) &&
      guessEpoch(numbersOf(all[i] ?? [], table)[0] ?? Number.NaN, undefined) !== undefined,
  );
  const [elapsed = -1] = [named, byUnit, dated].filter((at) => at >= 0);
  if (elapsed >= 0) {
    const { unit, name } = table.columns[elapsed] ?? { name: "" };
    const first = numbersOf(all[elapsed] ?? [], table)[0] ?? Number.NaN;
    const epoch = guessEpoch(first, unit);
    const stated = epoch ?? (unit === undefined ? {} : { unit });
    const dated = epoch === undefined ? "" : `; numbers of this size are ${epoch.unit} since ${epoch.epoch}`;
    return {
      kind: "elapsed",
      column: column(elapsed),
      ...stated,
      ...burstsIn(all[elapsed] ?? []),
      ...claimed,
      because: `"${name}" rises from row to row${unit === undefined ? "" : `, in ${unit}`}${dated}`,
    };
  }
  if (stamped >= 0) {
    const example = all[stamped]?.[0] ?? "";
    const dates =
      readStamp(example)?.day === undefined ? table.columns.findIndex((_, i) => most(i, isDate)) : -1;
    const dated =
      dates < 0
        ? { words: "", part: {} }
        : {
            words: `, and "${table.columns[dates]?.name ?? ""}" their date`,
            part: { date_column: column(dates) },
          };
    const because = `"${table.columns[stamped]?.name ?? ""}" holds stamps like ${example}${dated.words}`;
    const bursts = burstsIn(all[stamped] ?? []);
    return { kind: "stamp", column: column(stamped), ...dated.part, ...bursts, ...claimed, because };
  }
  const counted = table.columns.findIndex(
    ({ name, unit }, i) => unit === undefined && countName.test(plainName(name)) && countsUp(all[i] ?? []),
  );
  if (!table.hasNames && rises(all[0] ?? [], table) && !countsUp(all[0] ?? [])) {
    const because = "the first column rises from row to row; the table has no names";
    return { kind: "elapsed", column: column(0), ...claimed, because };
  }
  const trigger = triggerSample(table.metadata);
  const rate = {
    ...(trigger === undefined ? {} : { zero_at: trigger }),
    ...(declared === undefined ? {} : { because: `the metadata declare ${declared}` }),
  };
  if (counted >= 0) return { kind: "sample number", column: column(counted), ...rate };
  // A time that falls is told by its reading: counted rows would turn an opening into a closing.
  const falling = table.columns.findIndex(
    ({ name, unit }, i) =>
      (unit === undefined ? timeName.test(plainName(name)) : unitDimensions(unit).includes("time")) &&
      most(i, (cell) => readCell(cell, table.dialect.decimal).kind === "number") &&
      falls(all[i] ?? [], table),
  );
  if (falling >= 0) {
    const { unit, name } = table.columns[falling] ?? { name: "" };
    const stated = unit === undefined ? {} : { unit };
    const because = `"${name}" is a time that falls from row to row`;
    return { kind: "elapsed", column: column(falling), ...stated, ...claimed, because };
  }
  return { kind: "sample number", ...rate };
}

/** Rows of one stamp from which a logger is taken to write in bursts. */
const burstFrom = 3;

/** Whether rows stand in bursts of one stamp each. */
function burstsIn(cells: readonly string[]): { readonly bursts?: "spread" } {
  const stamps = cells.filter((cell, i) => i === 0 || cell !== cells[i - 1]).length;
  return stamps > 1 && cells.length >= burstFrom * stamps ? { bursts: "spread" } : {};
}

function numbersOf(cells: readonly string[], table: Table): readonly number[] {
  return cells.flatMap((cell) => {
    const reading = readCell(cell, table.dialect.decimal);
    return reading.kind === "number" ? [reading.value] : [];
  });
}

/** Cells of all rows that are not set aside, for their width or their time, as far as that can be read. */
function dataRows(table: Table, time: TimeMapping): Rows {
  const read = attempt(table, { dialect: table.dialect, time, channels: [] });
  const kept = "faults" in read ? undefined : new Set(read.lines);
  return table.rows
    .filter(({ line }) => kept?.has(line) ?? true)
    .map(({ text }) => cellsOf(text, table.dialect.delimiter))
    .filter((row) => row.length >= table.columns.length);
}

/** Channels with the numbers that stand for no value, and what is said of them; every row is looked at. */
function withMissing(
  table: Table,
  rows: Rows,
  channels: readonly ChannelMapping[],
): { readonly channels: readonly ChannelMapping[]; readonly notices: readonly Notice[] } {
  const notices: Notice[] = [];
  const given = channels.map((channel, i): ChannelMapping => {
    const cells = rows.map((row) => row[channel.column.index - 1] ?? "");
    const missing = sentinelsIn(numbersOf(cells, table));
    if (missing.length === 0) return channel;
    notices.push(sentinelNotice(channel.column.name, missing, i));
    return { ...channel, missing };
  });
  return { channels: given, notices };
}

/** What is said where numbers of a column are proposed as no value. @param i  its place in the mapping, from 0 */
export function sentinelNotice(name: string, missing: readonly number[], i: number): Notice {
  return {
    code: "log-sentinel",
    text: `"${name}" holds ${missing.join(", ")}, far beyond its other readings: proposed as no value. If it is a reading, write missing: none`,
    field: `mapping.channels[${i}].missing`,
  };
}

function rises(cells: readonly string[], table: Table): boolean {
  const numbers = numbersOf(cells, table);
  if (numbers.length < 2) return numbers.length === 1;
  let up = 0;
  for (const [i, value] of numbers.entries()) if (i > 0 && value >= (numbers[i - 1] ?? value)) up++;
  const isHigher = (numbers[numbers.length - 1] ?? 0) > (numbers[0] ?? 0);
  const isCounter = beginsAgain(numbers);
  return up + (isCounter ? 1 : 0) >= 0.9 * (numbers.length - 1) && (isHigher || isCounter);
}

/** The same from the last row to the first. */
function falls(cells: readonly string[], table: Table): boolean {
  return cells.length > 2 && rises([...cells].reverse(), table);
}

/** A counter that falls once from near its largest reading to near 0. */
function beginsAgain(numbers: readonly number[]): boolean {
  const largest = numbers.reduce((most, value) => Math.max(most, value), 0);
  const falls = numbers.flatMap((value, i) => (value < (numbers[i - 1] ?? value) ? [i] : []));
  const [at = 0] = falls;
  const [before = 0, after = 0] = [numbers[at - 1], numbers[at]];
  return falls.length === 1 && before === largest && after >= 0 && after < 0.1 * largest;
}

function countsUp(cells: readonly string[]): boolean {
  return (
    cells.length > 1 &&
    cells.every((cell) => /^\d+$/.test(cell)) &&
    cells.slice(1, 20).every((cell, i) => Number(cell) > Number(cells[i]))
  );
}

function channelsOf(table: Table, rows: Rows, time: TimeMapping): readonly ChannelMapping[] {
  const guesses = table.columns
    .filter((column) => column.index !== time.column?.index && hasData(column, rows, table))
    .map((column) => ({ column, guess: guessRole(column.name, column.unit) }));
  const best = new Map<string, RoleGuess>();
  for (const { guess } of guesses) {
    const held = best.get(guess.role);
    if (held === undefined || guess.weight > held.weight) best.set(guess.role, guess);
  }
  return guesses.map(({ column, guess }): ChannelMapping => {
    const isBest = guess.role === "other" || best.get(guess.role) === guess;
    const { name, index, unit } = column;
    return {
      role: isBest ? guess.role : "other",
      column: { name, index },
      ...(unit === undefined ? {} : { unit }),
      sign: 1,
      because: isBest
        ? guess.because
        : `${guess.because}, but another column says so more clearly or stands before it`,
    };
  });
}

/** A column of remarks or dates, or one that is blank throughout, is no channel. */
function hasData(column: Column, rows: Rows, table: Table): boolean {
  const cells = rows.map((row) => row[column.index - 1] ?? "").filter((cell) => cell !== "");
  const role = guessRole(column.name, column.unit).role;
  if (cells.length === 0) return false;
  if (role === "command") return true;
  const data = cells.filter((cell) => isData(cell, table.dialect.decimal) && !isDate(cell) && !isStamp(cell));
  return data.length >= 0.5 * cells.length;
}

/** A time that every table has. */
const byRow: TimeMapping = { kind: "sample number", rate: "1 Hz" };

/** A proposal for the sense of the angle, where the log shows that it falls as the valve opens. */
function withSense(table: Table, mapping: Mapping): SensedMapping {
  const same = { mapping, notices: [] };
  const angle = mapping.channels.find((channel) => channel.role === "angle");
  if (angle === undefined) return same;
  const command = mapping.channels.filter((channel) => channel.role === "command");
  const needed = { ...mapping, channels: [angle, ...command] };
  const timed = attempt(table, needed);
  // Whether it falls is told by its rows too, where the time is still to be asked for.
  const log = "faults" in timed ? attempt(table, { ...needed, time: byRow }) : timed;
  if ("faults" in log) return same;
  const valuesOf = (at: number) =>
    log.channels[at]?.values.filter((value) => !Number.isNaN(value)) ?? new Float64Array();
  return judgedSense(mapping, movesOf(mapping, valuesOf(0), valuesOf(1)));
}

function attempt(table: Table, mapping: Mapping): Log | { readonly faults: readonly Fault[] } {
  try {
    return readTable(table, mapping);
  } catch (thrown) {
    if (thrown instanceof Refusal) return { faults: thrown.faults };
    throw thrown;
  }
}

/** A comma that parts the cells and also the decimals leaves about twice as many cells as names. */
function doubtfulDecimal(table: Table): readonly Fault[] {
  if (table.dialect.delimiter !== "comma" || table.hasNames) return [];
  const above = cellsOf(table.metadata[table.metadata.length - 1]?.text ?? "", "comma");
  const width = table.columns.length;
  const isHead = above.length >= 2 && width > above.length && width <= 2 * above.length;
  if (!isHead || above.some((cell) => isData(cell, "point"))) return [];
  return [
    mappingFault(
      "log-comma-twice",
      "mapping.dialect",
      `the rows have ${width} cells for ${above.length} names: the comma seems to part the columns and the decimals too`,
      "A comma can be only one of the two; which digits belong together cannot be told.",
      "Export the log again with semicolons between the columns or with decimal points.",
    ),
  ];
}
