/**
 * A Markov chain for a law that is costly to evaluate, guided by one near it that is quick and smooth.
 *
 * The quick law proposes. In the coordinates of a normal law, x = c + F xi, its chain moves as a
 * particle does, with velocity v drawn from the standard normal law: pushed by the slope of
 * Phi = -log near density - |xi|^2 / 2 and turned in between,
 *
 *   v - (h/2) grad Phi,   (xi, v) -> (xi cos h + v sin h, v cos h - xi sin h),   v - (h/2) grad Phi
 *
 * so that a normal law is passed through without any error, however many coordinates it has, and after a
 * quarter turn nothing is left of the start. The end of each move is taken with min(1, exp(H - H')),
 * H = Phi + |xi|^2 / 2 + |v|^2 / 2, which leaves the near law as it is and is reversible.
 *
 * The costly law decides. A step ends in x' with
 *
 *   min(1, exp(near(x') - near(x)) exp(-(exact(x') - exact(x)))),   each -log density
 *
 * so that the chain has the costly law exactly, however poor the near one is; a poor one shows in few
 * steps taken. Every third step is short, over which the two laws differ by little: it leads out of
 * places where the near law is too low.
 *
 * Sources: moves [beskos-2011]; decision by the costly law [christen-fox-2005], after a proposal of several moves
 * [liu-2001, sec. 9.4.3]
 */
import { LuDecomposition, Matrix } from "ml-matrix";
import { symmetricEigen } from "./eigen.js";
import { type RandomStream, randomStream } from "./random.js";

/** A normal law in whose coordinates a chain moves. */
export interface Reference {
  /** Its mean c. */
  readonly centre: Float64Array;
  /** F with F F^T its covariance, n x n row after row. */
  readonly factor: Float64Array;
}

/** -log density of a quick law but for a constant, finite everywhere. @param slope receives its derivatives */
export type NearLaw = (x: Float64Array, slope: Float64Array) => number;
/** -log density of the law that is sampled but for a constant; not finite where it vanishes. */
export type ExactLaw = (x: Float64Array) => number;

/** Where a chain is. Plain data: it can be sent to another thread and carried on there, also about another reference. */
export interface ChainState {
  readonly x: Float64Array;
  /** -log of the exact density at x. */
  readonly exact: number;
  /** Largest turn h between two pushes [rad]. */
  readonly turn: number;
}

export interface ChainOrder {
  readonly seed: number;
  /** Number of the chain and of this part of it: they name the random numbers. */
  readonly chain: number;
  readonly part: number;
  readonly steps: number;
  /** Whether the turn is learnt. */
  readonly isWarmUp: boolean;
}

export interface ChainPart {
  readonly state: ChainState;
  /** x after each step, row after row. */
  readonly draws: Float64Array;
  /** Share of the steps that the exact law took [-]. */
  readonly acceptance: number;
}

/** Share of the moves that the near law should take. Common practice, no source. */
const wantedAcceptance = 0.85;
const firstTurn = 0.3;
const leastTurn = 0.01;
const mostTurn = 1.2;
/** Moves of a long step, and turns of long and short ones; the turn varies so that no orbit closes [rad]. */
const longMoves = 1;
const longTurn = { from: 1, to: 2.5 } as const;
const shortTurn = { from: 0.05, to: 0.5 } as const;
/** Every so many steps one is short. */
const shortEvery = 3;
/** Starts tried. */
const mostStarts = 30;

/** The state of coordinates xi. @param x receives it */
export function placeAt({ centre, factor }: Reference, xi: ArrayLike<number>, x: Float64Array): void {
  const n = centre.length;
  for (let i = 0; i < n; i++) {
    let sum = centre[i] as number;
    for (let k = 0; k < n; k++) sum += (factor[i * n + k] as number) * (xi[k] as number);
    x[i] = sum;
  }
}

/** Coordinates of a state. */
function coordinatesOf({ centre, factor }: Reference, x: ArrayLike<number>): Float64Array {
  const n = centre.length;
  const away = Array.from(centre, (c, i) => (x[i] as number) - c);
  const F = Matrix.from1DArray(n, n, Array.from(factor));
  return Float64Array.from(new LuDecomposition(F).solve(Matrix.columnVector(away)).to1DArray());
}

/**
 * The reference of states of a law: their mean and covariance. About the normal law at the maximum of a law that is
 * curved, a chain takes long to go from one end of the curve to the other; about this one it does not.
 *
 * The covariance is drawn towards that of an earlier reference, which counts as so many states, so that
 * few states do no harm.
 */
export function referenceOf(
  states: readonly ArrayLike<number>[],
  earlier: Reference,
  earlierCounts: number,
): Reference {
  const n = earlier.centre.length;
  const total = states.length + earlierCounts;
  const centre = earlier.centre.map(
    (c, i) => (states.reduce((sum, x) => sum + (x[i] as number), 0) + earlierCounts * c) / total,
  );
  const covariance = Array.from({ length: n }, () => new Float64Array(n));
  const away = new Float64Array(n);
  for (const x of states) {
    for (let i = 0; i < n; i++) away[i] = (x[i] as number) - (centre[i] as number);
    for (let i = 0; i < n; i++) {
      const row = covariance[i] as Float64Array;
      for (let j = 0; j <= i; j++)
        row[j] = (row[j] as number) + ((away[i] as number) * (away[j] as number)) / total;
    }
  }
  const { factor } = earlier;
  for (let i = 0; i < n; i++) {
    const row = covariance[i] as Float64Array;
    for (let j = 0; j <= i; j++) {
      let known = 0;
      for (let k = 0; k < n; k++) known += (factor[i * n + k] as number) * (factor[j * n + k] as number);
      row[j] = (row[j] as number) + (earlierCounts * known) / total;
      (covariance[j] as Float64Array)[i] = row[j] as number;
    }
  }
  return { centre, factor: factorOf(covariance) };
}

/** Rounding must not make a variance nothing. */
const leastVariance = 1e-12;

/** F with F F^T a covariance, along its principal directions. @returns n x n, row after row */
export function factorOf(covariance: readonly ArrayLike<number>[]): Float64Array {
  const n = covariance.length;
  const { values, vectors } = symmetricEigen(covariance);
  const factor = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let k = 0; k < n; k++)
      factor[i * n + k] = (vectors[k]?.[i] ?? 0) * Math.sqrt(Math.max(values[k] ?? 0, leastVariance));
  return factor;
}

/** A particle that moves in the near law. */
class Particle {
  readonly xi: Float64Array;
  readonly x: Float64Array;
  /** -log near density at xi. */
  near = Number.NaN;
  private readonly force: Float64Array;
  private readonly slope: Float64Array;
  private readonly v: Float64Array;
  private readonly kept: {
    readonly xi: Float64Array;
    readonly x: Float64Array;
    readonly force: Float64Array;
  };

  constructor(
    private readonly law: NearLaw,
    private readonly reference: Reference,
  ) {
    const row = () => new Float64Array(reference.centre.length);
    this.xi = row();
    this.x = row();
    this.force = row();
    this.slope = row();
    this.v = row();
    this.kept = { xi: row(), x: row(), force: row() };
  }

  put(xi: ArrayLike<number>): void {
    this.xi.set(xi);
    this.look();
  }

  /** Puts it at a state. */
  putAt(x: ArrayLike<number>): void {
    this.put(coordinatesOf(this.reference, x));
  }

  /** Place, near density and slope of Phi at the present coordinates. */
  private look(): void {
    const { reference, xi, x, slope, force } = this;
    const { factor } = reference;
    const n = xi.length;
    placeAt(reference, xi, x);
    this.near = this.law(x, slope);
    for (let k = 0; k < n; k++) force[k] = -(xi[k] as number);
    for (let i = 0; i < n; i++) {
      const s = slope[i] as number;
      for (let k = 0; k < n; k++) force[k] = (force[k] as number) + (factor[i * n + k] as number) * s;
    }
  }

  /** One move. @param turn in all;  @param most between two pushes;  @returns whether it was taken */
  move(stream: RandomStream, turn: number, most: number): boolean {
    const { xi, v, force, kept } = this;
    const n = xi.length;
    const count = Math.max(1, Math.ceil(turn / most));
    const h = turn / count;
    const [cos, sin] = [Math.cos(h), Math.sin(h)];
    for (let k = 0; k < n; k++) v[k] = stream.normal();
    const before = this.near + halfSquare(v);
    kept.xi.set(xi);
    kept.x.set(this.x);
    kept.force.set(force);
    const nearBefore = this.near;
    for (let s = 0; s < count; s++) {
      for (let k = 0; k < n; k++) {
        const speed = (v[k] as number) - 0.5 * h * (force[k] as number);
        const at = xi[k] as number;
        xi[k] = at * cos + speed * sin;
        v[k] = speed * cos - at * sin;
      }
      this.look();
      for (let k = 0; k < n; k++) v[k] = (v[k] as number) - 0.5 * h * (force[k] as number);
    }
    const isTaken = Math.log(stream.uniform()) < before - this.near - halfSquare(v);
    if (!isTaken) {
      xi.set(kept.xi);
      this.x.set(kept.x);
      force.set(kept.force);
      this.near = nearBefore;
    }
    return isTaken;
  }
}

/**
 * Draws of the near law alone, from its centre after some moves that are not counted.
 * @returns states x, row after row
 */
export function nearDraws(
  near: NearLaw,
  reference: Reference,
  order: Pick<ChainOrder, "seed" | "chain" | "part"> & { readonly draws: number },
): Float64Array {
  const n = reference.centre.length;
  const stream = randomStream(order.seed, streamOf(order.chain, order.part));
  const particle = new Particle(near, reference);
  particle.put(new Float64Array(n));
  const out = new Float64Array(order.draws * n);
  const turn = settle(particle, stream);
  for (let k = 0; k < order.draws; k++) {
    for (let m = 0; m < movesPerDraw; m++) particle.move(stream, between(stream, longTurn), turn);
    out.set(particle.x, k * n);
  }
  return out;
}

const firstMoves = 40;
const movesPerDraw = 3;

/** Starts a chain at a draw of the near law that is its own; at the centre if the density vanishes at several. */
export function startChain(
  exact: ExactLaw,
  near: NearLaw,
  reference: Reference,
  order: Pick<ChainOrder, "seed" | "chain">,
): ChainState {
  const stream = randomStream(order.seed, streamOf(order.chain, 0));
  const particle = new Particle(near, reference);
  particle.put(new Float64Array(reference.centre.length));
  const turn = settle(particle, stream);
  for (let tried = 0; tried < mostStarts; tried++) {
    const value = exact(particle.x);
    if (Number.isFinite(value)) return { x: particle.x.slice(), exact: value, turn };
    for (let m = 0; m < movesPerDraw; m++) particle.move(stream, between(stream, longTurn), turn);
  }
  particle.put(new Float64Array(reference.centre.length));
  return { x: particle.x.slice(), exact: exact(particle.x), turn };
}

/** First moves, from which the turn is learnt. */
function settle(particle: Particle, stream: RandomStream): number {
  let turn = firstTurn;
  for (let k = 0; k < firstMoves; k++)
    turn = learnt(turn, particle.move(stream, between(stream, longTurn), turn), k);
  return turn;
}

/**
 * Carries a chain on.
 * @returns its new state and the draws; the same order and state give the same bits
 */
export function walkChain(
  exact: ExactLaw,
  near: NearLaw,
  reference: Reference,
  from: ChainState,
  order: ChainOrder,
): ChainPart {
  const n = reference.centre.length;
  const stream = randomStream(order.seed, streamOf(order.chain, order.part + 1));
  const particle = new Particle(near, reference);
  particle.putAt(from.x);
  const xi = Float64Array.from(particle.xi);
  const x = Float64Array.from(from.x);
  let here = from.exact;
  let nearHere = particle.near;
  let turn = from.turn;
  let taken = 0;
  const draws = new Float64Array(order.steps * n);
  for (let k = 0; k < order.steps; k++) {
    const isShort = k % shortEvery === shortEvery - 1;
    let isMoved = false;
    for (let m = 0; m < (isShort ? 1 : longMoves); m++) {
      const isTaken = particle.move(stream, between(stream, isShort ? shortTurn : longTurn), turn);
      isMoved ||= isTaken;
      if (order.isWarmUp && !isShort) turn = learnt(turn, isTaken, k);
    }
    const chance = Math.log(stream.uniform());
    if (isMoved) {
      const there = exact(particle.x);
      if (chance < here - nearHere - (there - particle.near)) {
        xi.set(particle.xi);
        x.set(particle.x);
        here = there;
        nearHere = particle.near;
        taken++;
      } else particle.put(xi);
    }
    draws.set(x, k * n);
  }
  return { state: { x, exact: here, turn }, draws, acceptance: taken / order.steps };
}

/** A gain that falls, so that the turn settles. */
function learnt(turn: number, isTaken: boolean, k: number): number {
  const change = ((isTaken ? 1 : 0) - wantedAcceptance) / Math.sqrt(k + 4);
  return Math.min(Math.max(turn * Math.exp(change), leastTurn), mostTurn);
}

function between(stream: RandomStream, { from, to }: { readonly from: number; readonly to: number }): number {
  return from + (to - from) * stream.uniform();
}

function halfSquare(v: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < v.length; k++) sum += (v[k] as number) ** 2;
  return sum / 2;
}

const partsOfChain = 4096;

function streamOf(chain: number, part: number): number {
  return chain * partsOfChain + part;
}
