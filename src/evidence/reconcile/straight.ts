/**
 * Coordinates in which what the tests hold firm is nearly flat.
 *
 * A load is friction times preload, a delay of the command is log-normal: in the scores z, tests hold bent
 * surfaces firm, along which no chain walks well. The coordinates w come near to planes in two steps.
 * Inputs of a normal law are bent by themselves, as the logarithm of their value is,
 *
 *   w_k = z_k0 + integral of the slope of log value over its slope at z_k0,
 *
 * straight between the nodes of a table. Then these take up what the others (granted things, ranges) do
 * beyond the straight line, n_j = (value_j - value_j0) / slope_j - (z_j - z_j0):
 *
 *   z_k = warp_k(w_k - sum_j G_kj n_j(z_j)),   G = (P_KK + I)^-1 P_KJ,   P = J^T J of the weighted histories
 *
 * The second step keeps volumes, the first has a product of slopes, so that the density in w is exact
 * whatever the tables are like.
 */
import { symmetricEigen } from "../../numerics/index.js";
import type { JointSpace } from "./parameters.js";

const step = 1 / 8;
const reach = 9;
const nodes = (2 * reach) / step + 1;
/** No stretch of a table is flatter or steeper than this against the slope at the centre [-]. */
const leastSlope = 0.2;
const mostSlope = 5;

/** Plain data: it can be sent to another thread. */
export interface Straightening {
  /** Scores of all parameters about which it is made. */
  readonly centre: Float64Array;
  /** Parameters of normal laws that move the histories, and the tables of their coordinate w, a row each. */
  readonly own: readonly number[];
  readonly tables: Float64Array;
  /** The others that move the histories, and the tables of n. */
  readonly others: readonly number[];
  readonly bends: Float64Array;
  /** G, a row for each of `own`. */
  readonly gain: Float64Array;
}

export function straighten(
  space: JointSpace,
  centre: Float64Array,
  active: readonly number[],
  products: Float64Array,
): Straightening {
  const n = space.size;
  const isOwn = (j: number): boolean => {
    const law = space.inputOf(j)?.members[0]?.declared.law;
    return law?.kind === "normal" && Math.min(space.valueAt(j, -2), space.valueAt(j, 2)) > 0;
  };
  const own = active.filter(isOwn);
  const others = active.filter((j) => !isOwn(j));
  const tables = new Float64Array(own.length * nodes);
  own.forEach((k, row) => {
    const at = readerOf(space, centre, k, Math.log);
    const middle = centre[k] ?? 0;
    const slope0 = (at(middle + step) - at(middle - step)) / (2 * step);
    const table = tables.subarray(row * nodes, (row + 1) * nodes);
    for (let i = 1; i < nodes; i++) {
      const z = -reach + i * step;
      const slope = (at(z) - at(z - step)) / (step * slope0);
      const kept = Math.min(Math.max(Number.isFinite(slope) ? slope : 1, leastSlope), mostSlope);
      table[i] = (table[i - 1] ?? 0) + step * kept;
    }
    const shift = middle - interpolated(table, middle);
    for (let i = 0; i < nodes; i++) table[i] = (table[i] ?? 0) + shift;
  });
  const bends = new Float64Array(others.length * nodes);
  others.forEach((j, row) => {
    const at = readerOf(space, centre, j, (value) => value);
    const middle = centre[j] ?? 0;
    const slope0 = (at(middle + step) - at(middle - step)) / (2 * step);
    const bendsOf = bends.subarray(row * nodes, (row + 1) * nodes);
    for (let i = 0; i < nodes; i++) {
      const z = -reach + i * step;
      const bend = slope0 === 0 ? 0 : (at(z) - at(middle)) / slope0 - (z - middle);
      bendsOf[i] = Number.isFinite(bend) ? bend : 0;
    }
    const left = interpolated(bendsOf, middle);
    for (let i = 0; i < nodes; i++) bendsOf[i] = (bendsOf[i] ?? 0) - left;
  });
  const { values, vectors } = symmetricEigen(
    own.map((k) => own.map((l) => (products[k * n + l] ?? 0) + (k === l ? 1 : 0))),
  );
  const gain = new Float64Array(own.length * others.length);
  others.forEach((j, b) => {
    vectors.forEach((vector, e) => {
      let along = 0;
      own.forEach((k, a) => {
        along += (vector[a] ?? 0) * (products[k * n + j] ?? 0);
      });
      along /= values[e] ?? 1;
      own.forEach((_, a) => {
        const at = a * others.length + b;
        gain[at] = (gain[at] ?? 0) + along * (vector[a] ?? 0);
      });
    });
  });
  return { centre, own, tables, others, bends, gain };
}

/** A function of the value of a parameter over its own score z, the others at the centre. */
function readerOf(
  space: JointSpace,
  centre: Float64Array,
  j: number,
  of: (value: number) => number,
): (z: number) => number {
  const rest = space.scoreAt(centre, j);
  const share = space.mixing[j * space.size + j] ?? 1;
  return (z) => of(space.valueAt(j, rest + share * (z - (centre[j] ?? 0))));
}

function interpolated(table: Float64Array, z: number): number {
  const x = Math.min(Math.max((z + reach) / step, 0), nodes - 1);
  const i = Math.min(Math.floor(x), nodes - 2);
  return (table[i] ?? 0) + (x - i) * ((table[i + 1] ?? 0) - (table[i] ?? 0));
}

/**
 * Scores at coordinates w.
 * @param z  w on entry for all parameters that move, z on return
 * @returns  log |dz/dw|; -infinity beyond the tables
 */
export function straightToScores(
  { own, tables, others, bends, gain }: Straightening,
  z: Float64Array,
): number {
  const m = others.length;
  let logVolume = 0;
  const shifts = new Float64Array(m);
  for (let b = 0; b < m; b++) {
    const at = z[others[b] ?? 0] ?? 0;
    if (Math.abs(at) > reach) return Number.NEGATIVE_INFINITY;
    shifts[b] = interpolated(bends.subarray(b * nodes, (b + 1) * nodes), at);
  }
  for (let a = 0; a < own.length; a++) {
    let w = z[own[a] ?? 0] ?? 0;
    for (let b = 0; b < m; b++) w -= (gain[a * m + b] ?? 0) * (shifts[b] ?? 0);
    let low = a * nodes;
    let high = low + nodes - 1;
    if (!(w >= (tables[low] ?? 0) && w <= (tables[high] ?? 0))) return Number.NEGATIVE_INFINITY;
    const first = low;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if ((tables[middle] ?? 0) <= w) low = middle;
      else high = middle;
    }
    const width = (tables[high] ?? 0) - (tables[low] ?? 0);
    z[own[a] ?? 0] = -reach + step * (low - first + (w - (tables[low] ?? 0)) / width);
    logVolume += Math.log(step / width);
  }
  return logVolume;
}
