/** The time of one row, from a number, a stamp or a count. */
import { type Fault, FaultCollector, type Notice, refuse } from "../../fault/index.js";
import { parseQuantity, readUnit } from "../../quantity/index.js";
import { type Decimal, readCell } from "./cell.js";
import { findColumn, isFault } from "./columns.js";
import { dateOf } from "./epoch.js";
import { cellsOf } from "./lines.js";
import { mappingFault, type TimeMapping } from "./mapping.js";
import { readStamp, secondsPerDay } from "./stamp.js";
import type { Column, Table } from "./table.js";

/** Reads the time of rows in their order; undefined for a cell that is no time. */
export interface RowClock {
  /** Its column; absent if rows are counted. */
  readonly column?: Column;
  /** Holds the date, where the clock's column holds the time of day. */
  readonly dateColumn?: Column;
  readonly read: (cell: string, row: number, date: string) => number | undefined;
  /** A column of numbers: time = factor (reading - origin), or (reading - origin) / divisor [s]. */
  readonly linear?: { readonly origin: number; readonly factor?: number; readonly divisor?: number };
  /** Rows are counted: time = (row - zero) / rate [s]. */
  readonly counted?: { readonly rate_Hz: number; readonly zero: number };
  /** Times after which its counter may begin again from 0 [s]. */
  readonly wraps_s: readonly number[];
  readonly isSpread: boolean;
  /** What was understood on the way, once all rows are read. */
  readonly notices: () => readonly Notice[];
  readonly declaredRate_Hz?: number;
}

type Reading = Pick<RowClock, "read" | "notices" | "linear" | "counted" | "wraps_s">;

/** Counters of 16 and 32 bits begin again after these counts. */
const counterReaches = [2 ** 16, 2 ** 32];
/** Rows that tell whether a column counts in whole numbers. */
const sampledRows = 200;

/**
 * The clock of a mapping, or the faults that keep it from running.
 *
 * @param field  path of the time in the mapping
 */
export function rowClock(
  table: Table,
  time: TimeMapping,
  declared: string | undefined,
  field: string,
): RowClock | readonly Fault[] {
  const faults = new FaultCollector();
  const { decimal } = table.dialect;
  const column = time.column === undefined ? undefined : findColumn(table, time.column, `${field}.column`);
  if (column !== undefined && isFault(column)) return [column];
  const dated = time.kind === "stamp" ? time.date_column : undefined;
  const dateColumn = dated === undefined ? undefined : findColumn(table, dated, `${field}.date_column`);
  if (dateColumn !== undefined && isFault(dateColumn)) return [dateColumn];
  const claimed = time.kind === "sample number" ? undefined : (time.declared_rate ?? declared);
  const rate_Hz =
    claimed === undefined
      ? undefined
      : faults.attempt(`${field}.declared_rate`, () => parseQuantity(claimed, "frequency"));
  const rest = {
    ...(column === undefined ? {} : { column }),
    ...(dateColumn === undefined ? {} : { dateColumn }),
    ...(rate_Hz === undefined ? {} : { declaredRate_Hz: rate_Hz }),
    isSpread: time.kind !== "sample number" && time.bursts === "spread",
  };
  if (time.kind === "stamp") return { ...rest, ...stampClock() };
  if (time.kind === "elapsed") {
    const words = time.unit;
    if (words === undefined) return [unitFault(time.column.name, field)];
    const unit = faults.attempt(`${field}.unit`, () => readUnit(words, "time"));
    if (unit === undefined) return faults.faults();
    return { ...rest, ...elapsedClock(time, unit.factor, firstReadings(table, column, decimal), decimal) };
  }
  if (time.rate === undefined) return [rateFault(declared, field)];
  const rate = faults.attempt(`${field}.rate`, () => positiveRate(time.rate ?? ""));
  if (rate === undefined) return faults.faults();
  return { ...rest, ...countClock(rate, time.zero_at ?? 0, column === undefined, decimal) };
}

function firstReadings(table: Table, column: Column | undefined, decimal: Decimal): readonly number[] {
  if (column === undefined) return [];
  return table.rows.slice(0, sampledRows).flatMap(({ text }) => {
    const reading = readCell(cellsOf(text, table.dialect.delimiter)[column.index - 1] ?? "", decimal);
    return reading.kind === "number" ? [reading.value] : [];
  });
}

/** Time as a number; a date counts from the first row, or its decimals would be lost. */
function elapsedClock(
  { unit = "s", epoch, wraps_at, column }: Extract<TimeMapping, { readonly kind: "elapsed" }>,
  factor: number,
  first: readonly number[],
  decimal: Decimal,
): Reading {
  const origin = epoch === undefined ? 0 : (first[0] ?? 0);
  const isCount = epoch === undefined && first.length > 0 && first.every(Number.isInteger);
  const reaches = wraps_at === undefined ? (isCount ? counterReaches : []) : [wraps_at];
  const read = (cell: string) => {
    const reading = readCell(cell, decimal);
    return reading.kind === "number" ? factor * (reading.value - origin) : undefined;
  };
  const zero =
    epoch === undefined
      ? []
      : [
          {
            code: "log-time-epoch",
            text: `"${column.name}" counts ${unit} since ${epoch}: its first row is of ${dateOf(origin, { unit, epoch })} by the clock of the logger, and time counts from there`,
            field: "mapping.time.epoch",
          },
        ];
  return {
    read,
    linear: { factor, origin },
    wraps_s: reaches.map((reach) => factor * reach),
    notices: () => zero,
  };
}

function positiveRate(words: string): number {
  const rate = parseQuantity(words, "frequency");
  if (rate > 0) return rate;
  return refuse(
    "log-rate-not-positive",
    `a sampling rate of "${words}"`,
    "A count becomes a time by a rate above 0.",
    "Write the rate of the logger, for example 1000 Hz.",
  );
}

function countClock(rate_Hz: number, zero: number, countsRows: boolean, decimal: Decimal): Reading {
  const read = (cell: string, row: number) => {
    if (countsRows) return (row - zero) / rate_Hz;
    const reading = readCell(cell, decimal);
    return reading.kind === "number" ? (reading.value - zero) / rate_Hz : undefined;
  };
  const what = countsRows ? "row" : "sample";
  const notice = {
    code: "log-time-counted",
    text: `time is the ${what} number over the stated rate of ${rate_Hz} Hz${zero === 0 ? "" : `, from ${what} ${zero}`}; the log holds nothing to check that rate against`,
  };
  return {
    read,
    ...(countsRows ? { counted: { rate_Hz, zero } } : { linear: { origin: zero, divisor: rate_Hz } }),
    wraps_s: [],
    notices: () => [notice],
  };
}

/** Stamps become seconds after the first; a time of day that falls by half a day has passed midnight. */
function stampClock(): Reading {
  let first: { readonly day: number; readonly second: number; readonly text: string } | undefined;
  let latest = 0;
  let midnights = 0;
  let isAmbiguous = false;
  const read = (cell: string, _: number, date: string) => {
    const written = date === "" ? cell : `${date} ${cell}`;
    const stamp = readStamp(written);
    if (stamp === undefined) return undefined;
    isAmbiguous ||= stamp.ambiguous;
    first ??= { day: stamp.day ?? 0, second: stamp.second, text: written };
    const days = (stamp.day ?? first.day) - first.day + midnights;
    let t = days * secondsPerDay + (stamp.second - first.second);
    // A date column may keep the day of the start past midnight, or turn late.
    const isApart = stamp.day === undefined || date !== "";
    if (isApart && t < latest - secondsPerDay / 2) {
      midnights++;
      t += secondsPerDay;
    } else if (isApart && midnights > 0 && t > latest + secondsPerDay / 2) {
      midnights--;
      t -= secondsPerDay;
    }
    latest = Math.max(latest, t);
    return t;
  };
  const notices = () => [
    ...(first === undefined
      ? []
      : [{ code: "log-time-zero", text: `time counts from the first stamp, ${first.text}` }]),
    ...(midnights === 0
      ? []
      : [{ code: "log-midnight", text: "the time of day passes midnight in the log" }]),
    ...(isAmbiguous
      ? [
          {
            code: "log-date-order",
            text: "the dates were read as month/day/year; the intervals do not depend on it within one day",
          },
        ]
      : []),
  ];
  return { read, notices, wraps_s: [] };
}

function unitFault(name: string, field: string): Fault {
  return mappingFault(
    "log-time-unit-missing",
    `${field}.unit`,
    `the time column "${name}" states no unit`,
    "Seconds, milliseconds and microseconds look alike in a column of numbers.",
    "Write the unit, for example unit: s.",
  );
}

function rateFault(declared: string | undefined, field: string): Fault {
  const known = declared === undefined ? "1000 Hz" : declared;
  return mappingFault(
    "log-rate-missing",
    `${field}.rate`,
    "the log has no time column: its rows can only be counted",
    "A count becomes a time by the sampling rate, which nothing in the rows states.",
    declared === undefined
      ? `Write the rate, for example rate: ${known}.`
      : `The metadata declare ${known}; if that is right, write rate: ${known}.`,
  );
}
