/** How the readings of one column become SI values. */
import { type Fault, FaultCollector } from "../../fault/index.js";
import {
  type Dimension,
  type Pressure,
  parseQuantity,
  readUnit,
  toSi,
  unitDimensions,
} from "../../quantity/index.js";
import { type ChannelMapping, mappingFault } from "./mapping.js";
import { needsScale, type RoleId, roleOf, siLabel, takesPressure } from "./roles.js";

/** A conversion, with the SI unit it ends in. */
export interface Conversion {
  readonly unit: string;
  readonly si: (reading: number) => number;
  /** How the unit was understood, where it leaves a choice. */
  readonly note?: string;
}

/**
 * The conversion of a channel, or every fault that keeps it from being known.
 *
 *   value = sign (si(reading) - zero),   si linear through two points where a scale is given
 *
 * @param field  path of the channel in the mapping
 * @param range  smallest and largest reading, for the advice
 */
export function conversionOf(
  channel: ChannelMapping,
  ambient: Pressure | undefined,
  field: string,
  range: readonly [number, number],
): Conversion | readonly Fault[] {
  const faults = new FaultCollector();
  const { role, unit, sign } = channel;
  const accepted = roleOf(role).dimensions;
  if (accepted.length === 0 && channel.scale === undefined) {
    const own = { unit: unit ?? "", si: (reading: number) => sign * reading };
    if (channel.zero === undefined) return own;
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
  const scaled = faults.attempt(`${field}.scale`, () => scaleOf(channel, dimension, options));
  const read =
    channel.scale === undefined
      ? faults.attempt(`${field}.unit`, () => readUnit(unitWords(channel), dimension, options))
      : undefined;
  const zero =
    channel.zero === undefined
      ? 0
      : faults.attempt(`${field}.zero`, () =>
          parseQuantity(channel.zero ?? "", zeroDimension(dimension), options),
        );
  if (faults.faults().length > 0 || zero === undefined) return faults.faults();
  const linear = scaled ?? (read === undefined ? undefined : (reading: number) => toSi(read, reading));
  if (linear === undefined) return faults.faults();
  return {
    unit: siLabel(dimension),
    si: (reading) => sign * (linear(reading) - zero),
    ...(read?.note === undefined ? {} : { note: read.note }),
  };
}

type Options = { readonly ambientPressure?: Pressure };

function scaleOf(
  channel: ChannelMapping,
  dimension: Dimension,
  options: Options,
): ((reading: number) => number) | undefined {
  if (channel.scale === undefined) return undefined;
  const [low, high] = channel.scale;
  const a = parseQuantity(low.value, dimension, options);
  const b = parseQuantity(high.value, dimension, options);
  const slope = (b - a) / (high.reading - low.reading);
  return (reading) => a + slope * (reading - low.reading);
}

/** The unit with its mark of gauge or absolute, which the mapping may hold apart. */
function unitWords(channel: ChannelMapping): string {
  const unit = channel.unit ?? "";
  if (!roleOf(channel.role).dimensions.includes("pressure") || channel.gauge === undefined) return unit;
  return unitDimensions(unit).includes("pressure") ? unit : `${unit}(${channel.gauge ? "g" : "a"})`;
}

/** The dimension among those of the role that the unit, or the scale's values, have. */
function dimensionOf(channel: ChannelMapping): Dimension | undefined {
  const words =
    channel.scale === undefined ? unitWords(channel) : channel.scale[0].value.replace(/^[^A-Za-z°µ%]*/, "");
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
  range: readonly [number, number],
): readonly Fault[] {
  const { role, unit, scale } = channel;
  const { words, dimensions } = roleOf(role);
  const runs = Number.isFinite(range[0])
    ? ` Its readings run from ${brief(range[0])} to ${brief(range[1])}.`
    : "";
  if (scale !== undefined) return [];
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
        `Write scale: [{ reading: ${low}, value: ... }, { reading: ${high}, value: ... }].`,
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
