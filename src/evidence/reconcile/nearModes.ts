/** Modes of curves and of histories, those of most variance or energy first. */
import { symmetricEigen } from "../../numerics/index.js";

/** Scouts whose histories make the modes. */
const snapshots = 48;
/** Modes go on until so much is left of the mean sum of squares. */
const leastRest = 0.02;
/** Modes of a history at most. */
export const mostModes = 10;
/** A curve varies if it does so by more than this share of its size. */
const leastChange = 1e-9;

interface Modes {
  readonly modes: number;
  /** Of each scout, its coefficients. */
  readonly values: readonly Float64Array[];
  readonly rest: number;
}

/** Modes of one history by the method of snapshots, those of most energy first [sirovich-1987]. */
export function modesOf(histories: readonly Float64Array[], weights: Float64Array): Modes {
  const usable = histories.map((_, i) => i).filter((i) => (weights[i] ?? 0) > 0.25);
  const chosen = Array.from({ length: Math.min(snapshots, usable.length) }, (_, k) => {
    const i = usable[Math.floor((k * usable.length) / Math.min(snapshots, usable.length))] ?? 0;
    return histories[i] ?? new Float64Array(0);
  });
  const { values, vectors } = symmetricEigen(chosen.map((one) => chosen.map((other) => dot(one, other))));
  const length = chosen[0]?.length ?? 0;
  const directions: Float64Array[] = [];
  let left = values.reduce((sum, value) => sum + Math.max(value, 0), 0) / Math.max(chosen.length, 1);
  for (let e = values.length - 1; e >= 0 && directions.length < mostModes && left > leastRest; e--) {
    const value = values[e] ?? 0;
    if (!(value > 0)) break;
    left -= value / chosen.length;
    const direction = new Float64Array(length);
    chosen.forEach((one, i) => {
      const share = (vectors[e]?.[i] ?? 0) / Math.sqrt(value);
      for (let k = 0; k < length; k++) direction[k] = (direction[k] as number) + share * (one[k] as number);
    });
    directions.push(direction);
  }
  const coefficients = histories.map((history) =>
    Float64Array.from(directions, (direction) => dot(direction, history)),
  );
  let rest = 0;
  let sum = 0;
  histories.forEach((history, i) => {
    const w = weights[i] ?? 0;
    if (w === 0) return;
    sum += w;
    rest +=
      w * Math.max(dot(history, history) - dot(coefficients[i] ?? history, coefficients[i] ?? history), 0);
  });
  return { modes: directions.length, values: coefficients, rest: sum > 0 ? rest / sum : 0 };
}

export interface CurveModes {
  readonly mean: Float64Array;
  /** Unit vectors, and the deviation of the curves along each. */
  readonly vectors: readonly Float64Array[];
  readonly deviations: readonly number[];
}

/**
 * Mean and principal directions of weighted curves.
 * @param most  directions at most;  @param least  variance along one over that along the first
 */
export function curveModes(
  curves: readonly ArrayLike<number>[],
  weights: Float64Array,
  most: number,
  least: number,
): CurveModes {
  const length = curves[0]?.length ?? 0;
  const mean = new Float64Array(length);
  const covariance = Array.from({ length }, () => new Float64Array(length));
  let total = 0;
  curves.forEach((curve, i) => {
    const w = weights[i] ?? 0;
    if (w === 0) return;
    total += w;
    for (let k = 0; k < length; k++) mean[k] = (mean[k] as number) + w * (curve[k] as number);
  });
  for (let k = 0; k < length; k++) mean[k] = (mean[k] as number) / (total > 0 ? total : 1);
  curves.forEach((curve, i) => {
    const w = (weights[i] ?? 0) / (total > 0 ? total : 1);
    if (w === 0) return;
    for (let a = 0; a < length; a++) {
      const row = covariance[a] as Float64Array;
      const away = w * ((curve[a] as number) - (mean[a] as number));
      for (let b = 0; b <= a; b++)
        row[b] = (row[b] as number) + away * ((curve[b] as number) - (mean[b] as number));
    }
  });
  for (let a = 0; a < length; a++)
    for (let b = 0; b < a; b++) (covariance[b] as Float64Array)[a] = covariance[a]?.[b] as number;
  const { values, vectors } = symmetricEigen(covariance);
  const size = mean.reduce((largest, value) => Math.max(largest, Math.abs(value)), 0);
  const bound = Math.max(least * (values[length - 1] ?? 0), (leastChange * size) ** 2, Number.MIN_VALUE);
  const kept = Array.from({ length: Math.min(most, length) }, (_, e) => length - 1 - e).filter(
    (e) => (values[e] ?? 0) > bound,
  );
  return {
    mean,
    vectors: kept.map((e) => Float64Array.from(vectors[e] ?? [])),
    deviations: kept.map((e) => Math.sqrt(values[e] ?? 0)),
  };
}

export function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += (a[k] as number) * (b[k] as number);
  return sum;
}
