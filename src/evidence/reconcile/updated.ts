/** What an update says of each input, and of pairs of them. */
import type { Dimension } from "../../quantity/index.js";
import { clockPath } from "./granted.js";
import { ownRunOf, type Parameter } from "./parameters.js";
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

/** Two inputs that the tests tell apart badly: their updates trade against each other, or their marks look alike. */
export interface ConfusedPair {
  readonly first: string;
  readonly second: string;
  /** Run that the value belongs to, where several are held together and each has its own. */
  readonly firstRun?: string;
  readonly secondRun?: string;
  /** Correlation after the tests [-]. */
  readonly correlation: number;
  /** Cosine of the angle between the marks that the two leave on the histories, 1 or -1 for one and the same [-]. */
  readonly likeness?: number;
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
/** Cosine from which on two marks look alike: less than a fifth of either is its own. */
const alikeMarks = 0.98;
/** One spread that moves the weighted histories by less than this leaves no mark. */
const leastMark = 0.5;
/** A parameter moved this far may be blamed, and what looks like it should be named. */
const movedScore = 1;
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
    return {
      path: parameter.path,
      ...ownRunOf(space, j),
      ...(parameter.granted === undefined ? {} : { granted: parameter.granted.dimension }),
      declared: space.statedOf(j),
      before: ends(-two, two),
      after: {
        value: space.valueAt(j, score),
        ...ends(score - two * deviation, score + two * deviation),
      },
      shift: space.shiftAt(j, score),
      narrowing: deviation,
    };
  });
}

/** Pairs that the tests tell apart badly, worst first; the clock, which nobody asks about, left out. */
export function confusedPairs(update: Update, spread: Float64Array): readonly ConfusedPair[] {
  const { size: n } = update.space;
  const pairs: ConfusedPair[] = [];
  const asked = Array.from({ length: n }, (_, j) => j).filter((j) => nameOf(update, j) !== clockPath);
  for (const j of asked) {
    for (const k of asked) {
      if (k <= j) continue;
      const scale = Math.sqrt((spread[j * n + j] ?? 0) * (spread[k * n + k] ?? 0));
      const correlation = scale > 0 ? (spread[j * n + k] ?? 0) / scale : 0;
      const likeness = likenessOf(update, j, k);
      const isAlike = Math.abs(likeness) >= alikeMarks && (isMoved(update, j) || isMoved(update, k));
      if (Math.abs(correlation) < confusedCorrelation && !isAlike) continue;
      const [firstRun, secondRun] = [j, k].map((one) => ownRunOf(update.space, one).runId);
      pairs.push({
        first: nameOf(update, j),
        second: nameOf(update, k),
        ...(firstRun === undefined ? {} : { firstRun }),
        ...(secondRun === undefined ? {} : { secondRun }),
        correlation,
        likeness,
      });
    }
  }
  const worst = ({ correlation, likeness }: ConfusedPair) =>
    Math.max(Math.abs(correlation), Math.abs(likeness ?? 0));
  return pairs.sort((a, b) => worst(b) - worst(a));
}

/** Cosine between the columns of two parameters; 0 where one leaves no mark worth the name. */
function likenessOf({ products, pull, space }: Update, j: number, k: number): number {
  const [a, b] = [pull[j] ?? 0, pull[k] ?? 0];
  return Math.min(a, b) < leastMark ? 0 : (products[j * space.size + k] ?? 0) / (a * b);
}

function isMoved({ space, z }: Update, j: number): boolean {
  return Math.abs(space.scoreAt(z, j)) >= movedScore;
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
