/** An event set by hand. The automatic finding stays beside it, with who moved it and why. */
import { nearName, refuse } from "../../fault/index.js";
import { eventIds } from "../../physics/motion/index.js";
import type { DetectedEvent, EventChannel, MovedByHand } from "./event.js";
import { logClock } from "./event.js";
import { normalInstant } from "./instant.js";

/** A correction of an event by a person. */
export interface EventMove {
  readonly id: string;
  /** On the clock of the record [s]. */
  readonly time_s: number;
  /** Standard uncertainty of the new instant, > 0 [s]; the automatic one's if absent. */
  readonly standardUncertainty_s?: number;
  readonly who: string;
  readonly why: string;
}

/**
 * Sets one event by hand.
 *
 * @param events  of one record
 * @returns the events, the moved one with its record; a second move keeps the first automatic finding
 * Refuses  an event that is not of the list, a time that is no number, a move without who or why, and a
 *          move of an event that was not found without its uncertainty
 */
export function moveEvent(events: readonly DetectedEvent[], move: EventMove): readonly DetectedEvent[] {
  const event = events.find((candidate) => candidate.id === move.id);
  if (event === undefined) {
    refuse(
      "event-unknown",
      `"${move.id}" is no event`,
      `The events are: ${eventIds.join(", ")}.`,
      "Write one of these names.",
      nearName(move.id, eventIds),
    );
  }
  if (!Number.isFinite(move.time_s)) {
    refuse(
      "event-time",
      `the time of "${move.id}" is not a number`,
      "An event lies at a time on the clock of the record.",
      "Give the time in seconds, for example 0.412.",
    );
  }
  if (move.who.trim() === "" || move.why.trim() === "") {
    refuse(
      "event-move-unsigned",
      `the move of "${move.id}" does not say ${move.who.trim() === "" ? "who made it" : "why"}`,
      "An event moved by hand is evidence only with the name of who moved it and the reason.",
      "Give both.",
    );
  }
  const u = move.standardUncertainty_s ?? (event.found ? event.standardUncertainty_s : undefined);
  if (u === undefined || !(u > 0 && Number.isFinite(u))) {
    refuse(
      "event-move-uncertainty",
      `the move of "${move.id}" has no standard uncertainty above 0`,
      event.found
        ? "A standard uncertainty is a time above 0."
        : "The event was not found, so there is no uncertainty to keep.",
      "Give the standard uncertainty of the instant in seconds, for example 0.002.",
    );
  }
  const moved: MovedByHand = { who: move.who, why: move.why, automatic: automaticOf(event) };
  const instant = normalInstant(move.time_s, u);
  const channel = event.found ? event.channel : channelOf(event.id);
  const result: DetectedEvent = {
    id: event.id,
    found: true,
    channel,
    ...instant,
    how: `set by hand by ${move.who}: ${move.why}`,
    clock: event.found ? event.clock : logClock,
    moved,
  };
  return events.map((candidate) => (candidate.id === event.id ? result : candidate));
}

function automaticOf(event: DetectedEvent): MovedByHand["automatic"] {
  if (!event.found) return { found: false, because: event.because };
  if (event.moved !== undefined) return event.moved.automatic;
  const { time_s, standardUncertainty_s, interval95_s, how } = event;
  return { found: true, time_s, standardUncertainty_s, interval95_s, how };
}

function channelOf(id: DetectedEvent["id"]): EventChannel {
  switch (id) {
    case "command":
      return "command";
    case "current":
    case "breakaway peak":
    case "trip":
      return "current";
    case "90 % flow":
    case "flow onset":
      return "flow";
    default:
      return "angle";
  }
}
