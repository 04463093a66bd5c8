/** The time of one row, from a number, a stamp or a count. */
import { type Fault, FaultCollector, type Notice, refuse } from "../../fault/index.js";
import { parseQuantity, readUnit, toSi } from "../../quantity/index.js";
import { type Decimal, readCell } from "./cell.js";
import { findColumn, isFault } from "./columns.js";
import { mappingFault, type TimeMapping } from "./mapping.js";
import { readStamp, secondsPerDay } from "./stamp.js";
import type { Column, Table } from "./table.js";

/** Reads the time of rows in their order; undefined for a cell that is no time. */
export interface RowClock {
  /** Its column; absent if rows are counted. */
  readonly column?: Column;
  readonly read: (cell: string, row: number) => number | undefined;
  /** What was understood on the way, once all rows are read. */
  readonly notices: () => readonly Notice[];
  readonly declaredRate_Hz?: number;
}

/**
 * The clock of a mapping, or the faults that keep it from running.
 *
 * @param field  path of the time in the mapping
 */
export function rowClock(
  table: Table,
  time: TimeMapping,
  decimal: Decimal,
  declared: string | undefined,
  field: string,
): RowClock | readonly Fault[] {
  const faults = new FaultCollector();
  const column = time.column === undefined ? undefined : findColumn(table, time.column, `${field}.column`);
  if (column !== undefined && isFault(column)) return [column];
  const claimed = time.kind === "sample number" ? undefined : (time.declared_rate ?? declared);
  const rate_Hz =
    claimed === undefined
      ? undefined
      : faults.attempt(`${field}.declared_rate`, () => parseQuantity(claimed, "frequency"));
  const rest = {
    ...(column === undefined ? {} : { column }),
    ...(rate_Hz === undefined ? {} : { declaredRate_Hz: rate_Hz }),
  };
  if (time.kind === "stamp") return { ...rest, ...stampClock() };
  if (time.kind === "elapsed") {
    const words = time.unit;
    if (words === undefined) return [unitFault(time.column.name, field)];
    const unit = faults.attempt(`${field}.unit`, () => readUnit(words, "time"));
    if (unit === undefined) return faults.faults();
    const read = (cell: string) => {
      const reading = readCell(cell, decimal);
      return reading.kind === "number" ? toSi(unit, reading.value) : undefined;
    };
    return { ...rest, read, notices: () => [] };
  }
  if (time.rate === undefined) return [rateFault(declared, field)];
  const rate = faults.attempt(`${field}.rate`, () => positiveRate(time.rate ?? ""));
  if (rate === undefined) return faults.faults();
  return { ...rest, ...countClock(rate, column === undefined, decimal) };
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

function countClock(
  rate_Hz: number,
  countsRows: boolean,
  decimal: Decimal,
): Pick<RowClock, "read" | "notices"> {
  const read = (cell: string, row: number) => {
    if (countsRows) return row / rate_Hz;
    const reading = readCell(cell, decimal);
    return reading.kind === "number" ? reading.value / rate_Hz : undefined;
  };
  const notice = {
    code: "log-time-counted",
    text: `time is the ${countsRows ? "row" : "sample"} number over the stated rate of ${rate_Hz} Hz; the log holds nothing to check that rate against`,
  };
  return { read, notices: () => [notice] };
}

/** Stamps become seconds after the first; a time of day that falls by half a day has passed midnight. */
function stampClock(): Pick<RowClock, "read" | "notices"> {
  let first: { readonly day: number; readonly second: number; readonly text: string } | undefined;
  let latest = 0;
  let midnights = 0;
  let isAmbiguous = false;
  const read = (cell: string) => {
    const stamp = readStamp(cell);
    if (stamp === undefined) return undefined;
    isAmbiguous ||= stamp.ambiguous;
    first ??= { day: stamp.day ?? 0, second: stamp.second, text: cell };
    const days = stamp.day === undefined ? midnights : stamp.day - first.day;
    let t = days * secondsPerDay + (stamp.second - first.second);
    if (stamp.day === undefined && t < latest - secondsPerDay / 2) {
      midnights++;
      t += secondsPerDay;
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
  return { read, notices };
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
