/**
 * An acceptance series: repeated strokes of one valve, as of twenty cold cycles. Does the time drift;
 * which share of further strokes lies below the slowest seen; how many cycles of its life the seat has had.
 */
import {
  mannKendall,
  mean,
  standardDeviation,
  straightLine,
  studentCdf,
  type TrendTest,
  wilksConfidence,
  wilksSampleSize,
} from "../../numerics/index.js";
import type { Sense } from "../../predict/index.js";

/** One stroke of a series. */
export interface SeriesStroke {
  readonly runId: string;
  readonly sense: Sense;
  /** Number within the series, from 1, over both senses of one run and on through the runs. */
  readonly number: number;
  readonly value_s: number;
  readonly standardUncertainty_s: number;
}

/** The strokes of one sense. */
export interface Series {
  readonly caseId: string;
  readonly sense: Sense;
  readonly definition: string;
  readonly strokes: readonly SeriesStroke[];
  readonly mean_s: number;
  readonly deviation_s: number | undefined;
  readonly slowest_s: number;
  readonly fastest_s: number;
  readonly trend: TrendTest | undefined;
  readonly line:
    | {
        /** Change per cycle [s], and its standard uncertainty. */
        readonly slope_s: number;
        readonly slopeUncertainty_s: number;
        readonly intercept_s: number;
        /** Two-sided chance of as great a slope without drift, by Student's t [-]. */
        readonly p: number;
      }
    | undefined;
  /** Whether the ranks show a drift at 5 %. */
  readonly drifts: boolean | undefined;
  readonly tolerance: {
    /** Confidence that the share of further strokes below is at most the slowest one, if nothing drifts [-]. */
    readonly coverage: number;
    readonly confidence: number;
    readonly neededAt95: number;
    /** Share of which the slowest stroke is a limit with 95 % confidence [-]. */
    readonly coverageAt95: number;
  };
}

/** Fewer strokes have no trend to test. */
const leastForTrend = 4;
const significance = 0.05;
const coverage = 0.95;
const confidence = 0.95;

/**
 * Evaluates a series, cycle by cycle in order.
 *
 *   drift      test of Mann and Kendall, two-sided at 5 %; slope by least squares with Student's t
 *   tolerance  the slowest of n strokes bounds the share p with confidence 1 - p^n
 *
 * @param strokes  of one sense and one case, in the order in which they were made, one at least
 * Valid for       strokes at the same conditions; the tolerance limit for a series without drift
 * Source          [mann-1945]; [kendall-1975]; [wilks-1941]
 */
export function evaluateSeries(
  caseId: string,
  sense: Sense,
  definition: string,
  strokes: readonly SeriesStroke[],
): Series {
  const values = strokes.map(({ value_s }) => value_s);
  const n = values.length;
  const trend = n >= leastForTrend ? mannKendall(values) : undefined;
  return {
    caseId,
    sense,
    definition,
    strokes,
    mean_s: mean(values),
    deviation_s: n > 1 ? standardDeviation(values) : undefined,
    slowest_s: Math.max(...values),
    fastest_s: Math.min(...values),
    trend,
    line: n >= leastForTrend ? lineOf(values) : undefined,
    drifts: trend === undefined ? undefined : trend.p < significance,
    tolerance: {
      coverage,
      confidence: wilksConfidence(n, { coverage, sides: "one" }),
      neededAt95: wilksSampleSize({ coverage, confidence, sides: "one" }),
      coverageAt95: (1 - confidence) ** (1 / n),
    },
  };
}

function lineOf(values: readonly number[]): Series["line"] {
  const cycles = values.map((_, i) => i + 1);
  const { slope, slopeUncertainty, intercept, degreesOfFreedom } = straightLine(cycles, values);
  const t = slopeUncertainty > 0 ? Math.abs(slope) / slopeUncertainty : Number.POSITIVE_INFINITY;
  return {
    slope_s: slope,
    slopeUncertainty_s: slopeUncertainty,
    intercept_s: intercept,
    p: slope === 0 ? 1 : Number.isFinite(t) ? 2 * studentCdf(-t, degreesOfFreedom) : 0,
  };
}
