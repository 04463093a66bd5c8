/**
 * Shapley values: the one way to share a total among its causes that is symmetric, gives nothing to
 * a cause without effect, adds up, and adds over games. A set of players is a bit mask: bit i for i.
 */
import { refuse } from "../fault/index.js";
import { randomStream } from "./random.js";

const MOST_EXACT = 20;
const MOST_SAMPLED = 31;

/** What each player is given. */
export interface ShapleyShares {
  readonly shares: Float64Array;
  /** value(all) - value(none); the shares add up to it. */
  readonly total: number;
  /** How many sets were evaluated. */
  readonly evaluations: number;
}

/** Shares from sampled orders, with the standard error of each. */
export interface SampledShapleyShares extends ShapleyShares {
  readonly standardErrors: Float64Array;
}

/**
 * Exact Shapley values by all 2^n sets, each evaluated once.
 *
 *   phi_i = sum over S without i of |S|! (n - |S| - 1)! / n! (v(S + i) - v(S))
 *
 * @param players  number of players n, 1 to 20
 * @param value    worth of a set given as bit mask; finite
 * Refuses         more players, and a worth that is not finite.
 * Source          [shapley-1953, eq. 12]
 */
export function exactShapley(players: number, value: (set: number) => number): ShapleyShares {
  checkPlayers(players, MOST_EXACT, "Share by sampled orders instead.");
  const sets = 2 ** players;
  const worth = new Float64Array(sets);
  for (let set = 0; set < sets; set++) worth[set] = finite(value(set), set);
  const weights = orderWeights(players);
  const shares = new Float64Array(players);
  for (let i = 0; i < players; i++) {
    const bit = 1 << i;
    let share = 0;
    for (let set = 0; set < sets; set++) {
      if (set & bit) continue;
      share += (weights[size(set)] ?? 0) * ((worth[set | bit] ?? 0) - (worth[set] ?? 0));
    }
    shares[i] = share;
  }
  return { shares, total: (worth[sets - 1] ?? 0) - (worth[0] ?? 0), evaluations: sets };
}

/**
 * Shapley values by random orders of the players, each order also walked backwards, which takes out
 * most of the scatter. Sets met again are not evaluated again. The shares add up to the total exactly.
 *
 * @param players  number of players n, 1 to 31
 * @param value    worth of a set given as bit mask; finite
 * @param options  pairs: pairs of opposite orders, >= 2; seed: whole number
 * Refuses         more players, fewer pairs, and a worth that is not finite.
 * Source          [castro-2009]; opposite orders [mitchell-2022, section 4.1]
 */
export function sampledShapley(
  players: number,
  value: (set: number) => number,
  options: { readonly pairs: number; readonly seed: number },
): SampledShapleyShares {
  checkPlayers(players, MOST_SAMPLED, "Gather players that act together into one.");
  const { pairs } = options;
  if (!(Number.isInteger(pairs) && pairs >= 2)) {
    refuse(
      "shapley-pairs",
      `${pairs} pairs of orders`,
      "at least 2, to have a scatter",
      "Ask for more pairs.",
    );
  }
  const known = new Map<number, number>();
  const worth = (set: number): number => {
    const seen = known.get(set);
    if (seen !== undefined) return seen;
    const fresh = finite(value(set), set);
    known.set(set, fresh);
    return fresh;
  };
  const stream = randomStream(options.seed);
  const order = Array.from({ length: players }, (_, i) => i);
  const sums = new Float64Array(players);
  const squares = new Float64Array(players);
  const gain = new Float64Array(players);
  const walk = (): void => {
    let set = 0;
    let before = worth(0);
    for (const player of order) {
      set = (set | (1 << player)) >>> 0;
      const after = worth(set);
      gain[player] = (gain[player] ?? 0) + (after - before) / 2;
      before = after;
    }
  };
  for (let pair = 0; pair < pairs; pair++) {
    for (let i = players - 1; i > 0; i--) {
      const k = stream.below(i + 1);
      [order[i], order[k]] = [order[k] ?? 0, order[i] ?? 0];
    }
    gain.fill(0);
    walk();
    order.reverse();
    walk();
    for (let i = 0; i < players; i++) {
      sums[i] = (sums[i] ?? 0) + (gain[i] ?? 0);
      squares[i] = (squares[i] ?? 0) + (gain[i] ?? 0) ** 2;
    }
  }
  const all = 2 ** players - 1;
  const shares = sums.map((sum) => sum / pairs);
  return {
    shares,
    standardErrors: squares.map((square, i) => {
      const scatter = Math.max(0, square / pairs - (shares[i] ?? 0) ** 2);
      return Math.sqrt(scatter / (pairs - 1));
    }),
    total: worth(all) - worth(0),
    evaluations: known.size,
  };
}

/** |S|! (n - |S| - 1)! / n! by the size of S. */
function orderWeights(n: number): Float64Array {
  const weights = new Float64Array(n);
  let choose = 1;
  for (let s = 0; s < n; s++) {
    weights[s] = 1 / (n * choose);
    choose = (choose * (n - 1 - s)) / (s + 1);
  }
  return weights;
}

function size(set: number): number {
  let count = 0;
  for (let rest = set; rest !== 0; rest &= rest - 1) count++;
  return count;
}

function finite(worth: number, set: number): number {
  if (Number.isFinite(worth)) return worth;
  return refuse(
    "shapley-worth",
    `the worth of set ${set.toString(2)} (one digit for each player, the first at the right) is ${worth}`,
    "a finite number for every set",
    "Give the value that stands for a result that does not exist, or leave out the player that causes it.",
  );
}

function checkPlayers(players: number, most: number, mend: string): void {
  if (Number.isInteger(players) && players >= 1 && players <= most) return;
  refuse("shapley-players", `${players} players`, `1 to ${most}`, mend);
}
