/** What an instrument is, what it follows from, and the rates that a stroke asks for. */
import { historyPoints } from "../../evidence/index.js";
import { type Dimension, formatNumber, formatQuantity } from "../../quantity/index.js";
import type { Context } from "../context.js";
import type { AbortLimit } from "./abortLimits.js";
import type { ExpectedValue } from "./expected.js";
import { bandwidthForRise, rateForBandwidth, samplesPerPeriod, shareOfInputs } from "./sampling.js";
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

/** Thermal masses change in minutes; common practice, no source [1/s]. */
export const slowRate = 1;

/** An expected value by its id. */
export function expectedOf({ values }: InstrumentNeeds, id: string): ExpectedValue | undefined {
  return values.find((one) => one.id === id);
}

/** A limit by its id; undefined where it is not known. */
export function limitOf({ limits }: InstrumentNeeds, id: string): number | undefined {
  return limits.find((one) => one.id === id)?.limit;
}

/** Upper end of the band, else the value. */
export function highest(value: ExpectedValue | undefined): number | undefined {
  return value === undefined ? undefined : (value.band?.high ?? value.value);
}

/** A third of the uncertainty that the declared inputs leave. */
export function thirdOf(value: ExpectedValue | undefined): number | undefined {
  return value?.band === undefined ? undefined : shareOfInputs * uncertaintyOf(value.band);
}

/** The fastest opening of the band; undefined where nothing is known of it [s]. */
export function shortestStroke(needs: InstrumentNeeds): number | undefined {
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
export function fastestOf(rates: readonly (Rate | undefined)[]): Rate {
  const known = rates.flatMap((one) => one ?? []);
  const [first] = known.sort((a, b) => b.rate - a.rate);
  return first ?? { rate: slowRate, why: "no stroke is predicted: the rate is not known, this is the least" };
}

/** As many points as the reconciliation reads of a stroke. */
export function historyRate(needs: InstrumentNeeds): Rate | undefined {
  const shortest = shortestStroke(needs);
  if (shortest === undefined) return undefined;
  return {
    rate: historyPoints / shortest,
    why: `${historyPoints} points of the fastest stroke of the band, ${milli(shortest)}, are what the reconciliation reads`,
  };
}

/** The rise of the motor's current, which is the fastest thing that a drive does. */
export function currentRise({ prediction }: Context): number | undefined {
  const { inductance, resistance } = prediction.dossier.valve.drive?.motor ?? {};
  if (inductance === undefined || resistance === undefined || !(resistance.value > 0)) return undefined;
  const rise = (Math.log(9) * inductance.value) / resistance.value;
  return rise > 0 ? rise : undefined;
}

/** Bandwidth and rate for a rise. @param of what rises, for the reason */
export function riseRate(
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

/** A time in ms, of a second and more in s. */
export function milli(seconds: number): string {
  return formatQuantity(seconds, "time", { digits: 2, unit: seconds < 1 ? "ms" : "s" });
}

function hertz(value: number): string {
  return `${formatNumber(value, { digits: 2 })} Hz`;
}
