/** Which instruments a run needs, with range, rate, filter and uncertainty, each with what it follows from. */
import { historyPoints } from "../../evidence/index.js";
import {
  type Dimension,
  formatNumber,
  formatQuantity,
  lawDeviation,
  preferredUnit,
} from "../../quantity/index.js";
import type { Context } from "../context.js";
import type { AbortLimit } from "./abortLimits.js";
import { type ExpectedValue, warmUnit } from "./expected.js";
import {
  bandwidthForRise,
  fullScale,
  rateForBandwidth,
  rateForTime,
  roundedUp,
  samplesPerPeriod,
  shareOfInputs,
} from "./sampling.js";
import type { RunPlace } from "./stages.js";
import { type TimeNeed, uncertaintyOf } from "./timeNeed.js";

/** One instrument. */
export interface Instrument {
  readonly channel: string;
  /** Ends of the scale, SI of `dimension`. */
  readonly range: { readonly low: number; readonly high: number } | undefined;
  readonly dimension: Dimension;
  readonly unit: string;
  /** Samples per second, at least. */
  readonly rate_Hz: number;
  /** Corner of the low-pass filter ahead of the sampling, at least; undefined where none is asked for. */
  readonly filter_Hz: number | undefined;
  /** Standard uncertainty, at most, SI; undefined where nothing says which. */
  readonly uncertainty: number | undefined;
  readonly why: string;
}

/** Thermal masses change in minutes; common practice, no source [1/s]. */
const slowRate = 1;
/** What a pressure may do while the ball opens: a tenth of the stroke, an estimate [-]. */
const firstShare = 0.1;

/** What the instruments of a run follow from. */
export interface InstrumentNeeds {
  readonly place: RunPlace;
  readonly context: Context;
  readonly values: readonly ExpectedValue[];
  readonly limits: readonly AbortLimit[];
  readonly time: TimeNeed | undefined;
  /** Of a part alone: over which time, and how many readings of it. */
  readonly bench: { readonly horizon_s: number; readonly readings: number } | undefined;
}

/** The instruments of strokes and of parts alone; a leak test has its own. */
export function instrumentsFor(needs: InstrumentNeeds): readonly Instrument[] {
  return needs.bench === undefined ? strokeInstruments(needs) : benchInstruments(needs, needs.bench);
}

function strokeInstruments(needs: InstrumentNeeds): readonly Instrument[] {
  const { place, context } = needs;
  const isLiquid = context.prediction.nominal.flow !== undefined;
  return [
    angle(needs),
    ...electric(needs),
    ...torque(needs),
    ...windingTemperature(needs),
    ...(place.stage === "dry" ? [] : pressuresOf(needs)),
    ...(isLiquid ? flowing(needs) : []),
    ...(place.stage === "dry" ? [] : temperatures(needs)),
    ...(place.stage === "nitrogen" || place.stage === "propellant" ? [oxygenFraction(needs)] : []),
  ];
}

function expectedOf({ values }: InstrumentNeeds, id: string): ExpectedValue | undefined {
  return values.find((one) => one.id === id);
}

function limitOf({ limits }: InstrumentNeeds, id: string): number | undefined {
  return limits.find((one) => one.id === id)?.limit;
}

function highest(value: ExpectedValue | undefined): number | undefined {
  return value === undefined ? undefined : (value.band?.high ?? value.value);
}

/** A third of the uncertainty that the declared inputs leave. */
function thirdOf(value: ExpectedValue | undefined): number | undefined {
  return value?.band === undefined ? undefined : shareOfInputs * uncertaintyOf(value.band);
}

/** The fastest opening of the band; undefined where nothing is known of it [s]. */
function shortestStroke(needs: InstrumentNeeds): number | undefined {
  const times = [`opening:${needs.context.prediction.definition}`, "opening:command-to-end"].flatMap((id) => {
    const value = expectedOf(needs, id);
    return value?.band?.low ?? value?.value ?? [];
  });
  return times.length === 0 ? undefined : Math.min(...times);
}

interface Rate {
  readonly rate: number;
  readonly why: string;
}

/** The greatest of several rates, with its reason. */
function fastestOf(rates: readonly (Rate | undefined)[]): Rate {
  const known = rates.flatMap((one) => one ?? []);
  const [first] = known.sort((a, b) => b.rate - a.rate);
  return first ?? { rate: slowRate, why: "no stroke is predicted: the rate is not known, this is the least" };
}

/** As many points as the reconciliation reads of a stroke. */
function historyRate(needs: InstrumentNeeds): Rate | undefined {
  const shortest = shortestStroke(needs);
  if (shortest === undefined) return undefined;
  return {
    rate: historyPoints / shortest,
    why: `${historyPoints} points of the fastest stroke of the band, ${milli(shortest)}, are what the reconciliation reads`,
  };
}

/** The rise of the motor's current, which is the fastest thing that a drive does. */
function currentRise({ prediction }: Context): number | undefined {
  const { inductance, resistance } = prediction.dossier.valve.drive?.motor ?? {};
  if (inductance === undefined || resistance === undefined || !(resistance.value > 0)) return undefined;
  const rise = (Math.log(9) * inductance.value) / resistance.value;
  return rise > 0 ? rise : undefined;
}

function riseRate(
  rise_s: number | undefined,
  of: string,
): (Rate & { readonly bandwidth: number }) | undefined {
  if (rise_s === undefined) return undefined;
  const bandwidth = bandwidthForRise(rise_s);
  return {
    bandwidth,
    rate: rateForBandwidth(bandwidth),
    why: `${of} rises in ${milli(rise_s)}: bandwidth 0.35 / rise = ${hertz(bandwidth)}, ${samplesPerPeriod} samples to each period of it`,
  };
}

function angle(needs: InstrumentNeeds): Instrument {
  const travel = needs.context.prediction.dossier.valve.valve?.travel?.value;
  const { time } = needs;
  const timing =
    time === undefined
      ? undefined
      : {
          rate: rateForTime(time.data_s),
          why: `the instants between samples leave the time u = ${milli(time.data_s)}`,
        };
  const { rate, why } = fastestOf([timing, historyRate(needs)]);
  const end = expectedOf(needs, "opening:command-to-end")?.value;
  const uncertainty =
    time === undefined || travel === undefined || end === undefined
      ? undefined
      : (travel / end) * time.data_s;
  return {
    channel: "command and ball angle, on one clock",
    range: travel === undefined ? undefined : { low: 0, high: fullScale(travel) },
    dimension: "angle",
    unit: "deg",
    rate_Hz: roundedUp(rate),
    filter_Hz: undefined,
    uncertainty,
    why: time === undefined ? why : `${why}; ${time.words}`,
  };
}

function electric(needs: InstrumentNeeds): readonly Instrument[] {
  const { context } = needs;
  const rise = riseRate(currentRise(context), "the current (winding inductance over resistance)");
  const { rate, why } = fastestOf([rise, historyRate(needs)]);
  const common = { rate_Hz: roundedUp(rate), filter_Hz: rise?.bandwidth };
  const peak = expectedOf(needs, "peak-current");
  const lowest = expectedOf(needs, "lowest-voltage");
  const { drive, cases } = context.prediction.dossier.valve;
  const ofCase = cases?.find(({ id }) => id === context.prediction.caseId)?.open_circuit_voltage;
  const open = (ofCase ?? drive?.supply?.open_circuit_voltage)?.value;
  const most = highest(peak);
  return [
    {
      channel: "motor current",
      range:
        most === undefined ? undefined : { low: 0, high: fullScale(most, limitOf(needs, "motor-current")) },
      dimension: "current",
      unit: "A",
      ...common,
      uncertainty: thirdOf(peak),
      why,
    },
    {
      channel: "voltage at the driver",
      range: open === undefined ? undefined : { low: 0, high: fullScale(open) },
      dimension: "voltage",
      unit: "V",
      ...common,
      uncertainty: thirdOf(lowest),
      why: "as the current: it sags with it",
    },
  ];
}

function torque(needs: InstrumentNeeds): readonly Instrument[] {
  const breakaway = expectedOf(needs, "breakaway-torque");
  const most = highest(breakaway);
  if (most === undefined) return [];
  const { rate } = fastestOf([historyRate(needs)]);
  const reach = fullScale(most, limitOf(needs, "stem-torque"));
  return [
    {
      channel: "torque at the stem",
      range: { low: -reach, high: reach },
      dimension: "torque",
      unit: "N m",
      rate_Hz: roundedUp(rate),
      filter_Hz: undefined,
      uncertainty: thirdOf(breakaway),
      why: "both senses, up to the limit; without it torque comes from the current, with the uncertainty of the gears",
    },
  ];
}

function windingTemperature(needs: InstrumentNeeds): readonly Instrument[] {
  const winding = expectedOf(needs, "winding-temperature");
  const shortest = shortestStroke(needs);
  if (winding?.value === undefined) return [];
  const most = Math.max(highest(winding) ?? winding.value, limitOf(needs, "winding-temperature") ?? 0);
  const start = startTemperature(needs.context);
  const coldest = Math.min(start, winding.band?.low ?? start) - reachBelow_K;
  const rate = shortest === undefined ? slowRate : samplesPerPeriod / shortest;
  return [
    {
      channel: "winding temperature",
      range: { low: coldest, high: fullScaleAbove(coldest, most) },
      dimension: "temperature",
      unit: warmUnit(winding.value),
      rate_Hz: roundedUp(rate),
      filter_Hz: undefined,
      uncertainty: thirdOf(winding),
      why: `${samplesPerPeriod} samples in the fastest stroke: the copper heats in one; the resistance of the winding after each stroke will do`,
    },
  ];
}

function startTemperature({ conditions }: Context): number {
  return conditions.motor_temperature?.value ?? roomTemperature_K;
}
/** Of a laboratory [K]. */
const roomTemperature_K = 293.15;

/** Full scale of a thermometer, counted from the coldest that it shows. */
function fullScaleAbove(coldest: number, hottest: number): number {
  return coldest + fullScale(Math.max(hottest - coldest, 1));
}

function pressuresOf(needs: InstrumentNeeds): readonly Instrument[] {
  const { context } = needs;
  const { conditions, own } = context;
  const supply = conditions.supply_pressure;
  const wave = expectedOf(needs, "surge-close");
  const most = Math.max(supply?.value ?? Number.NaN, highest(wave) ?? 0);
  const shortest = shortestStroke(needs);
  const bounds = context.prediction.nominal.flow === undefined ? undefined : own.surge.bounds;
  const crossing =
    bounds === undefined ? undefined : Math.min(bounds.aheadCritical_s, bounds.behindCritical_s) / 2;
  const rise =
    crossing !== undefined && crossing > 0
      ? riseRate(crossing, "a wave that crosses the line once (L/a)")
      : riseRate(
          shortest === undefined ? undefined : firstShare * shortest,
          "the drop, lost within the first tenth of the opening (an estimate),",
        );
  const { rate, why } = fastestOf([rise, historyRate(needs)]);
  const frame = {
    range: Number.isNaN(most)
      ? undefined
      : { low: 0, high: fullScale(most, limitOf(needs, "line-pressure")) },
    dimension: "pressure" as const,
    unit: "bar(a)",
    rate_Hz: roundedUp(rate),
    filter_Hz: rise?.bandwidth,
    uncertainty: supply === undefined ? undefined : shareOfInputs * lawDeviation(supply.law) || undefined,
  };
  return [
    { channel: "pressure ahead of the valve", ...frame, why },
    {
      channel: "pressure behind the valve",
      ...frame,
      why: "as ahead of it: a blocked outlet takes the whole pressure",
    },
  ];
}

function flowing(needs: InstrumentNeeds): readonly Instrument[] {
  const flow = expectedOf(needs, "mass-flow");
  const drop = expectedOf(needs, "valve-drop");
  const { rate, why } = fastestOf([historyRate(needs)]);
  const one = (channel: string, of: ExpectedValue | undefined, reason: string): readonly Instrument[] => {
    const most = highest(of);
    if (of === undefined || most === undefined) return [];
    const { dimension, unit } = of;
    return [
      {
        channel,
        range: { low: 0, high: fullScale(most) },
        dimension,
        unit,
        rate_Hz: roundedUp(rate),
        filter_Hz: undefined,
        uncertainty: thirdOf(of),
        why: reason,
      },
    ];
  };
  return [
    ...one("flow", flow, why),
    ...one(
      "drop across the valve",
      drop,
      "Kv from flow and drop, by a cell of its own; it bears the supply pressure on one side",
    ),
  ];
}

function temperatures(needs: InstrumentNeeds): readonly Instrument[] {
  const { conditions } = needs.context;
  const places: readonly (readonly [string, number | undefined, number | undefined])[] = [
    [
      "fluid temperature ahead of the valve",
      conditions.fluid_temperature?.value,
      spread(conditions.fluid_temperature),
    ],
    [
      "body temperature of the valve",
      conditions.valve_temperature?.value,
      spread(conditions.valve_temperature),
    ],
    ["gearbox temperature", conditions.gearbox_temperature?.value, spread(conditions.gearbox_temperature)],
  ];
  return places.flatMap(([channel, value, u]): readonly Instrument[] =>
    value === undefined
      ? []
      : [
          {
            channel,
            range: {
              low:
                Math.min(value, limitOf(needs, "gearbox-temperature") ?? value, roomTemperature_K) -
                reachBelow_K,
              high: roomTemperature_K + reachAbove_K,
            },
            dimension: "temperature",
            unit: warmUnit(value),
            rate_Hz: slowRate,
            filter_Hz: undefined,
            uncertainty: u === undefined || !(u > 0) ? undefined : shareOfInputs * u,
            why: "from below the declared temperature and the limit to a warm day; thermal masses change in minutes",
          },
        ],
  );
}
/** How far a thermometer reaches beyond the coldest expected and the room; common practice, no source [K]. */
const reachBelow_K = 10;
const reachAbove_K = 30;

function spread(declared: Context["conditions"]["fluid_temperature"]): number | undefined {
  return declared === undefined ? undefined : lawDeviation(declared.law);
}

function oxygenFraction({ limits }: InstrumentNeeds): Instrument {
  const limit = limits.find(({ id }) => id === "oxygen-at-drive")?.limit;
  return {
    channel: "oxygen in the air",
    range: { low: 0, high: fullScale(airOxygen, limit) },
    dimension: "ratio",
    unit: "%",
    rate_Hz: slowRate,
    filter_Hz: undefined,
    uncertainty: undefined,
    why: "where people are and at packing and gearbox: inert gas displaces the air, a leak or condensed air enriches it; alarm levels are for the local rules to set",
  };
}
/** Oxygen in dry air by volume, rounded [-]. */
const airOxygen = 0.21;

function benchInstruments(
  { place, values, limits }: InstrumentNeeds,
  { horizon_s, readings }: NonNullable<InstrumentNeeds["bench"]>,
): readonly Instrument[] {
  const channels = [...new Set(values.map(({ id }) => id.split(":")[0] ?? id))];
  const isHeld = place.kind === "stem locked";
  return channels.flatMap((channel): readonly Instrument[] => {
    const own = values.filter(({ id }) => id.startsWith(`${channel}:`));
    const most = Math.max(...own.flatMap((one) => highest(one) ?? []));
    const end = own.find(({ id }) => id.endsWith("at the end"));
    if (end === undefined || !Number.isFinite(most)) return [];
    const limit = limits.find(
      ({ id }) =>
        id === (channel === "torque" ? "stem-torque" : channel === "current" ? "motor-current" : ""),
    )?.limit;
    return [
      {
        channel: end.name.replace(/, .*/, ""),
        range: { low: 0, high: fullScale(most, limit) },
        dimension: end.dimension,
        unit: preferredUnit(most, end.dimension),
        rate_Hz: isHeld ? samplesPerPeriod : roundedUp(readings / horizon_s),
        filter_Hz: undefined,
        uncertainty: thirdOf(end),
        why: isHeld
          ? "held at each step of the voltage; the mean of each is read"
          : `${readings} readings over ${milli(horizon_s)}, as the ranking of tests takes them`,
      },
    ];
  });
}

function milli(seconds: number): string {
  return formatQuantity(seconds, "time", { digits: 2, unit: seconds < 1 ? "ms" : "s" });
}

function hertz(value: number): string {
  return `${formatNumber(value, { digits: 2 })} Hz`;
}
