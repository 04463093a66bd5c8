/** How the readings of one column become SI values. */
import { type Fault, FaultCollector, refuse } from "../../fault/index.js";
import {
  type Dimension,
  type Pressure,
  parseQuantity,
  readUnit,
  unitDimensions,
} from "../../quantity/index.js";
import { type Calibration, calibratedUnit, type ScalePoint, uncertaintyInSi } from "./calibration.js";
import { type Curve, onCurve } from "./curve.js";
import { type ChannelMapping, mappingFault } from "./mapping.js";
import { needsScale, type RoleId, roleOf, siLabel, takesPressure } from "./roles.js";
import { plainUnit } from "./unitText.js";

/** A conversion, with the SI unit it ends in. */
export interface Conversion {
  readonly unit: string;
  readonly curve: Curve;
  readonly sign: 1 | -1;
  /** SI value that counts as zero. */
  readonly zero: number;
  /** Readings that stand for no value. */
  readonly missing: readonly number[];
  /** Of the sensor, by its calibration or as stated; SI. Absent where nobody said. */
  readonly standardUncertainty?: number;
  /** Readings that its calibration was made for. */
  readonly range?: readonly [number, number];
  /** How the unit was understood, where it leaves a choice. */
  readonly note?: string;
}

/** Value of a reading: sign (curve(reading) - zero); not a number for a reading that stands for none. */
export function readingInSi({ curve, sign, zero, missing }: Conversion, reading: number): number {
  return missing.includes(reading) ? Number.NaN : sign * (onCurve(curve, reading) - zero);
}

/**
 * The conversion of a channel, or every fault that keeps it from being known.
 *
 *   value = sign (curve(reading) - zero),   curve that of the unit, of two points or of a calibration
 *
 * @param field  path of the channel in the mapping
 * @param range  smallest and largest reading, asked for where advice is needed
 */
export function conversionOf(
  channel: ChannelMapping,
  ambient: Pressure | undefined,
  field: string,
  range: () => readonly [number, number],
): Conversion | readonly Fault[] {
  const faults = new FaultCollector();
  const { role, unit, sign, missing = [] } = channel;
  const accepted = roleOf(role).dimensions;
  const isOwn = channel.scale === undefined && channel.calibration === undefined;
  if (accepted.length === 0 && isOwn) {
    const curve: Curve = { kind: "polynomial", coefficients: [0, 1] };
    if (channel.zero === undefined) return { unit: unit ?? "", curve, sign, zero: 0, missing };
    return [
      mappingFault(
        "log-zero-unusable",
        `${field}.zero`,
        `the role ${role} has no unit of its own, so a zero cannot be taken off`,
        "A zero is a value of the channel's quantity.",
        "Remove the zero or give the channel another role.",
      ),
    ];
  }
  const asked = questionsOf(channel, field, range);
  if (asked.length > 0) return asked;
  const dimension = dimensionOf(channel) ?? accepted[0] ?? "ratio";
  const options = ambient === undefined ? {} : { ambientPressure: ambient };
  const found = curveOf(channel, dimension, options, field, faults);
  const zero =
    channel.zero === undefined
      ? 0
      : faults.attempt(`${field}.zero`, () =>
          parseQuantity(channel.zero ?? "", zeroDimension(dimension), options),
        );
  const words = channel.calibration?.standard_uncertainty ?? channel.standard_uncertainty;
  const u =
    words === undefined
      ? undefined
      : faults.attempt(`${field}.standard_uncertainty`, () => uncertaintyInSi(words, dimension));
  if (faults.faults().length > 0 || zero === undefined || found === undefined) return faults.faults();
  return {
    unit: siLabel(dimension),
    sign,
    zero,
    missing,
    ...found,
    ...(u === undefined ? {} : { standardUncertainty: u }),
  };
}

type Options = { readonly ambientPressure?: Pressure };
type Found = Pick<Conversion, "curve" | "range" | "note">;

function curveOf(
  channel: ChannelMapping,
  dimension: Dimension,
  options: Options,
  field: string,
  faults: FaultCollector,
): Found | undefined {
  const { scale, calibration } = channel;
  if (calibration !== undefined) {
    return faults.attempt(`${field}.calibration`, () => calibrated(channel, calibration, dimension, options));
  }
  if (scale !== undefined) {
    return faults.attempt(`${field}.scale`, () => {
      const { readings, values } = pointsInSi(scale, dimension, options);
      const [x0 = 0, x1 = 1] = readings;
      const [y0 = 0, y1 = 0] = values;
      const slope = (y1 - y0) / (x1 - x0);
      return { curve: { kind: "polynomial", coefficients: [y0 - slope * x0, slope] } };
    });
  }
  return faults.attempt(`${field}.unit`, () => {
    const read = readUnit(unitWords(channel), dimension, options);
    const curve: Curve = read.reciprocal
      ? { kind: "reciprocal", factor: read.factor }
      : { kind: "polynomial", coefficients: [read.offset, read.factor] };
    return { curve, ...(read.note === undefined ? {} : { note: read.note }) };
  });
}

function calibrated(
  { column, unit }: ChannelMapping,
  calibration: Calibration,
  dimension: Dimension,
  options: Options,
): Found {
  const { reading_unit: own } = calibration;
  if (own !== undefined && unit !== undefined && plainUnit(own) !== plainUnit(unit)) {
    refuse(
      "calibration-unit",
      `the calibration is for readings in ${own}, "${column.name}" is in ${unit}`,
      "A calibration holds for the readings it was made with; a factor would slip in unseen.",
      "Correct reading_unit of the calibration or unit of the channel.",
    );
  }
  if (calibration.kind !== "polynomial") {
    const curve: Curve = { kind: "table", ...pointsInSi(calibration.points, dimension, options) };
    const [low = 0] = curve.readings;
    return { curve, range: [low, curve.readings[curve.readings.length - 1] ?? low] };
  }
  const { factor, offset } = readUnit(calibration.unit, dimension, options);
  const coefficients = calibration.coefficients.map((c, i) => factor * c + (i === 0 ? offset : 0));
  return {
    curve: { kind: "polynomial", coefficients },
    ...(calibration.range === undefined ? {} : { range: calibration.range }),
  };
}

function pointsInSi(points: readonly ScalePoint[], dimension: Dimension, options: Options) {
  return {
    readings: points.map(({ reading }) => reading),
    values: points.map(({ value }) => parseQuantity(value, dimension, options)),
  };
}

/** The unit with its mark of gauge or absolute, which the mapping may hold apart. */
function unitWords(channel: ChannelMapping): string {
  const unit = channel.unit ?? "";
  if (!roleOf(channel.role).dimensions.includes("pressure") || channel.gauge === undefined) return unit;
  return unitDimensions(unit).includes("pressure") ? unit : `${unit}(${channel.gauge ? "g" : "a"})`;
}

/** The dimension among those of the role that the unit, or the scale's values, have. */
function dimensionOf(channel: ChannelMapping): Dimension | undefined {
  const { scale, calibration } = channel;
  const words =
    calibration !== undefined
      ? calibratedUnit(calibration)
      : scale === undefined
        ? unitWords(channel)
        : scale[0].value.replace(/^[^A-Za-z°µ%]*/, "");
  return roleOf(channel.role).dimensions.find((dimension) => unitDimensions(words).includes(dimension));
}

/** A zero of a pressure or temperature is a difference; of the rest, a value. */
function zeroDimension(dimension: Dimension): Dimension {
  if (dimension === "pressure") return "pressure difference";
  return dimension === "temperature" ? "temperature difference" : dimension;
}

/** A unit that a channel of each role often has, for the questions. */
const exampleUnits: { readonly [id in RoleId]?: string } = {
  angle: "deg",
  motor_current: "A",
  supply_voltage: "V",
  pressure_upstream: "bar(a)",
  pressure_downstream: "bar(a)",
  temperature_fluid: "K",
  temperature_motor: "degC",
  flow: "kg/s",
  torque: "N m",
  strain: "ppm",
};

/** What the mapping must still say before the channel can be read. */
function questionsOf(
  channel: ChannelMapping,
  field: string,
  rangeOf: () => readonly [number, number],
): readonly Fault[] {
  const { role, unit, scale } = channel;
  const { words, dimensions } = roleOf(role);
  if (scale !== undefined || channel.calibration !== undefined) return [];
  const isMarked =
    !dimensions.includes("pressure") ||
    channel.gauge !== undefined ||
    unitDimensions(unit ?? "").includes("pressure");
  if (unit !== undefined && !needsScale(unit, role) && isMarked) return [];
  const range = rangeOf();
  const runs = Number.isFinite(range[0])
    ? ` Its readings run from ${brief(range[0])} to ${brief(range[1])}.`
    : "";
  const name = channel.column.name;
  const example = exampleUnits[role] ?? "V";
  if (unit === undefined) {
    return [
      mappingFault(
        "log-unit-missing",
        `${field}.unit`,
        `"${name}" is mapped to ${words}, and neither the log nor the mapping states its unit`,
        `A number without a unit is no reading.${runs}`,
        `Write the unit, for example unit: ${example}.`,
      ),
    ];
  }
  if (needsScale(unit, role)) {
    const low = Number.isFinite(range[0]) ? brief(range[0]) : "0";
    const high = Number.isFinite(range[1]) ? brief(range[1]) : "5";
    return [
      mappingFault(
        "log-scale-missing",
        `${field}.scale`,
        `"${name}" is in ${unit}, the bare signal of a sensor for ${words}`,
        `It becomes ${words} by two readings and the values they stand for: the two ends of an angle, or 0 and the rated point of a current shunt.${runs}`,
        `Write scale: [{ reading: ${low}, value: ... }, { reading: ${high}, value: ... }], or the calibration of the sensor.`,
      ),
    ];
  }
  if (dimensions.includes("pressure") && takesPressure(unit) && channel.gauge === undefined) {
    if (unitDimensions(unit).includes("pressure")) return [];
    return [
      mappingFault(
        "log-gauge-missing",
        `${field}.gauge`,
        `"${name}" in ${unit} does not say whether it counts from vacuum or from the atmosphere`,
        `The two differ by about one bar, and the program does not choose.${runs}`,
        "Write gauge: true if it counts from the atmosphere, gauge: false if from vacuum.",
      ),
    ];
  }
  return [];
}

function brief(value: number): string {
  return String(Number(value.toPrecision(4)));
}
