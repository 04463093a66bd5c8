/**
 * The update of the declared inputs by one or several tests: moved to where they, weighed by their
 * declared spread, explain the measured histories best (maximum posterior), and how far the tests
 * narrow them. The spread after the tests is that of the linearised posterior, (J^T J)^-1.
 *
 * The derivatives are central differences of the simulation. Its events (breakaway, the current limit,
 * the stop) are found to rounding, so that a history is smooth in the parameters but for the choice of
 * steps, which leaves 1e-5 of it; a step of the cube root of that balances the two errors at 5e-4 of a
 * derivative, far less than the linearised posterior neglects. A parameter of one run is stepped in
 * that run alone.
 * Sources: Bayesian parameter estimation as in [gelman-2013, ch. 13]; least squares by trust region
 * [more-1978]. Derived in docs/theory/reconciliation.md.
 */
import { type LeastSquaresResult, leastSquares } from "../../numerics/index.js";
import { clockPath } from "./granted.js";
import { type ChannelMisfit, JointModel, simulationNoise } from "./jointModel.js";
import type { FittedRun, JointSpace } from "./parameters.js";

/**
 * The data are let in by stages, as shares of their weight: a weak pull first leads the inputs round
 * the cliff at which a simulated drive stalls, where the full pull would throw them over it.
 */
const stages = [
  { strength: 0.05, differences: "forward", firstDamping: 0.1, maxIterations: 4, tolerance: 1e-2 },
  { strength: 0.2, differences: "forward", firstDamping: 0.1, maxIterations: 4, tolerance: 1e-2 },
  { strength: 1, differences: "forward", firstDamping: 1e-2, maxIterations: 15, tolerance: 1e-2 },
] as const;
const lastStage = {
  strength: 1,
  differences: "central",
  firstDamping: 1e-3,
  maxIterations: 8,
  tolerance: 5e-3,
} as const;
/** A fit that ends with less than this left to gain in the sum of squares (a tenth of a spread) has settled. */
const settledGain = 0.01;
/**
 * The same for one that ends because no step, however short, reduces the sum: the best values lie on a kink, as
 * where a run just meets its current limit, over which the derivatives promise what is not there. A third of a spread.
 */
const stalledGain = 0.1;
/** A parameter that moves the weighted histories less than this by one spread is left where it is. */
const leastPull = 0.02;

export interface Update {
  readonly space: JointSpace;
  /** Independent scores at the maximum posterior. */
  readonly z: Float64Array;
  /** Covariance of the scores after the tests, row after row. */
  readonly covariance: Float64Array;
  /** How far one spread of each parameter moves the weighted histories of all runs [-]. */
  readonly pull: Float64Array;
  /** Products of the weighted histories' derivatives, row after row: of marks that look alike [-]. */
  readonly products: Float64Array;
  readonly channels: readonly ChannelMisfit[];
  /** Sum of squares per independent stretch, mean over all histories; 1 is expected. */
  readonly misfit: number;
  /** -2 log posterior at z, but for a constant. */
  readonly objective: number;
  readonly converged: boolean;
  /** What was left when the search ended, where it did not converge. */
  readonly unsettled: string | undefined;
  readonly simulations: number;
}

/** Updates the inputs of a valve against measured strokes of it. */
export function updateInputs(runs: readonly FittedRun[]): Update {
  const model = new JointModel(runs);
  const { space } = model;
  const start = new Float64Array(space.size);
  const early = pulling(model, start, everyPlace(space));
  const near = otherWays(model, early, search(model, start, early, stages).z);
  const late = pulling(
    model,
    near,
    everyPlace(space).filter((j) => !early.includes(j)),
  );
  const active = [...early, ...late].sort((a, b) => a - b);
  const fit = search(model, near, active, [lastStage]);
  return updateAt(model, fit.z, active, fit.result);
}

/**
 * Other explanations than the one that small steps from the declared values lead to: where the first is
 * poor, the search is begun again from each thing that the file takes for granted being far off. What
 * they mend is left by no small step, as a current limit that is not met where it is believed to be.
 */
function otherWays(model: JointModel, active: readonly number[], first: Float64Array): Float64Array {
  const { space } = model;
  model.strength = 1;
  const poor = new Set(model.misfits(first).flatMap(({ run, misfit }) => (misfit > poorMisfit ? [run] : [])));
  const isFar = active.some((j) => Math.abs(first[j] ?? 0) > farScore);
  if (poor.size === 0 && !isFar) return first;
  let best = first;
  let least = model.minusLogPosterior(first);
  space.parameters.forEach(({ granted, path, run }, g) => {
    if (granted === undefined || path === clockPath) return;
    if (run !== undefined && poor.size > 0 && !poor.has(run)) return;
    const start = new Float64Array(space.size);
    start[g] = farAway;
    const places = [...new Set([...active, g])].sort((a, b) => a - b);
    const found = search(model, start, places, stages.slice(1)).z;
    model.strength = 1;
    const value = model.minusLogPosterior(found);
    if (value >= least) return;
    best = found;
    least = value;
  });
  return best;
}

/** Misfit of a history above which the explanation is poor; 1 is expected, and less is usual. */
const poorMisfit = 1;
/** A score beyond which an explanation is not believed without looking for another: four declared uncertainties. */
const farScore = 3;
/** Score of what is tried to be far off: tens of milliseconds, half the pressure, half as much inertia again. */
const farAway = 3;

function everyPlace({ size }: JointSpace): readonly number[] {
  return Array.from({ length: size }, (_, j) => j);
}

/** Which of these parameters move the histories at all. */
function pulling(model: JointModel, z: Float64Array, places: readonly number[]): readonly number[] {
  model.strength = 1;
  const columns = columnsAt(model, z, places, "forward");
  return places.filter((_, k) => lengthOf(columns[k] ?? []) >= leastPull);
}

function updateAt(
  model: JointModel,
  z: Float64Array,
  active: readonly number[],
  fit: LeastSquaresResult,
): Update {
  const { space } = model;
  const n = space.size;
  const m = active.length;
  const covariance = new Float64Array(n * n);
  const products = new Float64Array(n * n);
  for (let j = 0; j < n; j++) covariance[j * n + j] = 1;
  // The last rows of the jacobian are those of the prior, an identity.
  const rows = fit.residuals.length - m;
  active.forEach((j, a) => {
    active.forEach((k, b) => {
      covariance[j * n + k] = fit.covarianceFactor?.[a * m + b] ?? (j === k ? 1 : 0);
      if (b > a) return;
      let sum = 0;
      for (let i = 0; i < rows; i++) sum += (fit.jacobian[i * m + a] ?? 0) * (fit.jacobian[i * m + b] ?? 0);
      products[j * n + k] = sum;
      products[k * n + j] = sum;
    });
  });
  const pull = Float64Array.from({ length: n }, (_, j) => Math.sqrt(products[j * n + j] ?? 0));
  const channels = model.misfits(z);
  const left = fit.slack * fit.slack * fit.sumOfSquares;
  const isSettled = fit.converged || left < (fit.reason.startsWith("stalled") ? stalledGain : settledGain);
  return {
    space,
    z,
    covariance,
    pull,
    products,
    channels,
    misfit: channels.reduce((sum, { misfit }) => sum + misfit, 0) / Math.max(channels.length, 1),
    objective: 2 * model.minusLogPosterior(z),
    converged: isSettled,
    unsettled: isSettled
      ? undefined
      : `the search for the best values ended ${Math.sqrt(left).toFixed(1)} of a spread short of where its last step pointed`,
    simulations: model.simulations,
  };
}

interface Found {
  readonly z: Float64Array;
  readonly result: LeastSquaresResult;
}

/** Runs the stages over some of the parameters; the others stay where they are. */
function search(
  model: JointModel,
  start: Float64Array,
  active: readonly number[],
  through: readonly ((typeof stages)[number] | typeof lastStage)[],
): Found {
  const { runs } = model;
  const whole = Float64Array.from(start);
  const place = (x: ArrayLike<number>): Float64Array => {
    active.forEach((j, a) => {
      whole[j] = x[a] ?? 0;
    });
    return whole;
  };
  let from = Float64Array.from(active, (j) => start[j] ?? 0);
  let result: LeastSquaresResult | undefined;
  for (const { strength, differences, ...settings } of through) {
    model.strength = strength;
    result = leastSquares({
      residuals: (x) => {
        const z = place(x);
        return concatenated([...runs.map((_, r) => model.residualsOf(r, z)), Float64Array.from(x)]);
      },
      jacobian: (x) => {
        const columns = columnsAt(model, place(x), active, differences);
        const m = active.length;
        const rows = (columns[0]?.length ?? 0) + m;
        const out = new Float64Array(rows * m);
        columns.forEach((column, a) => {
          for (let i = 0; i < column.length; i++) out[i * m + a] = column[i] ?? 0;
          out[(rows - m + a) * m + a] = 1;
        });
        return out;
      },
      start: from,
      scale: new Float64Array(active.length).fill(1),
      noise: simulationNoise,
      ...settings,
    });
    from = Float64Array.from(result.x);
  }
  if (result === undefined) throw new Error("the update has no stage");
  return { z: Float64Array.from(place(from)), result };
}

/**
 * Derivatives of all runs' residuals by differences, a column for each of the places.
 * A step that no valve can take is replaced by one to the other side.
 */
function columnsAt(
  model: JointModel,
  z: Float64Array,
  places: readonly number[],
  differences: "forward" | "central",
): readonly Float64Array[] {
  const { runs, space } = model;
  const here = runs.map((_, r) => model.residualsOf(r, z));
  const offsets = here.map((_, r) => here.slice(0, r).reduce((sum, block) => sum + block.length, 0));
  const length = here.reduce((sum, block) => sum + block.length, 0);
  const share = differences === "central" ? Math.cbrt(simulationNoise) : Math.sqrt(simulationNoise);
  const moved = Float64Array.from(z);
  return places.map((j) => {
    const column = new Float64Array(length);
    const middle = z[j] ?? 0;
    const h = share * Math.max(Math.abs(middle), 1);
    for (const r of space.parameters[j]?.runs ?? []) {
      const base = here[r] ?? column;
      const at = (value: number): Float64Array | undefined => {
        moved[j] = value;
        const residuals = model.residualsOf(r, moved);
        moved[j] = middle;
        return residuals.every(Number.isFinite) ? residuals : undefined;
      };
      const above = at(middle + h);
      const below = differences === "central" || above === undefined ? at(middle - h) : undefined;
      const width = (above === undefined ? 0 : h) + (below === undefined ? 0 : h);
      if (width === 0) continue;
      const offset = offsets[r] ?? 0;
      for (let i = 0; i < base.length; i++)
        column[offset + i] = ((above ?? base)[i] ?? 0) / width - ((below ?? base)[i] ?? 0) / width;
    }
    return column;
  });
}

function concatenated(parts: readonly Float64Array[]): Float64Array {
  const out = new Float64Array(parts.reduce((sum, part) => sum + part.length, 0));
  let offset = 0;
  for (const part of parts) {
    out.set(part, offset);
    offset += part.length;
  }
  return out;
}

function lengthOf(values: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += (values[i] ?? 0) ** 2;
  return Math.sqrt(sum);
}
