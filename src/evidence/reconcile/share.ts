/**
 * The ledger: which assumption explains how much of the difference between predicted and measured
 * time. Shapley values along the update: each input's mean effect on the time when it is moved from
 * its declared to its updated value, over all orders in which the inputs could be moved [shapley-1953].
 * They add up to the whole change; what the update leaves over is 'unexplained', with its own line.
 */
import { exactShapley } from "../../numerics/index.js";
import { type EventId, timeDefinitions } from "../../physics/motion/index.js";
import { flowMark, isDone, type Plan, type Sense, strokeOf, ValveSample } from "../../predict/index.js";
import { lagShift } from "./lagShift.js";
import { plainViewing, type Viewing } from "./observe.js";
import type { JointSpace } from "./parameters.js";

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
  /** False where the update that it shares out was refused: then its lines are no causes. */
  readonly stands?: boolean;
}

/** Inputs with a line of their own at most; the rest move together. */
const ownLines = 7;
/** Simulations behind a ledger run this tight: within a fiftieth of a millisecond of a second. */
const ledgerTolerance = 1e-5;

/**
 * Time of a stroke by a definition as a log would show it, at the present values of a sample; NaN if the
 * valve does not arrive [s].
 */
export function timeAt(
  plan: Plan,
  sample: ValveSample,
  sense: Sense,
  definition: string,
  viewing: Viewing = plainViewing,
  lagShift_s: number = viewing.angleLag_s,
): number {
  sample.updateFlow();
  sample.updateTorque();
  const train = sample.train();
  const { stroke, times } = strokeOf(plan, sample, train, sense, flowMark(sample, sense), {
    tolerance: ledgerTolerance,
  });
  const index = timeDefinitions.findIndex(({ id }) => id === definition);
  const events = timeDefinitions[index];
  if (events === undefined || isDone(stroke, sense, train.travel) === false) return Number.NaN;
  return (times[index] ?? Number.NaN) + delayOf(events, viewing.delay_s) + lagShift_s;
}

/** A late command makes a time longer that counts from the command. */
function delayOf({ from }: { readonly from: EventId }, delay_s: number): number {
  return from === "command" ? delay_s : 0;
}

/** Whether a time ends with an event of the angle, which a slow sensor shows late. */
function isOfAngle(definition: string): boolean {
  const events = timeDefinitions.find(({ id }) => id === definition);
  return events !== undefined && events.to !== "current" && events.to !== "90 % flow";
}

/**
 * Shares out the change of a run's time between the values as stated and those of an update.
 * @param z independent scores of the update
 * @returns undefined where some mixture of stated and updated values does not open: then there is no
 *          time to share out
 */
export function shareOut(
  space: JointSpace,
  run: number,
  z: Float64Array,
  asked: { readonly definition: string; readonly measured_s: number },
): TimeLedger | undefined {
  const fitted = space.runs[run];
  if (fitted === undefined) return undefined;
  const { plan, stroke } = fitted;
  const sample = new ValveSample(plan);
  const late = isOfAngle(asked.definition) ? lagShift(space, run, z, asked.definition) : 0;
  const time = (moved: (index: number) => boolean): number => {
    space.fill(run, z, sample.values, moved);
    const viewing = space.viewing(run, z, moved);
    return timeAt(plan, sample, stroke.sense, asked.definition, viewing, viewing.angleLag_s > 0 ? late : 0);
  };
  const places = space.of(run);
  const predicted = time(() => false);
  const whole = time(() => true);
  if (Number.isNaN(predicted) || Number.isNaN(whole)) return undefined;
  const alone = new Map(places.map((j) => [j, Math.abs(time((index) => index === j) - predicted)]));
  if ([...alone.values()].some(Number.isNaN)) return undefined;
  const order = [...places].sort((a, b) => (alone.get(b) ?? 0) - (alone.get(a) ?? 0));
  const own = order.slice(0, ownLines);
  const rest = order.slice(ownLines);
  const players = own.map((j) => [j]);
  if (rest.length > 0) players.push(rest);
  let hasTime = true;
  const shares = exactShapley(players.length, (set) => {
    const chosen = new Set(players.flatMap((group, p) => (set & (1 << p) ? group : [])));
    const value = time((index) => chosen.has(index));
    if (Number.isNaN(value)) hasTime = false;
    return Number.isNaN(value) ? 0 : value;
  });
  if (!hasTime) return undefined;
  const lines = players
    .map(
      (group, p): LedgerLine => ({
        path: p < own.length ? space.parameters[group[0] ?? -1]?.path : undefined,
        contribution_s: shares.shares[p] ?? 0,
      }),
    )
    .sort((a, b) => Math.abs(b.contribution_s) - Math.abs(a.contribution_s));
  return {
    definition: asked.definition,
    predicted_s: predicted,
    updated_s: whole,
    measured_s: asked.measured_s,
    lines,
    unexplained_s: asked.measured_s - whole,
  };
}
