/** When a rising signal passes a level between its rests. Derivation: docs/theory/events.md, "Passing a level". */
import { findRoot } from "../../numerics/index.js";
import { type Instant, normalInstant } from "./instant.js";
import { powerSums, type Samples, seriesAt, seriesFit } from "./series.js";

/** Smallest number of samples that a straight, a parabolic and a cubic series is fitted to. */
const samplesForDegree = [2, 4, 7] as const;
const leastSamples = 6;

/**
 * Instant at which a rising signal passes a level.
 *
 * A cubic is fitted to the samples around the passing; the half-height of the fitted stretch is
 * halved until the misfit is that of the noise.
 *
 * @param samples           of a rising signal
 * @param near              number of a sample next to the passing
 * @param level             and its standard uncertainty
 * @param halfHeight        of the stretch to fit, > 0
 * @returns the instant, or undefined where the signal does not rise through the level
 */
export function passingInstant(
  samples: Samples,
  near: number,
  level: number,
  levelUncertainty: number,
  halfHeight: number,
): Instant | undefined {
  const { time_s, value, noise, correlation } = samples;
  const n = time_s.length;
  let from = near;
  let to = near;
  for (let height = halfHeight; ; height /= 2) {
    from = near;
    to = near;
    while (from > 0 && (value[from] ?? 0) > level - height) from--;
    while (to < n - 1 && (value[to] ?? 0) < level + height) to++;
    while (to - from + 1 < Math.min(leastSamples, n)) {
      const early = from > 0 && (to === n - 1 || near - from <= to - near);
      if (early) from--;
      else to++;
    }
    const count = to - from + 1;
    const pick = (source: ArrayLike<number>) =>
      Array.from({ length: count }, (_, i) => source[from + i] ?? 0);
    const stretch = { time_s: pick(time_s), value: pick(value), noise: pick(noise), correlation };
    const fit = passingOf(stretch, level, levelUncertainty);
    const isRight = fit.excess <= 3 * Math.sqrt(2 / Math.max(1, count - 4));
    if (isRight || count <= 2 * leastSamples) return fit.instant;
  }
}

function passingOf(
  samples: Samples,
  level: number,
  levelUncertainty: number,
): { readonly instant: Instant | undefined; readonly excess: number } {
  const { time_s, value } = samples;
  const count = time_s.length;
  const origin = ((time_s[0] ?? 0) + (time_s[count - 1] ?? 0)) / 2;
  const span = ((time_s[count - 1] ?? 0) - (time_s[0] ?? 0)) / 2;
  const size = Array.from(value).reduce((a, v) => Math.max(a, Math.abs(v - level)), 0);
  const degree = samplesForDegree.filter((least) => count >= least).length;
  const powers = Array.from({ length: degree + 1 }, (_, k) => k);
  const sums = powerSums(samples, level, origin, span, Number.NEGATIVE_INFINITY);
  const spreads = powers.map(() => 10 * size);
  const fitted = seriesFit(sums, { powers, spreads }, 1);
  const freedom = Math.max(1, count - degree - 1) / samples.correlation;
  const excess = fitted.chiSquare / freedom - 1;
  const x = rootOf((place) => seriesAt(fitted, place, "whole").value);
  if (x === undefined) return { instant: undefined, excess };
  const { slope, variance } = seriesAt(fitted, x, "whole");
  if (!(slope > 0)) return { instant: undefined, excess };
  const u = (span / slope) * Math.hypot(Math.sqrt(variance * Math.max(1, 1 + excess)), levelUncertainty);
  return { instant: normalInstant(origin + x * span, u), excess };
}

/** Rising root nearest the middle of [-1, 1], looked for outwards. */
function rootOf(f: (x: number) => number): number | undefined {
  const cells = 16;
  for (let k = 0; k < cells; k++) {
    for (const low of [k / cells, -(k + 1) / cells]) {
      const high = low + 1 / cells;
      if (f(low) <= 0 && f(high) > 0) return findRoot(f, low, high);
    }
  }
  return undefined;
}
