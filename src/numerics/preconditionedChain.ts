/**
 * A Markov chain in the coordinates of a normal law that lies near the one that is sampled, x = c + F xi,
 * of two kinds of steps in turns.
 *
 * Some coordinates are bent by the data, the others are left by them as that normal law has them. The
 * latter walk by the preconditioned Crank-Nicolson step, which such a law never refuses, however many
 * they are:
 *
 *   xi' = sqrt(1 - b^2) xi + b eta,   eta standard normal
 *
 * The former do the same in every other step; between, some of them take differential-evolution steps along
 * the difference of two states of an archive, which follow curved and skewed laws:
 *
 *   xi' = xi + g (a_1 - a_2) + small noise,   g = 2.38 / sqrt(2 k), now and then 1
 *
 * A step of the first kind is taken with min(1, exp(Phi - Phi')), Phi = -log density less |xi|^2 / 2, one of
 * the second by the ratio of the densities. Step size and archive are learnt in the warm-up and then kept, so that the
 * chain is one of Markov.
 *
 * Sources: [cotter-2013]; about a normal law near the target [rudolf-sprungk-2018]; differences of past
 * states [ter-braak-vrugt-2008]
 */
import { randomStream } from "./random.js";

/** The normal law in whose coordinates the chain walks. */
export interface Reference {
  /** Its mean c. */
  readonly centre: Float64Array;
  /** F with F F^T its covariance, n x n row after row. */
  readonly factor: Float64Array;
  /** How many of the coordinates, the first ones, are bent by the data. */
  readonly bent: number;
}

/** Where a chain is. Plain data: it can be sent to another thread and carried on there. */
export interface ChainState {
  readonly xi: Float64Array;
  /** -log density at xi. */
  readonly minusLog: number;
  /** Step size b, 0 < b <= 1. */
  readonly step: number;
}

export interface ChainOrder {
  readonly seed: number;
  /** Number of the chain and of this part of it: they name the random numbers. */
  readonly chain: number;
  readonly part: number;
  readonly steps: number;
  /** Whether the step size is learnt. */
  readonly isWarmUp: boolean;
  /** Past states of all chains, bent coordinates only, row after row; none yet in the first warm-up. */
  readonly archive: Float64Array;
}

export interface ChainPart {
  readonly state: ChainState;
  /** Coordinates xi after each step, row after row. */
  readonly draws: Float64Array;
  /** Share of the steps taken [-]. */
  readonly acceptance: number;
}

/** Share of the steps that should be taken; the walk is not sensitive to it. Common practice, no source. */
const wantedAcceptance = 0.3;
const firstStep = 0.2;
const leastStep = 1e-3;
/** Every fourth step is so much shorter: it leads out of tails where the usual one is always refused. */
const smallShare = 0.2;
/** Shares of the bent coordinates that a differential-evolution step moves, in turns [ter-braak-vrugt-2008]. */
const crossings = [0.2, 0.5, 1] as const;
/** Every so many differential-evolution steps one is of full length, from one hill to another. */
const fullLengthEvery = 10;
/** Noise of a differential-evolution step, in spreads of the reference: no state is out of reach. */
const smallNoise = 0.02;
/** Each start is drawn from the reference widened by this, so that chains begin apart. */
const apart = 1.5;
/** A start where the density vanishes is drawn nearer to the centre, so often. */
const mostStarts = 60;
const nearer = 0.85;

type MinusLog = (x: Float64Array) => number;

/** The state of coordinates xi. @param x receives it */
export function placeAt({ centre, factor }: Reference, xi: ArrayLike<number>, x: Float64Array): void {
  const n = centre.length;
  for (let i = 0; i < n; i++) {
    let sum = centre[i] ?? 0;
    for (let k = 0; k < n; k++) sum += (factor[i * n + k] ?? 0) * (xi[k] ?? 0);
    x[i] = sum;
  }
}

function evaluator(minusLog: MinusLog, reference: Reference): (xi: Float64Array) => number {
  const x = new Float64Array(reference.centre.length);
  return (xi) => {
    placeAt(reference, xi, x);
    const value = minusLog(x);
    return Number.isNaN(value) ? Number.POSITIVE_INFINITY : value;
  };
}

/**
 * Starts a chain away from the centre.
 * @param minusLog  -log density but for a constant; not finite where it vanishes
 */
export function startChain(
  minusLog: MinusLog,
  reference: Reference,
  order: Pick<ChainOrder, "seed" | "chain">,
): ChainState {
  const stream = randomStream(order.seed, streamOf(order.chain, 0));
  const at = evaluator(minusLog, reference);
  const xi = Float64Array.from(reference.centre, () => apart * stream.normal());
  for (let tried = 0; tried < mostStarts; tried++) {
    const value = at(xi);
    if (Number.isFinite(value)) return { xi, minusLog: value, step: firstStep };
    for (let j = 0; j < xi.length; j++) xi[j] = nearer * (xi[j] ?? 0);
  }
  xi.fill(0);
  return { xi, minusLog: at(xi), step: firstStep };
}

/**
 * Carries a chain on.
 * @returns its new state and the coordinates passed; the same order and state give the same bits
 */
export function walkChain(
  minusLog: MinusLog,
  reference: Reference,
  from: ChainState,
  order: ChainOrder,
): ChainPart {
  const { bent } = reference;
  const n = reference.centre.length;
  const stream = randomStream(order.seed, streamOf(order.chain, order.part + 1));
  const at = evaluator(minusLog, reference);
  const past = bent === 0 ? 0 : order.archive.length / bent;
  let xi = Float64Array.from(from.xi);
  let here = from.minusLog;
  let next = new Float64Array(n);
  let step = from.step;
  let taken = 0;
  const draws = new Float64Array(order.steps * n);
  for (let k = 0; k < order.steps; k++) {
    const isEvolving = past > 1 && k % 2 === 1;
    const isSmall = k % 4 === 2;
    const b = isSmall ? smallShare * step : step;
    const keep = Math.sqrt(1 - b * b);
    if (isEvolving) {
      const one = stream.below(past) * bent;
      const other = stream.below(past) * bent;
      const share = crossings[(k >> 1) % crossings.length] ?? 1;
      const isFull = (k >> 1) % fullLengthEvery === 0;
      const g = isFull ? 1 : 2.38 / Math.sqrt(2 * Math.max(share * bent, 1));
      next.set(xi);
      for (let j = 0; j < bent; j++) {
        if (!isFull && stream.uniform() > share) continue;
        const way = (order.archive[one + j] ?? 0) - (order.archive[other + j] ?? 0);
        next[j] = (xi[j] ?? 0) + g * way + smallNoise * stream.normal();
      }
    } else for (let j = 0; j < n; j++) next[j] = keep * (xi[j] ?? 0) + b * stream.normal();
    const there = at(next);
    const gain = isEvolving ? here - there : here - halfSquare(xi) - (there - halfSquare(next));
    const isTaken = Math.log(stream.uniform()) < gain;
    if (isTaken) {
      [xi, next] = [next, xi];
      here = there;
      taken++;
    }
    draws.set(xi, k * n);
    if (order.isWarmUp && !isEvolving && !isSmall) {
      // A gain that falls, so that the step settles.
      const change = ((isTaken ? 1 : 0) - wantedAcceptance) / Math.sqrt(k / 4 + 4);
      step = Math.min(Math.max(step * Math.exp(change), leastStep), 1);
    }
  }
  return { state: { xi, minusLog: here, step }, draws, acceptance: taken / order.steps };
}

function halfSquare(xi: Float64Array): number {
  let sum = 0;
  for (const value of xi) sum += value * value;
  return sum / 2;
}

const partsOfChain = 4096;

function streamOf(chain: number, part: number): number {
  return chain * partsOfChain + part;
}
