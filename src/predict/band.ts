/**
 * The band: what the rows of all samples say of each figure.
 *
 * Quantiles are order statistics with distribution-free confidence intervals [wilks-1941]. Whether
 * the valve opens at all is a probability of its own; times are summarised over the openings that
 * happen. The intervals take the samples as independent; scrambled Sobol points are more even than
 * that, so they are on the wide side.
 */
import {
  clopperPearson,
  type ProbabilityInterval,
  quantileInterval,
  quantileOfSorted,
} from "../numerics/index.js";
import type { BlockResult } from "./block.js";
import { columnIndex, columns } from "./columns.js";
import { rowWidth } from "./row.js";

export interface Quantile {
  readonly value: number;
  /** Distribution-free confidence interval, or undefined where the samples are too few for one. */
  readonly interval: { readonly low: number; readonly high: number } | undefined;
}

export interface BandFigure {
  readonly id: string;
  /** Samples in which the figure exists. */
  readonly count: number;
  readonly low: Quantile;
  readonly median: Quantile;
  readonly high: Quantile;
}

/** Quantiles of a figure from the first samples alone. */
interface ConvergencePoint {
  /** Samples drawn, whether they have the figure or not. */
  readonly samples: number;
  readonly low: number;
  readonly median: number;
  readonly high: number;
}

export interface Band {
  readonly samples: number;
  readonly impossible: number;
  /** Probability the band carries, central [-]. */
  readonly coverage: number;
  /** Confidence of every stated interval [-]. */
  readonly confidence: number;
  readonly figures: Readonly<Record<string, BandFigure>>;
  /** Probability of not opening, and of not closing; undefined where motion is not known. */
  readonly notOpening: ProbabilityInterval | undefined;
  readonly notClosing: ProbabilityInterval | undefined;
  /** Rows in sample order, `rowWidth` numbers each; the data behind histograms and probabilities. */
  readonly rows: Float64Array;
}

export const bandCoverage = 0.95;
export const bandConfidence = 0.95;

/** Joins blocks, given in any order, into the band. */
export function bandOf(blocks: readonly BlockResult[]): Band {
  const ordered = [...blocks].sort((a, b) => a.request.start - b.request.start);
  const samples = ordered.reduce((sum, block) => sum + block.request.count, 0);
  const rows = new Float64Array(samples * rowWidth);
  let offset = 0;
  for (const block of ordered) {
    rows.set(block.rows, offset);
    offset += block.rows.length;
  }
  const figures: Record<string, BandFigure> = {};
  columns.forEach(({ id }, index) => {
    const figure = figureOf(id, valuesOf(rows, index));
    if (figure !== undefined) figures[id] = figure;
  });
  return {
    samples,
    impossible: ordered.reduce((sum, block) => sum + block.impossible, 0),
    coverage: bandCoverage,
    confidence: bandConfidence,
    figures,
    notOpening: failureShare(rows, "opens"),
    notClosing: failureShare(rows, "closes"),
    rows,
  };
}

/** Shares of the samples at which convergence is shown: each doubles the one before [-]. */
const convergenceShares = [0.25, 0.5, 1] as const;

/**
 * How the quantiles of a figure settle: after a quarter, half and all of the samples. A share without
 * the figure has no point.
 */
export function convergenceOf({ rows, samples }: Band, id: string): readonly ConvergencePoint[] {
  const index = columnIndex(id);
  return convergenceShares.flatMap((share): readonly ConvergencePoint[] => {
    const count = Math.round(share * samples);
    const values = valuesOf(rows.subarray(0, count * rowWidth), index).sort();
    if (values.length === 0) return [];
    return [
      {
        samples: count,
        low: quantileOfSorted(values, (1 - bandCoverage) / 2),
        median: quantileOfSorted(values, 0.5),
        high: quantileOfSorted(values, (1 + bandCoverage) / 2),
      },
    ];
  });
}

/** Values of one figure over the samples that have it, in sample order. */
export function valuesOf(rows: Float64Array, index: number): Float64Array {
  const out = new Float64Array(rows.length / rowWidth);
  let count = 0;
  for (let p = index; p < rows.length; p += rowWidth) {
    const value = rows[p] ?? Number.NaN;
    if (!Number.isNaN(value)) out[count++] = value;
  }
  return out.subarray(0, count);
}

/**
 * Share of samples in which a figure meets a limit; a sample without the figure (a valve that does not
 * open) does not meet it.
 */
export function meetingProbability(
  band: Band,
  id: string,
  limit: { readonly most?: number; readonly least?: number },
): ProbabilityInterval | undefined {
  const index = columnIndex(id);
  if (index < 0 || band.figures[id] === undefined) return undefined;
  let meets = 0;
  for (let p = index; p < band.rows.length; p += rowWidth) {
    const value = band.rows[p] ?? Number.NaN;
    if (
      value <= (limit.most ?? Number.POSITIVE_INFINITY) &&
      value >= (limit.least ?? Number.NEGATIVE_INFINITY)
    )
      meets++;
  }
  return clopperPearson(meets, band.samples - band.impossible, band.confidence);
}

function failureShare(rows: Float64Array, id: "opens" | "closes"): ProbabilityInterval | undefined {
  const values = valuesOf(rows, columnIndex(id));
  if (values.length === 0) return undefined;
  const failed = values.reduce((sum, value) => sum + (value === 0 ? 1 : 0), 0);
  return clopperPearson(failed, values.length, bandConfidence);
}

function figureOf(id: string, values: Float64Array): BandFigure | undefined {
  if (values.length === 0) return undefined;
  const sorted = values.slice().sort();
  const side = (1 - bandCoverage) / 2;
  const quantile = (p: number): Quantile => {
    const found = quantileInterval(sorted, p, bandConfidence);
    return {
      value: found.estimate,
      interval: "low" in found ? { low: found.low, high: found.high } : undefined,
    };
  };
  return { id, count: values.length, low: quantile(side), median: quantile(0.5), high: quantile(1 - side) };
}
