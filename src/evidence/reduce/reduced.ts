/**
 * A quantity reduced from a log: value, uncertainty by the first order of the GUM, held against the
 * Monte Carlo method, and what brings the uncertainty in.
 */
import {
  type Contribution,
  type Contributor,
  type ContributorCorrelation,
  coverageFactorFor,
  type Measurement,
  numericalTolerance,
  propagate,
  propagateByMonteCarlo,
} from "../../numerics/index.js";
import type { Dimension } from "../../quantity/index.js";

/** What is reduced, whatever the run. */
export interface ReducedDefinition {
  /** Stable id, as "breakaway-torque-from-current". */
  readonly id: string;
  readonly name: string;
  readonly dimension: Dimension;
  readonly equation: string;
  /** Key into the bibliography with the place, or where it is derived. */
  readonly source: string;
  readonly assumptions: readonly string[];
}

export interface Reduced extends ReducedDefinition {
  readonly known: true;
  /** SI of the dimension, as are all numbers here. */
  readonly value: number;
  readonly standardUncertainty: number;
  readonly degreesOfFreedom: number | undefined;
  /** Covers with 95 %: k u, or the draws where the two differ. */
  readonly interval95: readonly [number, number];
  readonly intervalFrom: "first order" | "Monte Carlo";
  /** Greatest first. */
  readonly contributions: readonly Contribution[];
}

export interface NotReduced {
  readonly known: false;
  readonly id: string;
  readonly name: string;
  readonly because: string;
}

export type ReducedQuantity = Reduced | NotReduced;

/** Draws of the check by Monte Carlo: the ends of the interval then scatter by about 1 % of u. */
const trials = 20_000;
const seed = 1;
const coverage = 0.95;
/** A smaller share of the variance is not listed. */
const leastShare = 1e-4;

/** Reduces one quantity. @param f of the values of the contributors, in their order */
export function reduce(
  definition: ReducedDefinition,
  f: Measurement,
  contributors: readonly Contributor[],
  correlations: readonly ContributorCorrelation[] = [],
): Reduced {
  const first = propagate(f, contributors, correlations);
  const u = first.standardUncertainty;
  const reach = coverageFactorFor(coverage, first.degreesOfFreedom) * u;
  const plain: readonly [number, number] = [first.value - reach, first.value + reach];
  const drawn =
    u > 0
      ? propagateByMonteCarlo(f, contributors, { trials, seed, coverage, correlations }).symmetric
      : plain;
  // Digits beyond the first would ask for a million draws [jcgm-101-2008, 8.1].
  const tolerance = numericalTolerance(u, 1);
  const isConfirmed = plain.every((end, i) => Math.abs(end - (drawn[i] ?? end)) <= tolerance);
  return {
    ...definition,
    known: true,
    value: first.value,
    standardUncertainty: u,
    degreesOfFreedom: Number.isFinite(first.degreesOfFreedom) ? first.degreesOfFreedom : undefined,
    interval95: isConfirmed ? plain : drawn,
    intervalFrom: isConfirmed ? "first order" : "Monte Carlo",
    contributions: first.contributions
      .filter(({ share }) => share >= leastShare)
      .sort((a, b) => b.share - a.share),
  };
}
