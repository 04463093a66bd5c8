/**
 * The ledger: which assumption explains how much of the difference between predicted and measured
 * time. Shapley values along the update: each input's mean effect on the time when it is moved from
 * its declared to its updated value, over all orders in which the inputs could be moved [shapley-1953].
 * They add up to the whole change; what the update leaves over is 'unexplained', with its own line.
 */
import { exactShapley } from "../../numerics/index.js";
import { timeDefinitions } from "../../physics/motion/index.js";
import { flowMark, type Plan, type Sense, strokeOf, ValveSample } from "../../predict/index.js";

export interface LedgerLine {
  /** Path of the input; undefined for the line of the small ones together. */
  readonly path: string | undefined;
  readonly contribution_s: number;
}

export interface TimeLedger {
  readonly definition: string;
  readonly predicted_s: number;
  readonly updated_s: number;
  readonly measured_s: number;
  /** Largest first; they add up to updated - predicted. */
  readonly lines: readonly LedgerLine[];
  /** measured - updated. */
  readonly unexplained_s: number;
}

/** Inputs with a line of their own at most; the rest move together. */
const ownLines = 9;

/** Time of a stroke by a definition at given values of all slots, NaN if the valve does not arrive [s]. */
export function timeAt(
  plan: Plan,
  sample: ValveSample,
  values: Float64Array,
  sense: Sense,
  definition: string,
): number {
  sample.values.set(values);
  sample.updateFlow();
  sample.updateTorque();
  const { stroke, times } = strokeOf(plan, sample, sample.train(), sense, flowMark(sample, sense), {
    tolerance: ledgerTolerance,
  });
  const index = timeDefinitions.findIndex(({ id }) => id === definition);
  return stroke.outcome === "arrived" ? (times[index] ?? Number.NaN) : Number.NaN;
}

const ledgerTolerance = 1e-5;

/**
 * Shares out the change of a time between two vectors of values.
 * @returns undefined where some mixture of declared and updated values does not open: then there is no
 *          time to share out
 */
export function shareOut(
  plan: Plan,
  declared: Float64Array,
  updated: Float64Array,
  stroke: { readonly sense: Sense; readonly definition: string; readonly measured_s: number },
): TimeLedger | undefined {
  const { space } = plan;
  const sample = new ValveSample(plan);
  const time = (values: Float64Array) => timeAt(plan, sample, values, stroke.sense, stroke.definition);
  const predicted = time(declared);
  const whole = time(updated);
  if (Number.isNaN(predicted) || Number.isNaN(whole)) return undefined;
  const alone = space.inputs.map((_, j) =>
    Math.abs(time(moved(space.inputs, declared, updated, [j])) - predicted),
  );
  if (alone.some(Number.isNaN)) return undefined;
  const order = alone.map((_, j) => j).sort((a, b) => (alone[b] ?? 0) - (alone[a] ?? 0));
  const own = order.slice(0, ownLines);
  const rest = order.slice(ownLines);
  const players = own.map((j) => [j]);
  if (rest.length > 0) players.push(rest);
  let hasTime = true;
  const shares = exactShapley(players.length, (set) => {
    const value = time(
      moved(
        space.inputs,
        declared,
        updated,
        players.flatMap((group, p) => (set & (1 << p) ? group : [])),
      ),
    );
    if (Number.isNaN(value)) hasTime = false;
    return Number.isNaN(value) ? 0 : value;
  });
  if (!hasTime) return undefined;
  const lines = players
    .map(
      (group, p): LedgerLine => ({
        path: p < own.length ? space.inputs[group[0] ?? -1]?.path : undefined,
        contribution_s: shares.shares[p] ?? 0,
      }),
    )
    .sort((a, b) => Math.abs(b.contribution_s) - Math.abs(a.contribution_s));
  return {
    definition: stroke.definition,
    predicted_s: predicted,
    updated_s: whole,
    measured_s: stroke.measured_s,
    lines,
    unexplained_s: stroke.measured_s - whole,
  };
}

function moved(
  inputs: Plan["space"]["inputs"],
  declared: Float64Array,
  updated: Float64Array,
  which: readonly number[],
): Float64Array {
  const values = Float64Array.from(declared);
  for (const j of which)
    for (const { slot } of inputs[j]?.members ?? []) values[slot] = updated[slot] ?? Number.NaN;
  return values;
}
