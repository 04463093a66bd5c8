/** A signal at rest: its level, its noise, and how well the level is known. */
import { mean, median, standardDeviation } from "../../numerics/index.js";
import { resolutionUncertainty } from "./staircase.js";

export interface Rest {
  readonly level: number;
  readonly levelUncertainty: number;
  /** Standard deviation of one sample, the reading's own steps included. */
  readonly noise: number;
  /** Number of samples that carry the information of one independent sample, >= 1. */
  readonly correlation: number;
  readonly highest: number;
  readonly samples: number;
}

/** Samples nearest to the motion that make a rest; more would let a slow drift in. */
const mostSamples = 400;
/** Deviations beyond this many of the robust spread are spikes and left out. */
const spike = 6;
/** Fewer samples say nothing about correlation. */
const leastForCorrelation = 40;
/** Spread of a normal law over its median absolute deviation. */
const normalPerMedian = 1.4826;

/**
 * Level and noise of a rest.
 *
 * @param values  samples in order, the last ones nearest to the motion, without NaN; at least one
 * @param step    resolution step of the reading, 0 if none
 * @param least   smallest noise assumed, > 0
 * Source  uncertainty of a mean of correlated samples: s^2 (1 + 2 sum rho_k)/n; steps: docs/theory/events.md, "Resolution"
 */
export function restOf(values: ArrayLike<number>, step: number, least: number): Rest {
  const from = Math.max(0, values.length - mostSamples);
  const near = Array.from({ length: values.length - from }, (_, i) => values[from + i] ?? 0);
  const middle = median(near);
  const spread = normalPerMedian * median(near.map((v) => Math.abs(v - middle)));
  const kept =
    spread > 0 ? near.filter((v) => Math.abs(v - middle) <= Math.max(spike * spread, 1.5 * step)) : near;
  const level = mean(kept);
  const scatter = kept.length > 1 ? standardDeviation(kept) : 0;
  const stepDeviation = step / Math.sqrt(12);
  const noise = Math.max(scatter, stepDeviation, least);
  const ahead = Math.sqrt(Math.max(scatter * scatter - stepDeviation * stepDeviation, 0));
  const correlation = correlationOf(kept, level, scatter);
  return {
    level,
    levelUncertainty: Math.hypot(
      noise * Math.sqrt(correlation / kept.length),
      resolutionUncertainty(step, ahead),
    ),
    noise,
    correlation,
    highest: kept.reduce((a, b) => Math.max(a, b), level),
    samples: kept.length,
  };
}

/**
 * 1 + 2 sum rho_k over the lags whose correlation stands out of its own scatter, or, if that is more,
 * (1 + rho_1)/(1 - rho_1): the sum of a noise behind a first-order filter, which a short rest cuts off.
 */
function correlationOf(values: readonly number[], level: number, scatter: number): number {
  const n = values.length;
  if (n < leastForCorrelation || scatter === 0) return 1;
  const least = 2.5 / Math.sqrt(n);
  let sum = 1;
  let firstOrder = 1;
  for (let lag = 1; lag < n / 4; lag++) {
    let product = 0;
    for (let i = lag; i < n; i++) product += ((values[i] ?? 0) - level) * ((values[i - lag] ?? 0) - level);
    const rho = product / ((n - lag) * scatter * scatter);
    if (rho < least) break;
    if (lag === 1) firstOrder = (1 + Math.min(rho, 0.98)) / (1 - Math.min(rho, 0.98));
    sum += 2 * rho;
  }
  return Math.max(sum, firstOrder);
}
