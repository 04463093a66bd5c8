/** What an event is: found with its uncertainty, or not found with the reason. */
import type { EventId } from "../../physics/motion/index.js";
import type { Instant } from "./instant.js";

/** The channels that events are looked for in. */
export type EventChannel = "command" | "angle" | "current" | "torque" | "flow";

/** A correction by hand: who moved an event, from where, and why. The automatic finding is kept. */
export interface MovedByHand {
  readonly who: string;
  readonly why: string;
  readonly automatic:
    | ({ readonly found: true } & Instant & { readonly how: string })
    | { readonly found: false; readonly because: string };
}

/** An event with its instant. The interval covers the true instant with 95 %. */
export interface FoundEvent extends Instant {
  readonly id: EventId;
  readonly found: true;
  readonly channel: EventChannel;
  /** How the instant was found, in words. */
  readonly how: string;
  /** The clock its channel was recorded by, and what of the uncertainty is that clock's offset. */
  readonly clock: {
    readonly name: string;
    readonly offsetUncertainty_s: number;
    readonly rateUncertainty: number;
  };
  readonly moved?: MovedByHand;
}

/** An event that the channels do not show. */
export interface MissingEvent {
  readonly id: EventId;
  readonly found: false;
  readonly because: string;
}

export type DetectedEvent = FoundEvent | MissingEvent;

/** The clock of a log whose channels were sampled together. */
export const logClock = { name: "log", offsetUncertainty_s: 0, rateUncertainty: 0 } as const;

export function found(id: EventId, channel: EventChannel, instant: Instant, how: string): FoundEvent {
  const { time_s, standardUncertainty_s, interval95_s } = instant;
  return { id, found: true, channel, time_s, standardUncertainty_s, interval95_s, how, clock: logClock };
}

export function missing(id: EventId, because: string): MissingEvent {
  return { id, found: false, because };
}
