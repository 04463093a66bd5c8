/**
 * Which declared inputs go with the spread of a figure of the band: squared correlation of the
 * figure's rank with the probability at which the input stood, over the samples. It needs no further
 * openings, misses what only interactions do, and counts correlated inputs twice.
 * Source [spearman-1904].
 */
import { normalQuantile, pearson, ranks } from "../numerics/index.js";
import { columnIndex, type OwnFigures, rowWidth } from "../predict/index.js";
import type { Driver } from "./answer.js";
import { type Context, labelOf } from "./context.js";
import type { SamplePoints } from "./samplePoints.js";
import { percentWords } from "./words.js";

/** Inputs that go with a smaller share than this are left out, and those that chance alone may let go so far. */
const leastShare = 0.02;
/** Probability that chance lets an input that does nothing stand in a list [-]. */
const byChance = 0.05;
const mostDrivers = 8;

/** @param of the figure in words: "the breakaway torque" */
export function rankDrivers(context: Context, column: string, of: string): readonly Driver[] {
  const { prediction, points: drawn } = context;
  const { band } = prediction;
  if (band?.figures[column] === undefined || drawn === undefined) return [];
  const place = columnIndex(column);
  return ranked(context, drawn, (i) => band.rows[i * rowWidth + place] ?? Number.NaN, of);
}

/** The same for a figure with a small band of its own. */
export function rankOwnDrivers(
  context: Context,
  { samples, points, paths, count }: OwnFigures,
  figure: string,
  of: string,
): readonly Driver[] {
  const values = samples[figure];
  if (values === undefined) return [];
  return ranked(context, { paths, points, samples: count }, (i) => values[i] ?? Number.NaN, of);
}

/** What moves a figure with a small band of its own most, in words; undefined where chance may have put it first. */
export function moverWords(
  { samples, points, paths, count }: OwnFigures,
  figure: string,
): string | undefined {
  const values = samples[figure];
  if (values === undefined) return undefined;
  const drawn = { paths, points, samples: count };
  const first = strongest(drawn, (i) => values[i] ?? Number.NaN).sort((a, b) => b.share - a.share)[0];
  return first === undefined
    ? undefined
    : `What moves it most is ${first.path}: it ${first.rho < 0 ? "falls" : "grows"} with it, ${percentWords(first.share)} of the spread of its ranks.`;
}

function ranked(
  context: Context,
  drawn: SamplePoints,
  figureAt: (i: number) => number,
  of: string,
): readonly Driver[] {
  return strongest(drawn, figureAt)
    .map(({ path, rho, share }): Driver => {
      const sense = rho < 0 ? "falls" : "grows";
      return {
        path,
        label: labelOf(context, path),
        words: `${of} ${sense} with it; it goes with ${percentWords(share)} of the spread of its ranks`,
        measure: "rank correlation",
        share,
      };
    })
    .sort((a, b) => b.share - a.share)
    .slice(0, mostDrivers);
}

interface Rank {
  readonly path: string;
  readonly rho: number;
  /** rho^2 [-]. */
  readonly share: number;
}

/** The inputs that go with a figure by more than chance. */
function strongest({ paths, points, samples }: SamplePoints, figureAt: (i: number) => number): Rank[] {
  const kept = Array.from({ length: samples }, (_, i) => i).filter((i) => !Number.isNaN(figureAt(i)));
  const figure = kept.map(figureAt);
  if (new Set(figure).size < 2) return [];
  const figureRanks = ranks(figure);
  const least = Math.max(leastShare, chanceShare(kept.length, paths.length));
  return paths
    .map((path, j): Rank => {
      const stood = kept.map((i) => points[i * paths.length + j] ?? Number.NaN);
      const rho = pearson(stood, figureRanks) ?? 0;
      return { path, rho, share: rho * rho };
    })
    .filter(({ share }) => share >= least);
}

/**
 * Squared rank correlation that the greatest of so many inputs without any influence passes by chance, z^2/(n - 1) with z
 * of the shared probability.
 * Source  variance of the rank correlation of independent samples [spearman-1904]; shared probability [bonferroni-1936]
 */
function chanceShare(samples: number, inputs: number): number {
  return normalQuantile(1 - byChance / (2 * inputs)) ** 2 / (samples - 1);
}
