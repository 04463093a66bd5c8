/**
 * The mapping: which column of a log is which channel, in which unit and sense. It is data, stored
 * with the run, corrected by the user, and remembered for the next log of the same logger.
 */
import { type Fault, FaultCollector, nearName, Refusal, refuse } from "../../fault/index.js";
import { type Dimension, parseQuantity } from "../../quantity/index.js";
import { type Calibration, pointsIn, readCalibration, type ScalePoint } from "./calibration.js";
import type { Decimal } from "./cell.js";
import { isRecord, refuseKind, shown } from "./data.js";
import { type Delimiter, delimiters } from "./lines.js";
import { type RoleId, roleIds, roleOf } from "./roles.js";
import { type LogSource, readSource } from "./source.js";
import type { Dialect } from "./table.js";

/** A column by its name; the number, from 1, parts columns of one name and serves tables without names. */
export interface ColumnRef {
  readonly name: string;
  readonly index: number;
}

/** Where the time of a row comes from. */
export type TimeMapping =
  | {
      /** Time since some start, as a number. */
      readonly kind: "elapsed";
      readonly column: ColumnRef;
      /** Unit of a time; without it the log cannot be read. */
      readonly unit?: string;
      /** Day that the numbers count from, where they are dates; the time then counts from the first row. */
      readonly epoch?: string;
      /** The counter starts again from 0 at this reading. */
      readonly wraps_at?: number;
      /** Rows of one stamp, written in bursts, are spread evenly up to the next stamp. */
      readonly bursts?: "spread";
      /** Sampling rate that the logger claims; only compared. */
      readonly declared_rate?: string;
      readonly because?: string;
    }
  | {
      /** Date and time of day, or time of day alone. */
      readonly kind: "stamp";
      readonly column: ColumnRef;
      /** Holds the date, where the stamp is the time of day alone. */
      readonly date_column?: ColumnRef;
      readonly bursts?: "spread";
      readonly declared_rate?: string;
      readonly because?: string;
    }
  | {
      /** Number of the sample, or, without a column, of the row: time is that over the rate. */
      readonly kind: "sample number";
      readonly column?: ColumnRef;
      /** Without it the log cannot be read. */
      readonly rate?: string;
      /** Number of the sample, or of the row from 0, that is time 0: that of the trigger. */
      readonly zero_at?: number;
      readonly because?: string;
    };

/** One channel. Its value is sign * (value of the reading - zero). */
export interface ChannelMapping {
  readonly role: RoleId;
  readonly column: ColumnRef;
  /** Unit of the column. */
  readonly unit?: string;
  readonly sign: 1 | -1;
  /** Two readings with their values, where the column holds the bare signal of a sensor. */
  readonly scale?: readonly [ScalePoint, ScalePoint];
  /** For a pressure whose unit does not say: true counts from the atmosphere, false from vacuum. */
  readonly gauge?: boolean;
  /** How the reading of the sensor becomes the value; stands in place of a scale. */
  readonly calibration?: Calibration;
  /** Of the sensor, where no calibration says it: "0.5 deg". */
  readonly standard_uncertainty?: string;
  /** Value that counts as zero. */
  readonly zero?: string;
  /** Readings that stand for no value, as 9999. */
  readonly missing?: readonly number[];
  readonly because?: string;
}

export interface Mapping {
  readonly dialect: Dialect;
  /** Whose logs it is remembered for; absent in runs of before it was kept. */
  readonly source?: LogSource;
  readonly time: TimeMapping;
  readonly channels: readonly ChannelMapping[];
  /** Ambient pressure that gauge pressures count from; the standard atmosphere if absent. */
  readonly ambient_pressure?: string;
}

const mappingKeys = ["dialect", "source", "time", "channels", "ambient_pressure"] as const;
const dialectKeys = ["delimiter", "decimal", "header_line"] as const;
const timeKeys = [
  "kind",
  "column",
  "date_column",
  "unit",
  "epoch",
  "wraps_at",
  "bursts",
  "rate",
  "zero_at",
  "declared_rate",
  "because",
] as const;
const channelKeys = [
  "role",
  "column",
  "unit",
  "sign",
  "scale",
  "calibration",
  "standard_uncertainty",
  "gauge",
  "zero",
  "missing",
  "because",
] as const;
const decimals: readonly Decimal[] = ["point", "comma"];
const timeKinds = ["elapsed", "stamp", "sample number"] as const;

/**
 * Reads a mapping from plain data, as a file or a form gives it.
 *
 * @param field  path of the mapping in its file, for the faults
 * Refuses  unknown keys and words, wrong kinds, values that are no quantity of their channel, one role
 *          given twice; every fault at once, each with its field
 */
export function readMapping(data: unknown, field = "mapping"): Mapping {
  const faults = new FaultCollector();
  const at = (path: string) => `${field}.${path}`;
  const root = faults.attempt(field, () => recordOf(data, mappingKeys, "A mapping"));
  faults.refuseIfAny();
  const dialect = faults.attempt(at("dialect"), () => dialectOf(root?.dialect));
  const source =
    root?.source === undefined ? undefined : faults.attempt(at("source"), () => readSource(root.source));
  const time = faults.attempt(at("time"), () => timeOf(root?.time));
  const list = root?.channels;
  const channels = Array.isArray(list)
    ? list.map((entry: unknown, i) => faults.attempt(at(`channels[${i}]`), () => channelOf(entry)))
    : [];
  faults.attempt(at("channels"), () => {
    if (root !== undefined && !Array.isArray(list)) refuseKind("channels", list, "a list of channels");
  });
  faults.attempt(at("channels"), () => checkRoles(channels.filter((channel) => channel !== undefined)));
  const ambient = faults.attempt(at("ambient_pressure"), () => textOf(root?.ambient_pressure, "pressure"));
  faults.refuseIfAny();
  if (dialect === undefined || time === undefined) throw new Refusal(faults.faults());
  return {
    dialect,
    ...(source === undefined ? {} : { source }),
    time,
    channels: channels.filter((channel) => channel !== undefined),
    ...(ambient === undefined ? {} : { ambient_pressure: ambient }),
  };
}

type Data = Readonly<Record<string, unknown>>;

function recordOf(data: unknown, keys: readonly string[], what: string): Data {
  if (!isRecord(data)) return refuseKind("it", data, "a set of keys");
  for (const key of Object.keys(data)) {
    if (keys.includes(key)) continue;
    refuse(
      "mapping-key-unknown",
      `"${key}" is no key here`,
      `${what} has the keys ${keys.join(", ")}.`,
      "Remove it or write one of these.",
      nearName(key, keys),
    );
  }
  return data;
}

function dialectOf(data: unknown): Dialect {
  const record = recordOf(data, dialectKeys, "A dialect");
  const delimiter = wordOf(record.delimiter, Object.keys(delimiters) as Delimiter[], "delimiter");
  const decimal = wordOf(record.decimal, decimals, "decimal");
  const line = record.header_line;
  if (line === undefined) return { delimiter, decimal };
  if (typeof line !== "number" || !Number.isInteger(line) || line < 1) {
    refuseKind("header_line", line, "the number of the line with the column names, from 1");
  }
  return { delimiter, decimal, header_line: line };
}

function timeOf(data: unknown): TimeMapping {
  const record = recordOf(data, timeKeys, "The time");
  const kind = wordOf(record.kind, timeKinds, "kind");
  const column = record.column === undefined ? undefined : columnOf(record.column);
  const because = becauseOf(record.because);
  const declared = textOf(record.declared_rate, "frequency");
  const claimed = declared === undefined ? {} : { declared_rate: declared };
  if (kind === "sample number") {
    const rate = textOf(record.rate, "frequency");
    const zero = numberOf(record.zero_at, "zero_at", "the number of a sample");
    return {
      kind,
      ...(column === undefined ? {} : { column }),
      ...(rate === undefined ? {} : { rate }),
      ...(zero === undefined ? {} : { zero_at: zero }),
      ...because,
    };
  }
  if (column === undefined) refuseKind("column", undefined, "the column that holds the time");
  const bursts = burstsOf(record.bursts);
  if (kind === "stamp") {
    const day = record.date_column === undefined ? {} : { date_column: columnOf(record.date_column) };
    return { kind, column, ...day, ...bursts, ...claimed, ...because };
  }
  const { unit, epoch } = record;
  const wraps = numberOf(record.wraps_at, "wraps_at", "the reading at which the counter starts again");
  if (epoch !== undefined && (typeof epoch !== "string" || !isDay(epoch)))
    refuseKind("epoch", epoch, "a day, as 1970-01-01");
  if (unit !== undefined) {
    if (typeof unit !== "string") return refuseKind("unit", unit, "a unit of time, as s or ms");
    parseQuantity(`1 ${unit}`, "time");
  }
  return {
    kind,
    column,
    ...(unit === undefined ? {} : { unit }),
    ...(epoch === undefined ? {} : { epoch }),
    ...(wraps === undefined ? {} : { wraps_at: wraps }),
    ...bursts,
    ...claimed,
    ...because,
  };
}

function isDay(text: string): boolean {
  return /^\d{4}-\d{2}-\d{2}$/.test(text) && !Number.isNaN(Date.parse(text));
}

function numberOf(data: unknown, key: string, wanted: string): number | undefined {
  if (data === undefined) return undefined;
  return typeof data === "number" && Number.isFinite(data) ? data : refuseKind(key, data, wanted);
}

function burstsOf(data: unknown): { readonly bursts?: "spread" } {
  if (data === undefined) return {};
  return data === "spread" ? { bursts: data } : refuseKind("bursts", data, "spread, or left out");
}

function channelOf(data: unknown): ChannelMapping {
  const record = recordOf(data, channelKeys, "A channel");
  const role = wordOf(record.role, roleIds, "role");
  const column = columnOf(record.column);
  const { unit, gauge, sign, scale } = record;
  if (unit !== undefined && typeof unit !== "string")
    refuseKind("unit", unit, "the unit of the column, as text");
  if (gauge !== undefined && typeof gauge !== "boolean") {
    refuseKind("gauge", gauge, "true (counts from the atmosphere) or false (counts from vacuum)");
  }
  if (sign !== 1 && sign !== -1 && sign !== undefined) refuseKind("sign", sign, "1 or -1");
  const zero = record.zero;
  if (zero !== undefined && typeof zero !== "string")
    refuseKind("zero", zero, "a value with its unit, as text");
  const { calibration, missing } = record;
  const u = record.standard_uncertainty;
  if (u !== undefined && typeof u !== "string")
    refuseKind("standard_uncertainty", u, "a value with its unit, as text");
  if (missing !== undefined && !(Array.isArray(missing) && missing.every((one) => typeof one === "number")))
    refuseKind("missing", missing, "a list of readings, as [9999, -9999]");
  return {
    role,
    column,
    ...(unit === undefined ? {} : { unit }),
    sign: sign ?? 1,
    ...(scale === undefined ? {} : { scale: scaleOf(scale) }),
    ...(calibration === undefined ? {} : { calibration: readCalibration(calibration) }),
    ...(u === undefined ? {} : { standard_uncertainty: u }),
    ...(gauge === undefined ? {} : { gauge }),
    ...(zero === undefined ? {} : { zero }),
    ...(missing === undefined ? {} : { missing }),
    ...becauseOf(record.because),
  };
}

function columnOf(data: unknown): ColumnRef {
  if (typeof data === "string" && data.trim() !== "") return { name: data, index: 0 };
  const record = recordOf(data, ["name", "index"], "A column");
  const { name, index } = record;
  if (typeof name !== "string") refuseKind("column.name", name, "the name of a column, without its unit");
  if (index === undefined) return { name, index: 0 };
  if (typeof index !== "number" || !Number.isInteger(index) || index < 0) {
    refuseKind("column.index", index, "the number of the column, from 1");
  }
  return { name, index };
}

function scaleOf(data: unknown): readonly [ScalePoint, ScalePoint] {
  const points = pointsIn(data);
  const [low, high] = points;
  if (points.length !== 2 || low === undefined || high === undefined || low.reading === high.reading) {
    refuseKind("scale", data, "two points with different readings, each { reading: 0.5, value: 0 deg }");
  }
  return [low, high];
}

function checkRoles(channels: readonly ChannelMapping[]): void {
  const seen = new Map<RoleId, ChannelMapping>();
  for (const channel of channels) {
    const first = seen.get(channel.role);
    if (first !== undefined && channel.role !== "other") {
      refuse(
        "mapping-role-repeated",
        `"${first.column.name}" and "${channel.column.name}" are both ${channel.role}`,
        `Only one column can be ${roleOf(channel.role).words}.`,
        "Give one of them another role, or the role other.",
      );
    }
    seen.set(channel.role, channel);
  }
}

function wordOf<Word extends string>(data: unknown, words: readonly Word[], key: string): Word {
  const found = words.find((word) => word === data);
  if (found !== undefined) return found;
  return refuse(
    "mapping-word-unknown",
    `${key} is ${shown(data)}`,
    `${key} is one of: ${words.join(", ")}.`,
    "Write one of these.",
    typeof data === "string" ? nearName(data, words) : undefined,
  );
}

function textOf(data: unknown, dimension: Dimension): string | undefined {
  if (data === undefined) return undefined;
  if (typeof data !== "string") refuseKind("it", data, "a value with its unit, as text");
  parseQuantity(data, dimension);
  return data;
}

function becauseOf(data: unknown): { readonly because?: string } {
  if (data === undefined) return {};
  if (typeof data !== "string") refuseKind("because", data, "a text");
  return { because: data };
}

/** A fault of a mapping against the log it is used on. */
export function mappingFault(
  code: string,
  field: string,
  found: string,
  allowed: string,
  mend: string,
  near?: string,
): Fault {
  return { code, where: { field }, found, allowed, mend, ...(near === undefined ? {} : { near }) };
}
