/**
 * Coordinates in which what the tests hold firm is nearly flat.
 *
 * A load is friction times preload, a delay of the command is log-normal: in the scores z, tests hold bent
 * surfaces firm, along which no chain walks well. The coordinates w come near to planes in two steps.
 * Inputs of a normal law are bent by themselves, as the logarithm of their value is,
 *
 *   u_k(z) = z_k0 + (log value(z) - log value(z_k0)) / slope at z_k0,
 *
 * then these take up what the others (granted things, ranges) do beyond the straight line,
 * n_j(z) = (value(z) - value(z_j0)) / slope at z_j0 - (z - z_j0):
 *
 *   z_k = u_k^-1(w_k - sum_j G_kj n_j(z_j)),   G = (P_KK + I)^-1 P_KJ,   P = J^T J of the weighted histories
 *
 * A thing taken for granted hardly acts while it is small and much once it is large. Its coordinate is the
 * length along it that the posterior sees, with what the others leave of its mark:
 *
 *   dw_j / dz_j ~ sqrt(1 + Q_jj (a'(z) / a'(z_j0))^2),   Q = P_JJ - P_JK G,   a' the slope of its value
 *
 * The shifts keep volumes, the curves have a product of slopes, so that the density in w is exact
 * whatever the curves are like.
 */
import { evenCubic, symmetricEigen } from "../../numerics/index.js";
import type { JointSpace } from "./parameters.js";

const reach = 8;
const nodes = 129;
/** Least and greatest slope of a score over its coordinate: a law that ends must not be without volume. */
const leastSlope = 0.02;
const mostSlope = 10;
const halvings = 50;
const small = 1e-3;

/** Plain data: it can be sent to another thread. */
export interface Straightening {
  /** Scores of all parameters about which it is made. */
  readonly centre: Float64Array;
  /** Parameters of normal laws that move the histories, and their curves z(u). */
  readonly own: readonly number[];
  readonly ownCurves: Curves;
  /** The others that move the histories, their curves z(w) and n(z). */
  readonly others: readonly number[];
  readonly otherCurves: Curves;
  readonly bends: Float64Array;
  /** G, a row for each of `own`. */
  readonly gain: Float64Array;
}

/** Scores over coordinates: first coordinate and step of each row, and the curves. */
interface Curves {
  readonly low: Float64Array;
  readonly step: Float64Array;
  readonly scores: Float64Array;
}

export function straighten(
  space: JointSpace,
  centre: Float64Array,
  active: readonly number[],
  products: Float64Array,
): Straightening {
  const isOwn = (j: number): boolean =>
    space.inputOf(j)?.members[0]?.declared.law.kind === "normal" &&
    Math.min(space.valueAt(j, -2), space.valueAt(j, 2)) > 0;
  const own = active.filter(isOwn);
  const others = active.filter((j) => !isOwn(j));
  const gain = gainOf(space.size, own, others, products);
  const ownCurves = curvesOf(own, (k) => {
    const c = centre[k] ?? 0;
    const value = readerOf(space, centre, k);
    const log = (z: number): number => logOf(value(z), leastShare * value(c));
    const slope = (log(c + small) - log(c - small)) / (2 * small);
    return {
      from: inverse(value, leastShare * value(c)),
      at: (z) => c + (log(z) - log(c)) / slope,
    };
  });
  const otherCurves = curvesOf(others, (j, b) => ({
    from: -reach,
    at: lengthAlong(
      readerOf(space, centre, j),
      centre[j] ?? 0,
      leftOf(space.size, j, b, own, others, products, gain),
    ),
  }));
  const bends = new Float64Array(others.length * 2 * nodes);
  others.forEach((j, row) => {
    const c = centre[j] ?? 0;
    const value = readerOf(space, centre, j);
    const slope = (value(c + small) - value(c - small)) / (2 * small);
    const n = (z: number): number => (slope === 0 ? 0 : (value(z) - value(c)) / slope - (z - c));
    for (let i = 0; i < nodes; i++) {
      const z = bendAt(i);
      bends[2 * (row * nodes + i)] = n(z);
      bends[2 * (row * nodes + i) + 1] = (n(z + small) - n(z - small)) / (2 * small);
    }
  });
  return { centre, own, ownCurves, others, otherCurves, bends, gain };
}

/** Curves z(w) from rising curves w(z), each from a score on. */
function curvesOf(
  places: readonly number[],
  of: (j: number, row: number) => { readonly from: number; readonly at: (z: number) => number },
): Curves {
  const low = new Float64Array(places.length);
  const step = new Float64Array(places.length);
  const scores = new Float64Array(places.length * 2 * nodes);
  places.forEach((j, row) => {
    const { from, at } = of(j, row);
    const [first, last] = [at(from), at(reach)];
    low[row] = first;
    step[row] = (last - first) / (nodes - 1);
    for (let i = 0; i < nodes; i++) {
      const z = inverse(at, first + (i * (last - first)) / (nodes - 1));
      const rise = (at(z + small) - at(z - small)) / (2 * small);
      scores[2 * (row * nodes + i)] = z;
      scores[2 * (row * nodes + i) + 1] = Math.min(Math.max(1 / rise, leastSlope), mostSlope);
    }
  });
  return { low, step, scores };
}

/** What the others leave of the mark of a parameter, Q_jj. */
function leftOf(
  n: number,
  j: number,
  b: number,
  own: readonly number[],
  others: readonly number[],
  products: Float64Array,
  gain: Float64Array,
): number {
  const taken = own.reduce(
    (sum, k, a) => sum + (products[k * n + j] ?? 0) * (gain[a * others.length + b] ?? 0),
    0,
  );
  return Math.max((products[j * n + j] ?? 0) - taken, 0);
}

/** Length along a parameter, by trapezoids between even nodes; it goes by the score itself at the centre. */
function lengthAlong(value: (z: number) => number, c: number, mark: number): (z: number) => number {
  const slopeAt = (z: number): number => (value(z + small) - value(z - small)) / (2 * small);
  const slope = slopeAt(c);
  const count = 8 * (nodes - 1);
  const h = (2 * reach) / count;
  const rate = Float64Array.from({ length: count + 1 }, (_, i) =>
    slope === 0 ? 1 : Math.min(Math.sqrt(1 + mark * (slopeAt(i * h - reach) / slope) ** 2), 1 / leastSlope),
  );
  const length = new Float64Array(count + 1);
  for (let i = 1; i <= count; i++)
    length[i] = (length[i - 1] ?? 0) + 0.5 * h * ((rate[i - 1] ?? 1) + (rate[i] ?? 1));
  const along = (z: number): number => {
    const at = Math.min(Math.max((z + reach) / h, 0), count);
    const i = Math.min(Math.floor(at), count - 1);
    const t = at - i;
    const inside = (length[i] ?? 0) + t * h * ((rate[i] ?? 1) * (1 - t / 2) + ((rate[i + 1] ?? 1) * t) / 2);
    return inside + (z - (at * h - reach));
  };
  const unit = (along(c + small) - along(c - small)) / (2 * small);
  return (z) => c + (along(z) - along(c)) / unit;
}

const bendStep = (2 * reach) / (nodes - 1);
const bendAt = (i: number): number => i * bendStep - reach;

/** Beyond this score, one in a hundred thousand, a long tail goes on straight: it may pass all numbers. */
const tamed = 4.3;

/** Value of a parameter at a score, straight far out. */
export function tameValue(space: JointSpace, j: number, score: number): number {
  if (Math.abs(score) <= tamed) return space.valueAt(j, score);
  const edge = Math.sign(score) * tamed;
  const [at, before] = [space.valueAt(j, edge), space.valueAt(j, edge - Math.sign(score) * small)];
  return at + ((at - before) / small) * Math.abs(score - edge);
}

/** A normal law reaches beyond zero, a logarithm does not: below this share of the value it goes on straight. */
export const leastShare = 0.1;

/** Logarithm of a value, straight below the least one. */
export function logOf(value: number, least: number): number {
  return value > least ? Math.log(value) : Math.log(least) + value / least - 1;
}

/** Score at a coordinate, by halving: u rises. */
function inverse(u: (z: number) => number, wanted: number): number {
  let [a, b] = [-reach, reach];
  for (let k = 0; k < halvings; k++) {
    const middle = (a + b) / 2;
    if (u(middle) < wanted) a = middle;
    else b = middle;
  }
  return (a + b) / 2;
}

function gainOf(
  n: number,
  own: readonly number[],
  others: readonly number[],
  products: Float64Array,
): Float64Array {
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
  return gain;
}

/** A function of the value of a parameter over its own score z, the others at the centre. */
function readerOf(space: JointSpace, centre: Float64Array, j: number): (z: number) => number {
  const rest = space.scoreAt(centre, j);
  const share = space.mixing[j * space.size + j] ?? 1;
  return (z) => tameValue(space, j, rest + share * (z - (centre[j] ?? 0)));
}

/** Turns coordinates w into scores, and slopes to scores into slopes to coordinates. */
export class StraightCoordinates {
  /** At the last place: dz/du and d log(dz/du)/du of each of `own`, n' of the others. */
  private readonly rise: Float64Array;
  private readonly growth: Float64Array;
  private readonly tilt: Float64Array;
  private readonly shift: Float64Array;
  private readonly otherRise: Float64Array;
  private readonly otherGrowth: Float64Array;
  private readonly out = new Float64Array(3);

  constructor(private readonly straightening: Straightening) {
    const { own, others } = straightening;
    this.rise = new Float64Array(own.length);
    this.growth = new Float64Array(own.length);
    this.tilt = new Float64Array(others.length);
    this.shift = new Float64Array(others.length);
    this.otherRise = new Float64Array(others.length);
    this.otherGrowth = new Float64Array(others.length);
  }

  /**
   * Scores at coordinates w.
   * @param z  w on entry for all parameters that move, z on return
   * @returns  log |dz/dw|
   */
  toScores(z: Float64Array): number {
    const { own, ownCurves, others, otherCurves, bends, gain } = this.straightening;
    const { out, tilt, shift } = this;
    const m = others.length;
    let logVolume = 0;
    for (let b = 0; b < m; b++) {
      const j = others[b] as number;
      logVolume += this.along(otherCurves, b, z[j] as number, this.otherRise, this.otherGrowth);
      z[j] = out[0] as number;
      evenCubic({ rows: bends, nodes }, b, -reach, bendStep, z[j] as number, out);
      shift[b] = out[0] as number;
      tilt[b] = out[1] as number;
    }
    for (let a = 0; a < own.length; a++) {
      let u = z[own[a] as number] as number;
      for (let b = 0; b < m; b++) u -= (gain[a * m + b] as number) * (shift[b] as number);
      logVolume += this.along(ownCurves, a, u, this.rise, this.growth);
      z[own[a] as number] = out[0] as number;
    }
    return logVolume;
  }

  /** Reads a curve z(u) into `out`. @returns log dz/du */
  private along(curves: Curves, row: number, u: number, rise: Float64Array, growth: Float64Array): number {
    const { out } = this;
    evenCubic(
      { rows: curves.scores, nodes },
      row,
      curves.low[row] as number,
      curves.step[row] as number,
      u,
      out,
    );
    const slope = Math.max(out[1] as number, leastSlope / 2);
    rise[row] = slope;
    growth[row] = slope === out[1] ? (out[2] as number) / slope : 0;
    return Math.log(slope);
  }

  /**
   * Slopes of -log density in w, at the place last asked for.
   * @param slope  those of -log density in z on entry, on return those in w, the volume counted
   */
  toSlopes(slope: Float64Array): void {
    const { own, others, gain } = this.straightening;
    const m = others.length;
    for (let a = 0; a < own.length; a++) {
      const k = own[a] as number;
      const s = (slope[k] as number) * (this.rise[a] as number) - (this.growth[a] as number);
      slope[k] = s;
      for (let b = 0; b < m; b++) {
        const j = others[b] as number;
        slope[j] = (slope[j] as number) - s * (gain[a * m + b] as number) * (this.tilt[b] as number);
      }
    }
    for (let b = 0; b < m; b++) {
      const j = others[b] as number;
      slope[j] = (slope[j] as number) * (this.otherRise[b] as number) - (this.otherGrowth[b] as number);
    }
  }
}
