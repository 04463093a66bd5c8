/** What an update says of each input, and of pairs of them. */
import type { Dimension } from "../../quantity/index.js";
import { clockPath } from "./granted.js";
import type { Parameter } from "./parameters.js";
import type { Update } from "./update.js";

/** One declared input, or one thing taken for granted, before and after the tests, SI. */
export interface UpdatedInput {
  /** Path in the valve file, or of what the file takes for granted. */
  readonly path: string;
  /** Id of the run that alone has it: a condition of one test; absent for what the runs share. */
  readonly runId?: string;
  /** There for what the file takes for granted: it has no field that says in which unit it is. */
  readonly granted?: Dimension;
  /** As stated in the file. */
  readonly declared: number;
  readonly before: { readonly low: number; readonly high: number };
  readonly after: { readonly value: number; readonly low: number; readonly high: number };
  /** How far it moved, in its declared standard uncertainties [-]. */
  readonly shift: number;
  /** Spread after over spread before [-]; 1 means the tests say nothing of it. */
  readonly narrowing: number;
}

/** Two inputs that the tests tell apart badly: their updates trade against each other. */
export interface ConfusedPair {
  readonly first: string;
  readonly second: string;
  readonly correlation: number;
}

/** What of an update is kept. */
export interface UpdateRecord {
  readonly parameters: readonly { readonly path: string; readonly runId: string | undefined }[];
  /** Independent scores at the maximum posterior. */
  readonly z: Float64Array;
  /** Covariance of the scores y = L z after the tests, row after row. */
  readonly covariance: Float64Array;
  readonly channels: readonly {
    readonly runId: string;
    readonly channel: string;
    readonly misfit: number;
    readonly discrepancy: number;
  }[];
  /** Sum of squares per independent stretch, mean over all histories; 1 is expected. */
  readonly misfit: number;
  readonly converged: boolean;
  readonly unsettled: string | undefined;
  readonly simulations: number;
}

/** Narrowing above this: the tests say nothing of the input. */
export const untouchedNarrowing = 0.95;
/** Correlation after the tests above which two inputs count as confused. */
const confusedCorrelation = 0.6;
/** A 95 % interval of a normal law, either side, in its standard deviations. */
const two = 1.96;

/** Covariance of the scores y = L z, row after row. */
export function spreadOf({ space, covariance }: Update): Float64Array {
  const { size: n, mixing: L } = space;
  const half = new Float64Array(n * n);
  const spread = new Float64Array(n * n);
  for (let j = 0; j < n; j++)
    for (let k = 0; k <= j; k++) {
      const l = L[j * n + k] ?? 0;
      if (l !== 0)
        for (let m = 0; m < n; m++)
          half[j * n + m] = (half[j * n + m] ?? 0) + l * (covariance[k * n + m] ?? 0);
    }
  for (let i = 0; i < n; i++)
    for (let m = 0; m <= i; m++) {
      const l = L[i * n + m] ?? 0;
      if (l !== 0)
        for (let j = 0; j < n; j++) spread[j * n + i] = (spread[j * n + i] ?? 0) + (half[j * n + m] ?? 0) * l;
    }
  return spread;
}

/** Every parameter before and after. */
export function updatedInputs(update: Update, spread: Float64Array): readonly UpdatedInput[] {
  const { space, z } = update;
  return space.parameters.map((parameter, j): UpdatedInput => {
    const score = space.scoreAt(z, j);
    const deviation = Math.sqrt(spread[j * space.size + j] ?? 1);
    const ends = (a: number, b: number) => {
      const [x, y] = [space.valueAt(j, a), space.valueAt(j, b)];
      return { low: Math.min(x, y), high: Math.max(x, y) };
    };
    const runId = runIdOf(update, parameter);
    return {
      path: parameter.path,
      ...(runId === undefined || space.runs.length < 2 ? {} : { runId }),
      ...(parameter.granted === undefined ? {} : { granted: parameter.granted.dimension }),
      declared: space.statedOf(j),
      before: ends(-two, two),
      after: {
        value: space.valueAt(j, score),
        ...ends(score - two * deviation, score + two * deviation),
      },
      shift: score,
      narrowing: deviation,
    };
  });
}

/** Pairs that the tests tell apart badly, worst first; the clock, which nobody asks about, left out. */
export function confusedPairs(update: Update, spread: Float64Array): readonly ConfusedPair[] {
  const { space } = update;
  const n = space.size;
  const pairs: ConfusedPair[] = [];
  const asked = Array.from({ length: n }, (_, j) => j).filter((j) => nameOf(update, j) !== clockPath);
  for (const j of asked) {
    for (const k of asked) {
      if (k <= j) continue;
      const scale = Math.sqrt((spread[j * n + j] ?? 0) * (spread[k * n + k] ?? 0));
      const correlation = scale > 0 ? (spread[j * n + k] ?? 0) / scale : 0;
      if (Math.abs(correlation) < confusedCorrelation) continue;
      pairs.push({ first: nameOf(update, j), second: nameOf(update, k), correlation });
    }
  }
  return pairs.sort((a, b) => Math.abs(b.correlation) - Math.abs(a.correlation));
}

function nameOf({ space }: Update, j: number): string {
  return space.parameters[j]?.path ?? "";
}

function runIdOf({ space }: Update, { run }: Parameter): string | undefined {
  return run === undefined ? undefined : space.runs[run]?.stroke.runId;
}

/** The update as it is stored. */
export function recordOf(update: Update, spread: Float64Array): UpdateRecord {
  const { space, z, channels, misfit, converged, unsettled, simulations } = update;
  return {
    parameters: space.parameters.map((parameter) => ({
      path: parameter.path,
      runId: runIdOf(update, parameter),
    })),
    z,
    covariance: spread,
    channels: channels.map(({ run, ...rest }) => ({ runId: space.runs[run]?.stroke.runId ?? "", ...rest })),
    misfit,
    converged,
    unsettled,
    simulations,
  };
}
