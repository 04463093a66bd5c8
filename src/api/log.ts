/** The log of a test: which column is which, the events of the stroke, its times. */
import {
  type DetectedEvent,
  decodeText,
  inspectLog,
  measureStroke,
  readLog,
  strokeChannels,
} from "../evidence/index.js";
import type { Angle } from "../quantity/index.js";
import type { Notice } from "./fault.js";
import { toSi } from "./quantity.js";

/** A column of a log that was taken for a channel. */
export interface LoggedChannel {
  /** "angle", "motor_current", "command" and so on. */
  readonly role: string;
  /** Name of the column. */
  readonly name: string;
}

/** An instant of the stroke, on the log's own clock. */
export interface StrokeEvent {
  readonly id: string;
  readonly time_s: number;
  readonly standardUncertainty_s: number;
  /** How it was found, in words. */
  readonly how: string;
}

/** A time by one of the definitions of opening and closing time. */
export interface StrokeTime {
  readonly definition: string;
  readonly value_s: number;
  readonly standardUncertainty_s: number;
}

/** What the log of one stroke shows. */
export interface LoggedStroke {
  readonly channels: readonly LoggedChannel[];
  /** Undefined where the log shows no stroke. */
  readonly sense: "opening" | "closing" | undefined;
  readonly events: readonly StrokeEvent[];
  readonly times: readonly StrokeTime[];
  /** What could not be found, with the reason: an event's id or a definition. */
  readonly notKnown: readonly { readonly id: string; readonly because: string }[];
  readonly notices: readonly Notice[];
}

/**
 * Reads the text log of one stroke with the mapping that `coldturn import` would propose.
 *
 * @param bytes   of the file as it came
 * @param travel  of the valve: "90 deg", or a number in radians
 * Refuses        a log whose columns or units leave a question open, and one without an angle
 */
export function readStroke(bytes: Uint8Array, travel: string | number): LoggedStroke {
  const { text } = decodeText(bytes);
  const { mapping, notices } = inspectLog(text);
  const log = readLog(text, mapping);
  const angle = typeof travel === "number" ? travel : toSi(travel, "angle");
  const measured = measureStroke("log", strokeChannels(log), angle as Angle);
  return {
    channels: log.channels.map(({ role, name }) => ({ role, name })),
    sense: measured.sense,
    events: measured.events.flatMap(eventOf),
    times: measured.times,
    notKnown: [
      ...measured.events.flatMap((event) => (event.found ? [] : [{ id: event.id, because: event.because }])),
      ...measured.timesNotKnown.map(({ definition, because }) => ({ id: definition, because })),
    ],
    notices: [...notices, ...measured.notices],
  };
}

function eventOf(event: DetectedEvent): readonly StrokeEvent[] {
  if (!event.found) return [];
  const { id, time_s, standardUncertainty_s, how } = event;
  return [{ id, time_s, standardUncertainty_s, how }];
}
