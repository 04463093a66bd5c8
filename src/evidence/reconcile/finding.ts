/** What a test says of a prediction, without asking why: agrees, cannot tell, disagrees. */

import { leadingTime } from "../run/leadingTime.js";
import { type Comparison, compare } from "./compare.js";
import type { HeldPrediction } from "./held.js";
import type { MeasuredStroke, MeasuredTime } from "./measured.js";

/** Every time that was predicted and measured. */
export function comparisonsOf({ times }: MeasuredStroke, held: HeldPrediction): readonly Comparison[] {
  return times.flatMap((time) => comparisonOf(time, held));
}

function comparisonOf(time: MeasuredTime, held: HeldPrediction): Comparison[] {
  const predicted = held.times_s[time.definition];
  const input = held.inputUncertainty_s[time.definition];
  if (predicted === undefined || input === undefined) return [];
  return [compare(time.definition, predicted, input, time)];
}

/** A valve that should not have moved but did, or the other way round, is a finding without a time. */
export function findingOf(
  lead: Comparison | undefined,
  stroke: MeasuredStroke,
  held: HeldPrediction,
): Comparison["finding"] {
  const failing = held.notArriving?.estimate;
  if (stroke.arrived === false)
    return failing !== undefined && failing >= unsureFailure ? "cannot tell" : "disagrees";
  if (lead !== undefined) return lead.finding;
  if (stroke.arrived === true && failing !== undefined && failing > 1 - unsureFailure) return "disagrees";
  return "cannot tell";
}

/** A predicted probability of not arriving from which on a stalled test is no surprise. */
const unsureFailure = 0.05;

/** The leading comparison and the finding of a test against a prediction. */
export function findingAgainst(
  stroke: MeasuredStroke,
  held: HeldPrediction,
  leading: string,
): { readonly leading: Comparison | undefined; readonly finding: Comparison["finding"] } {
  const lead = leadingTime(comparisonsOf(stroke, held), leading);
  return { leading: lead, finding: findingOf(lead, stroke, held) };
}
