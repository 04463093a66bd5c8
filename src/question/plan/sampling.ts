/**
 * What an instrument must be able to do, from what it shall measure: full scale, rate, filter and standard
 * uncertainty. Numbers alone; instruments.ts says which instrument.
 */
import { wilksSampleSize } from "../../numerics/index.js";

/** A scale reaches this far beyond the predicted band: a surprise shall be seen, not cut off; common practice, no source. */
export const beyondBand = 1.5;
/** And this far beyond the limit at which the run is stopped; common practice, no source. */
export const beyondLimit = 1.1;

/**
 * Full scale of an instrument.
 *
 *   max(1.5 high, 1.1 limit)
 *
 * @param high   upper end of the predicted band, counted from the zero of the scale
 * @param limit  at which the run is stopped; undefined where there is none
 * @returns      in the unit of both
 */
export function fullScale(high: number, limit?: number): number {
  return Math.max(beyondBand * high, limit === undefined ? 0 : beyondLimit * limit);
}

/**
 * Bandwidth that passes a first-order rise.
 *
 *   B = ln 9 / (2 pi t_r)
 *
 * @param rise_s  from 10 to 90 % of the step, > 0 [s];  @returns [Hz]
 * Source  the response of one pole, 1 - exp(-t/tau), whose 10 to 90 % rise takes tau ln 9
 */
export function bandwidthForRise(rise_s: number): number {
  return Math.log(9) / (2 * Math.PI * rise_s);
}

/** Samples to each period of the highest frequency kept: two are the bound, the filter's slope needs the others; common practice, no source. */
export const samplesPerPeriod = 10;

/**
 * Rate that keeps a signal of a bandwidth.
 *
 *   f > 2 B;  taken is 10 B
 *
 * @param bandwidth_Hz  > 0;  @returns [1/s]
 * Source  [shannon-1949, theorem 1], the factor of 2
 */
export function rateForBandwidth(bandwidth_Hz: number): number {
  return samplesPerPeriod * bandwidth_Hz;
}

/**
 * Rate at which the instants between samples leave a time with no more than a standard uncertainty.
 *
 *   u^2 = 2 T^2 / 12,   f = 1/T = 1 / (u sqrt(6))
 *
 * Both ends of the time lie anywhere in one interval T, each place equally likely.
 * @param u_s  standard uncertainty of the time, > 0 [s];  @returns [1/s]
 * Source  [gum-2008, 4.3.7], rectangular law
 */
export function rateForTime(u_s: number): number {
  return 1 / (u_s * Math.sqrt(6));
}

/**
 * Standard uncertainty of the data with which the validation uncertainty is just small enough.
 *
 *   u_D = sqrt((m / k)^2 - u_input^2 - u_num^2)
 *
 * @param margin  what k u_val may reach, >= 0;  @param k coverage factor
 * @returns       undefined where inputs and numerics alone reach further
 * Source         [asme-vv-20], u_val^2 = u_num^2 + u_input^2 + u_D^2
 */
export function dataUncertainty(
  margin: number,
  k: number,
  inputUncertainty: number,
  numericalUncertainty: number,
): number | undefined {
  const left = (margin / k) ** 2 - inputUncertainty ** 2 - numericalUncertainty ** 2;
  return margin >= 0 && left > 0 ? Math.sqrt(left) : undefined;
}

/** With data a third as uncertain as the inputs, both together are 5 % more uncertain than the inputs alone [-]. */
export const shareOfInputs = 1 / 3;

/**
 * Strokes of which the slowest is a limit for the wanted share of further ones, whatever their law.
 *
 *   least n with 1 - p^n >= c
 *
 * @param share  p, 0 < p < 1 [-];  @param confidence  c, 0 < c < 1 [-]
 * Source  [wilks-1941]
 */
export function strokesForShare(share: number, confidence: number): number {
  return wilksSampleSize({ coverage: share, confidence, sides: "one" });
}

/** A rate rounded up to two digits: what a data sheet can be asked for. */
export function roundedUp(rate: number): number {
  if (!(rate > 0) || !Number.isFinite(rate)) return rate;
  const step = 10 ** (Math.floor(Math.log10(rate)) - 1);
  return Number((Math.ceil(rate / step - 1e-9) * step).toPrecision(2));
}
