/**
 * Which declared inputs go with the spread of a figure of the band: squared rank correlation of input
 * and figure over the samples. It needs no further openings, misses what only interactions do, and
 * counts correlated inputs twice. Source [spearman-1904].
 */
import { pearson, ranks, sobolBlock } from "../numerics/index.js";
import { columnIndex, planFor, rowWidth } from "../predict/index.js";
import type { Driver } from "./answer.js";
import { type Context, labelOf } from "./context.js";
import { percentWords } from "./words.js";

/** More samples than this would not change what is printed. */
const mostSamples = 1024;
/** Inputs that go with a smaller share than this are left out, and chance makes a few per cent of a small sample. */
const leastShare = 0.02;
const mostDrivers = 8;

/** @param of the figure in words: "the breakaway torque" */
export function rankDrivers(context: Context, column: string, of: string): readonly Driver[] {
  const { prediction } = context;
  const { band, dossier, caseId, options } = prediction;
  const place = columnIndex(column);
  if (band?.figures[column] === undefined) return [];
  const { space } = planFor(dossier, caseId);
  const d = space.inputs.length;
  const n = Math.min(band.samples, mostSamples);
  if (d === 0 || n < 2) return [];
  const points = sobolBlock(0, n, d, options.seed);
  const kept: number[] = [];
  for (let i = 0; i < n; i++) {
    space.copula?.correlate(points.subarray(i * d, (i + 1) * d));
    if (!Number.isNaN(band.rows[i * rowWidth + place] ?? Number.NaN)) kept.push(i);
  }
  const figure = kept.map((i) => band.rows[i * rowWidth + place] ?? Number.NaN);
  if (new Set(figure).size < 2) return [];
  const figureRanks = ranks(figure);
  return space.inputs
    .map(({ path }, j): Driver => {
      const rho = pearson(ranks(kept.map((i) => points[i * d + j] ?? Number.NaN)), figureRanks) ?? 0;
      const share = rho * rho;
      const sense = rho < 0 ? "falls" : "grows";
      return {
        path,
        label: labelOf(context, path),
        words: `${of} ${sense} with it; it goes with ${percentWords(share)} of the spread`,
        share,
      };
    })
    .filter(({ share }) => share >= leastShare)
    .sort((a, b) => b.share - a.share)
    .slice(0, mostDrivers);
}
