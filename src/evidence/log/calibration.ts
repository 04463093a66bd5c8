/**
 * The calibration of a sensor: what its reading stands for, how well that is known, when and by whom it
 * was found. It stands with the channel in run.yaml, or in a file of its own, sensors/<id>.yaml of the
 * dossier, from which it is copied into the run at import.
 */
import { type Notice, nearName, refuse } from "../../fault/index.js";
import { type Dimension, parseQuantity } from "../../quantity/index.js";
import { isRecord, refuseKind } from "./data.js";

/** A reading of the sensor and the value it stands for. */
export interface ScalePoint {
  readonly reading: number;
  readonly value: string;
}

interface Standing {
  /** Unit of the readings; held against the unit of the column. */
  readonly reading_unit?: string;
  /** Of the value, as "0.2 deg"; it covers the whole range. */
  readonly standard_uncertainty: string;
  /** When it was made, YYYY-MM-DD. */
  readonly date: string;
  /** Last day on which it is good. */
  readonly valid_until?: string;
  /** Where it comes from: laboratory and certificate, or own comparison. */
  readonly origin: string;
}

/** A line through two points, straight pieces through a table, or a polynomial of the reading. */
export type Calibration = Standing &
  (
    | { readonly kind: "linear" | "table"; readonly points: readonly ScalePoint[] }
    | {
        readonly kind: "polynomial";
        /** Unit of the value. */
        readonly unit: string;
        /** Of the reading to the power 0, 1, 2 ...; in `unit`. */
        readonly coefficients: readonly number[];
        /** Smallest and largest reading it was fitted to. */
        readonly range?: readonly [number, number];
      }
  );

const kinds = ["linear", "table", "polynomial"] as const;
const keys = [
  "kind",
  "points",
  "unit",
  "coefficients",
  "range",
  "reading_unit",
  "standard_uncertainty",
  "date",
  "valid_until",
  "origin",
];

/**
 * Reads a calibration from plain data, as a file gives it.
 * Refuses  unknown keys, a kind that is none, points that are no points or not rising, texts that are
 *          no dates: the first of them
 */
export function readCalibration(data: unknown): Calibration {
  if (!isRecord(data)) return refuseKind("calibration", data, "a set of keys");
  for (const key of Object.keys(data)) {
    if (keys.includes(key)) continue;
    refuse(
      "mapping-key-unknown",
      `"${key}" is no key here`,
      `A calibration has the keys ${keys.join(", ")}.`,
      "Remove it or write one of these.",
      nearName(key, keys),
    );
  }
  const kind = kinds.find((one) => one === data.kind);
  if (kind === undefined) return refuseKind("calibration.kind", data.kind, "linear, table or polynomial");
  const standing: Standing = {
    ...(data.reading_unit === undefined ? {} : { reading_unit: textIn(data, "reading_unit", "a unit") }),
    standard_uncertainty: textIn(data, "standard_uncertainty", "a value with its unit, as 0.2 deg"),
    date: dayIn(data, "date"),
    ...(data.valid_until === undefined ? {} : { valid_until: dayIn(data, "valid_until") }),
    origin: textIn(data, "origin", "a text: laboratory and certificate, or how it was found"),
  };
  if (kind === "polynomial") {
    const range = data.range === undefined ? undefined : numbersIn(data, "range", 2);
    return {
      kind,
      unit: textIn(data, "unit", "the unit of the value"),
      coefficients: numbersIn(data, "coefficients", 1),
      ...(range === undefined ? {} : { range: [range[0] ?? 0, range[1] ?? 0] as const }),
      ...standing,
    };
  }
  const points = pointsIn(data.points);
  const isEnough = kind === "linear" ? points.length === 2 : points.length >= 2;
  const isRising = points.every(({ reading }, i) => i === 0 || reading > (points[i - 1]?.reading ?? reading));
  if (!isEnough || !isRising) {
    const count = kind === "linear" ? "two points" : "two or more points";
    refuseKind(
      "calibration.points",
      data.points,
      `${count} with rising readings, each { reading: 0.5, value: 0 deg }`,
    );
  }
  return { kind, points, ...standing };
}

type Data = Readonly<Record<string, unknown>>;

function textIn(data: Data, key: string, wanted: string): string {
  const text = data[key];
  return typeof text === "string" && text.trim() !== ""
    ? text
    : refuseKind(`calibration.${key}`, text, wanted);
}

function dayIn(data: Data, key: string): string {
  const text = data[key];
  const isDay =
    typeof text === "string" && /^\d{4}-\d{2}-\d{2}$/.test(text) && !Number.isNaN(Date.parse(text));
  return isDay ? text : refuseKind(`calibration.${key}`, text, "a day, as 2031-04-18");
}

function numbersIn(data: Data, key: string, least: number): readonly number[] {
  const list: unknown = data[key];
  const numbers = Array.isArray(list) ? list.filter((one) => typeof one === "number") : [];
  const isList = Array.isArray(list) && numbers.length === list.length && numbers.length >= least;
  return isList ? numbers : refuseKind(`calibration.${key}`, list, `a list of ${least} or more numbers`);
}

/** Points of a scale or of a calibration. */
export function pointsIn(data: unknown): readonly ScalePoint[] {
  if (!Array.isArray(data)) return [];
  return data.map((one: unknown) => {
    const { reading, value } = isRecord(one) ? one : { reading: undefined, value: undefined };
    if (typeof reading !== "number" || !Number.isFinite(reading)) {
      return refuseKind("reading", reading, "a number in the unit of the column");
    }
    if (typeof value !== "string") return refuseKind("value", value, "a value with its unit, as text");
    return { reading, value };
  });
}

/** Words of the unit that the values of a calibration are in. */
export function calibratedUnit(calibration: Calibration): string {
  if (calibration.kind === "polynomial") return calibration.unit;
  return (calibration.points[0]?.value ?? "").replace(/^[^A-Za-z°µ%]*/, "");
}

/**
 * Standard uncertainty in SI of a difference of values in words, as "0.2 deg" or "1 K".
 * @param dimension  of the value
 */
export function uncertaintyInSi(words: string, dimension: Dimension): number {
  const of =
    dimension === "pressure"
      ? "pressure difference"
      : dimension === "temperature"
        ? "temperature difference"
        : dimension;
  const value = parseQuantity(words, of);
  if (value > 0) return value;
  return refuse(
    "calibration-uncertainty",
    `a standard uncertainty of "${words}"`,
    "A calibration without doubt would outweigh everything else a run tells.",
    "Write the standard uncertainty of its certificate, or half of the stated error where that is all that is known.",
  );
}

/** What is to be said of a calibration on the day of a test. */
export function calibrationNotices(
  name: string,
  calibration: Calibration,
  day: string | undefined,
): readonly Notice[] {
  const { date, valid_until: until } = calibration;
  if (day === undefined) return [];
  if (until !== undefined && day.slice(0, 10) > until) {
    return [
      {
        code: "calibration-expired",
        text: `the calibration of "${name}" was good until ${until}, the test is of ${day.slice(0, 10)}; it was used all the same, with the uncertainty that it states`,
      },
    ];
  }
  if (day.slice(0, 10) >= date) return [];
  return [
    {
      code: "calibration-later",
      text: `the calibration of "${name}" is of ${date}, after the test of ${day.slice(0, 10)}; whether the sensor read so on that day is not known`,
    },
  ];
}
