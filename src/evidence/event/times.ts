/** Opening and closing times from events, by every definition at once. */
import { type TimeDefinition, timeDefinitions } from "../../physics/motion/index.js";
import type { Time } from "../../quantity/index.js";
import type { DetectedEvent, FoundEvent } from "./event.js";

/** A time by its definition, or why it is not known. */
export type StrokeTime =
  | {
      readonly definition: TimeDefinition;
      readonly known: true;
      readonly value_s: Time;
      /** Standard uncertainty [s]. */
      readonly standardUncertainty_s: Time;
    }
  | { readonly definition: TimeDefinition; readonly known: false; readonly because: string };

/**
 * Times between events, with their standard uncertainty.
 *
 *   u^2 = u_from^2 + u_to^2 + (r T)^2,   less the clock's offset where both share one clock
 *
 * The errors of the two events count as independent; they share at most the error of the rests.
 *
 * @param events       of one record
 * @param definitions  which times; all of the list if absent
 * Source  [gum-2008, 5.1.2]; common practice for the clock's share
 */
export function openingTimes(
  events: readonly DetectedEvent[],
  definitions: readonly TimeDefinition[] = timeDefinitions,
): readonly StrokeTime[] {
  return definitions.map((definition) => {
    const from = events.find((event) => event.id === definition.from);
    const to = events.find((event) => event.id === definition.to);
    const lacking = [from, to].flatMap((event, i) => {
      const id = i === 0 ? definition.from : definition.to;
      if (event === undefined) return [`${id}: not looked for`];
      return event.found ? [] : [`${id}: ${event.because}`];
    });
    if (lacking.length > 0 || !from?.found || !to?.found) {
      return { definition, known: false, because: lacking.join("; ") };
    }
    const value = to.time_s - from.time_s;
    if (value < 0) return { definition, known: false, because: impossibleWords(from, to, value) };
    return {
      definition,
      known: true,
      value_s: value as Time,
      standardUncertainty_s: uncertaintyBetween(from, to, value) as Time,
    };
  });
}

/** An effect ahead of its cause: the record does not resolve the order of the two. */
function impossibleWords(from: FoundEvent, to: FoundEvent, value: number): string {
  const ms = (seconds: number) => `${(1e3 * seconds).toPrecision(2)} ms`;
  const reach = ms(2 * uncertaintyBetween(from, to, value));
  return `${to.id} appears ${ms(-value)} before ${from.id}, which cannot be, +/- ${reach}: their order is not resolved (${from.id}: ${from.how}; ${to.id}: ${to.how})`;
}

function uncertaintyBetween(from: FoundEvent, to: FoundEvent, value: number): number {
  const shared = from.clock.name === to.clock.name;
  const own = (event: FoundEvent) =>
    shared
      ? Math.max(0, event.standardUncertainty_s ** 2 - event.clock.offsetUncertainty_s ** 2)
      : event.standardUncertainty_s ** 2;
  const rate = Math.max(from.clock.rateUncertainty, to.clock.rateUncertainty) * value;
  return Math.sqrt(own(from) + own(to) + rate * rate);
}
