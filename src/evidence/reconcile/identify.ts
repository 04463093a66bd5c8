/**
 * What the tests leave open: combinations of inputs that they determine, where the inputs themselves
 * stay apart. The covariance of the scores after the tests is the prior's, 1 each, less what the tests
 * know; its eigenvectors of large eigenvalue among the inputs that do move the histories are the
 * directions along which one input trades for another without any history noticing.
 */
import { symmetricEigen } from "../../numerics/index.js";
import { clockPath } from "./granted.js";
import { ownRunOf } from "./parameters.js";
import type { Update } from "./update.js";

/** A trade between inputs that the tests do not see. */
export interface OpenDirection {
  /** Spread left along it, in declared uncertainties; 1 is as wide as declared [-]. */
  readonly spread: number;
  /** What trades, with the direction's components, largest first; they have unit length. */
  readonly members: readonly {
    readonly path: string;
    /** Run that the value belongs to, where several are held together and each has its own. */
    readonly runId?: string;
    readonly component: number;
  }[];
}

/** One spread of an input moves the weighted histories at least this much, or it is no matter of these tests. */
const leastPull = 1;
/** A direction that keeps more than this share of its declared spread is open [-]. */
const openSpread = 0.5;
/** Components smaller than this do not take part. */
const leastComponent = 0.3;
const mostDirections = 3;

/** Directions that the tests leave open, widest first. @param spread covariance of the scores after the tests */
export function openDirections({ space, pull }: Update, spread: Float64Array): readonly OpenDirection[] {
  const n = space.size;
  const seen = Array.from(pull, (_, j) => j).filter(
    (j) => (pull[j] ?? 0) >= leastPull && space.parameters[j]?.path !== clockPath,
  );
  const matrix = seen.map((j) => seen.map((k) => spread[j * n + k] ?? 0));
  if (seen.length < 2) return [];
  const { values, vectors } = symmetricEigen(matrix);
  const directions = Array.from(
    values,
    (value, e): OpenDirection => ({
      spread: Math.sqrt(Math.max(value, 0)),
      members: seen
        .map((j, i) => ({
          path: space.parameters[j]?.path ?? "",
          ...ownRunOf(space, j),
          component: vectors[e]?.[i] ?? 0,
        }))
        .filter(({ component }) => Math.abs(component) >= leastComponent)
        .sort((a, b) => Math.abs(b.component) - Math.abs(a.component)),
    }),
  );
  return directions
    .filter(({ spread: left, members }) => left >= openSpread && members.length > 1)
    .sort((a, b) => b.spread - a.spread)
    .slice(0, mostDirections);
}
