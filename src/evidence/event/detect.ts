/**
 * The event engine: when the command came, the current set in, the ball moved and arrived, the flow
 * was there. It serves measured and simulated channels alike, with the same filter on both.
 *
 * Each event carries a standard uncertainty and an interval that covers the true instant with 95 %,
 * from noise, sampling interval, resolution and clock. docs/theory/events.md derives them and holds
 * the coverage found on synthetic logs.
 */
import type { Notice } from "../../fault/index.js";
import { lowPassOnePole, median } from "../../numerics/index.js";
import { type EventId, eventIds } from "../../physics/motion/index.js";
import type { Angle, Time } from "../../quantity/index.js";
import { passingInstant } from "./crossing.js";
import { type DetectedEvent, type EventChannel, type FoundEvent, found, logClock, missing } from "./event.js";
import { type Instant, widened } from "./instant.js";
import { moreEvents } from "./moreEvents.js";
import { onset } from "./onset.js";
import { restOf } from "./rest.js";
import { findStroke, leastSamples, type NoStroke, type Signal, type Stroke, signalOf } from "./stroke.js";
import { arrived, comesToRest, strokeEvents } from "./strokeEvents.js";
import { impossibleTravel } from "./travel.js";

/** Channels on one time base. NaN marks a sample that is missing. */
export interface EventChannels {
  /** Ascending [s]. */
  readonly time_s: Float64Array;
  /** Angle of the ball, rising as it opens [rad]. */
  readonly angle_rad: Float64Array;
  /** Command in any unit: a step, or a profile to follow. */
  readonly command?: Float64Array;
  readonly current_A?: Float64Array;
  /** Torque at the stem, or the strain it makes, in any unit. */
  readonly torque?: Float64Array;
  /** Flow in any unit. */
  readonly flow?: Float64Array;
}

/** The clock that stamped a channel. */
export interface Clock {
  /** Channels of one name share their offset; it cancels between them. */
  readonly name: string;
  /** Standard uncertainty of the clock against the others, >= 0 [s]. */
  readonly offsetUncertainty_s: number;
  /** Standard uncertainty of its rate, >= 0 [s/s]. */
  readonly rateUncertainty: number;
}

/** What the detector is told beside the channels. */
export interface EventOptions {
  /** Part of the record to look at; the whole record if absent. It holds one stroke, or its first is taken. */
  readonly from_s?: Time;
  readonly to_s?: Time;
  /** Instant of the command, where it is known and no channel shows it. */
  readonly commandTime_s?: Time;
  /**
   * Travel of the valve, > 0: tells a ball that stops short from one that has arrived. The travel of a
   * ball that has arrived is the one in the record.
   */
  readonly travel_rad?: Angle;
  /** Low-pass filter on every channel but the command, so that simulation and measurement are smoothed alike. */
  readonly filter?: { readonly cutoff_Hz: number };
  readonly clocks?: Partial<Record<EventChannel, Clock>>;
}

/** What the detector found. */
export interface Detection {
  /** One entry for each id of the list of events, in its order. */
  readonly events: readonly DetectedEvent[];
  /** Absent where the ball does not move. */
  readonly sense?: "opening" | "closing";
  /** Angle of the two rests [rad]. */
  readonly rests?: { readonly from_rad: Angle; readonly to_rad: Angle };
  /** Whether the record shows the ball at rest at its end: only then does a missing end of travel mean a stall. */
  readonly endsAtRest: boolean;
  /** Why the angle cannot be that of this valve: no event is read from it then, and no sense. */
  readonly impossible?: string;
  /** Standard deviation of one sample at rest, by channel, in the channel's unit. */
  readonly noise: Partial<Record<EventChannel, number>>;
  /** How much later the filter shows a slow change [s]; the instants are not corrected by it. */
  readonly filterDelay_s: Time;
  readonly notices: readonly Notice[];
}

/**
 * Finds the events of the first stroke in a record.
 *
 * A filter delays what it smooths: instants found through it are late by about `filterDelay_s`,
 * against the command too. Two records filtered alike may be compared; the delay is then the same in both.
 *
 * @returns every event of the list, found or with the reason why not
 */
export function detectEvents(channels: EventChannels, options: EventOptions = {}): Detection {
  const from = options.from_s ?? Number.NEGATIVE_INFINITY;
  const to = options.to_s ?? Number.POSITIVE_INFINITY;
  const cut = (values: Float64Array) => signalOf(channels.time_s, values, from, to);
  const filtered = (values: Float64Array) => lowPassed(cut(values), options.filter?.cutoff_Hz);
  const command = commandOf(channels.command === undefined ? undefined : cut(channels.command), options);
  const angle = filtered(channels.angle_rad);
  const next = command.next_s;
  const stroke = strokeOf(angle.signal, command.at_s, next);
  const impossible =
    "sense" in stroke ? impossibleTravel(stroke.end - stroke.start, options.travel_rad) : undefined;
  const current = channels.current_A === undefined ? undefined : filtered(channels.current_A);
  const torque = channels.torque === undefined ? undefined : filtered(channels.torque);
  const flow = channels.flow === undefined ? undefined : filtered(channels.flow);
  const currentOnset =
    current === undefined
      ? undefined
      : onset(current.signal, command.at_s ?? earlyEnd(angle.signal, stroke), "current");
  const events: DetectedEvent[] = [
    command.event,
    currentOnset === undefined
      ? missing("current", "no channel holds the motor current")
      : "because" in currentOnset
        ? missing("current", currentOnset.because)
        : found("current", "current", currentOnset.instant, currentOnset.how),
    ...(impossible !== undefined
      ? motionEvents.map((id) => missing(id, impossible))
      : "sense" in stroke
        ? strokeEvents(angle.signal, stroke, options.travel_rad)
        : noMotion(stroke, angle.signal.time_s.length)),
    flow === undefined
      ? missing("90 % flow", "no channel holds the flow")
      : flowEvent(flow.signal, "sense" in stroke ? angle.signal.time_s[stroke.leaves] : undefined, next),
  ];
  const more = moreEvents(
    {
      angle: angle.signal,
      stroke: "sense" in stroke && impossible === undefined ? stroke : undefined,
      current: current?.signal,
      torque: torque?.signal,
      flow: flow?.signal,
      next_s: next,
    },
    events,
  );
  const angleNoise =
    "sense" in stroke
      ? restOf(angle.signal.value.subarray(0, Math.max(2, stroke.leaves)), stroke.step, 0).noise
      : stroke.noise;
  return {
    events: inOrder([...events, ...(impossible === undefined ? more : withoutMotion(more, impossible))]).map(
      (event) => withClock(event, options.clocks),
    ),
    ...(impossible !== undefined ? { impossible } : "sense" in stroke ? wayOf(stroke) : {}),
    endsAtRest: !("sense" in stroke) || comesToRest(stroke),
    noise: {
      angle: angleNoise,
      ...(currentOnset === undefined || "because" in currentOnset ? {} : { current: currentOnset.noise }),
    },
    filterDelay_s: angle.delay as Time,
    notices: [
      ...angle.notices,
      ...(impossible === undefined
        ? strokeNotices(angle.signal, stroke, command.at_s, options.travel_rad)
        : [{ code: "event-travel-impossible", text: impossible }]),
    ],
  };
}

interface Command {
  readonly event: DetectedEvent;
  readonly at_s?: number;
  /** When the command goes back, if it does. */
  readonly next_s: number;
}

function commandOf(signal: Signal | undefined, options: EventOptions): Command {
  const given = options.commandTime_s;
  const never = Number.POSITIVE_INFINITY;
  if (signal === undefined) {
    if (given === undefined) {
      return {
        event: missing("command", "no channel holds the command, and its time was not given"),
        next_s: never,
      };
    }
    const instant = { time_s: given, standardUncertainty_s: 0, interval95_s: [given, given] as const };
    return {
      event: found("command", "command", instant, "given, taken as exact"),
      at_s: given,
      next_s: never,
    };
  }
  const edge = onset(signal, undefined, "command");
  if ("because" in edge) return { event: missing("command", edge.because), next_s: never };
  return {
    event: found("command", "command", edge.instant, edge.how),
    at_s: edge.instant.time_s,
    next_s: goesBack(signal, edge.first),
  };
}

/** When a signal returns more than half of the way it has gone from its rest. */
function goesBack(signal: Signal, first: number): number {
  const rest = median(signal.value.subarray(0, Math.max(1, first)));
  let furthest = 0;
  for (let i = first; i < signal.value.length; i++) {
    const away = Math.abs((signal.value[i] ?? 0) - rest);
    furthest = Math.max(furthest, away);
    if (away < furthest / 2) return signal.time_s[i] ?? Number.POSITIVE_INFINITY;
  }
  return Number.POSITIVE_INFINITY;
}

function strokeOf(angle: Signal, command_s: number | undefined, next_s: number): Stroke | NoStroke {
  const rests = command_s === undefined ? 0 : angle.time_s.filter((t) => t < command_s).length;
  const last = angle.time_s.findIndex((t) => t >= next_s);
  const whole = last < 0 ? angle.value.length : last;
  return findStroke(
    { time_s: angle.time_s.subarray(0, whole), value: angle.value.subarray(0, whole) },
    rests,
  );
}

/** Where the search for a current begins if no command is known: well ahead of the motion. */
function earlyEnd(angle: Signal, stroke: Stroke | NoStroke): number | undefined {
  if (!("sense" in stroke)) return undefined;
  const start = angle.time_s[0] ?? 0;
  return start + 0.5 * ((angle.time_s[stroke.leaves] ?? start) - start);
}

function noMotion(stroke: NoStroke, readings: number): readonly DetectedEvent[] {
  const degrees = (rad: number) => ((Math.abs(rad) * 180) / Math.PI).toPrecision(2);
  const because =
    readings < leastSamples
      ? `the angle has only ${readings === 1 ? "1 reading" : `${readings} readings`}`
      : `the angle does not move: it leaves its rest by ${degrees(stroke.largest)} deg at most, with a noise of ${degrees(stroke.noise)} deg`;
  return motionEvents.map((id) => missing(id, because));
}

/** What is found beside the motion, but for what rests on it. */
function withoutMotion(more: readonly DetectedEvent[], because: string): readonly DetectedEvent[] {
  return more.map((event) => (onMotion.has(event.id) ? missing(event.id, because) : event));
}

const onMotion: ReadonlySet<EventId> = new Set<EventId>(["breakaway peak", "bounce", "trip"]);
const motionEvents = ["first motion", "10 % travel", "90 % travel", "99 % travel", "end of travel"] as const;

/** Share of the record's end that shows the final flow. */
const finalShare = 0.25;
const flowShare = 0.9;

function flowEvent(flow: Signal, moves_s: number | undefined, next_s: number): DetectedEvent {
  const id = "90 % flow";
  const begin = moves_s === undefined ? -1 : flow.time_s.findIndex((t) => t >= moves_s);
  const stop = flow.time_s.findIndex((t) => t >= next_s);
  const end = stop < 0 ? flow.time_s.length : stop;
  if (begin < 5 || end - begin < 20)
    return missing(id, "the flow has too few readings before or after the motion");
  const value = flow.value.subarray(0, end);
  const before = restOf(value.subarray(0, begin), 0, 1e-12);
  const after = restOf(value.subarray(end - Math.floor(finalShare * (end - begin))), 0, 1e-12);
  const change = after.level - before.level;
  if (!(Math.abs(change) > 8 * Math.max(before.noise, after.noise))) {
    return missing(id, "the flow does not change by more than its noise");
  }
  const sense = change > 0 ? 1 : -1;
  const height = value.map((v) => sense * (v - before.level));
  const noise = Math.max(before.noise, after.noise, 1e-6 * Math.abs(change));
  const level = flowShare * Math.abs(change);
  let near = begin;
  while (near < end - 1 && (height[near] ?? 0) < level) near++;
  const samples = {
    time_s: flow.time_s.subarray(0, end),
    value: height,
    noise: height.map(() => noise),
    correlation: after.correlation,
  };
  const u = Math.hypot((1 - flowShare) * before.levelUncertainty, flowShare * after.levelUncertainty);
  const instant = passingInstant(samples, near, level, u, Math.max(0.05 * Math.abs(change), 4 * noise));
  return instant === undefined
    ? missing(id, "the flow does not rise clearly through 90 % of its final value")
    : found(id, "flow", instant, "local cubic through 90 % of the final flow");
}

function inOrder(events: readonly DetectedEvent[]): readonly DetectedEvent[] {
  return eventIds.map(
    (id: EventId) => events.find((event) => event.id === id) ?? missing(id, "no channel shows it"),
  );
}

function withClock(event: DetectedEvent, clocks: EventOptions["clocks"]): DetectedEvent {
  if (!event.found) return event;
  const clock = clocks?.[event.channel] ?? logClock;
  const instant: Instant = widened(event, clock.offsetUncertainty_s);
  const result: FoundEvent = { ...event, ...instant, clock };
  return result;
}

function wayOf(stroke: Stroke): Pick<Detection, "sense" | "rests"> {
  return {
    sense: stroke.sense > 0 ? "opening" : "closing",
    rests: { from_rad: stroke.start as Angle, to_rad: stroke.end as Angle },
  };
}

/** Travels that differ by more than this share are said. */
const sameTravel = 0.01;

function strokeNotices(
  angle: Signal,
  stroke: Stroke | NoStroke,
  command_s: number | undefined,
  travel_rad: number | undefined,
): readonly Notice[] {
  if (!("sense" in stroke)) return [];
  const notices: Notice[] = [];
  const rests = stroke.leaves;
  if (rests < 10) {
    notices.push({
      code: "event-rest-short",
      text: `only ${rests} samples show the angle before it moves; its rest and noise are poorly known`,
    });
  }
  const travelled = Math.abs(stroke.end - stroke.start);
  if (
    travel_rad !== undefined &&
    Math.abs(travelled / travel_rad - 1) > sameTravel &&
    travelled > arrived * travel_rad
  ) {
    const degrees = (rad: number) => ((rad * 180) / Math.PI).toPrecision(3);
    notices.push({
      code: "event-travel-differs",
      text: `the angle turns by ${degrees(travelled)} deg, the declared travel is ${degrees(travel_rad)} deg; shares of the travel are those of the record`,
    });
  }
  const leaves_s = angle.time_s[stroke.leaves] ?? 0;
  if (command_s !== undefined && leaves_s < command_s) {
    notices.push({
      code: "event-motion-before-command",
      text: `the angle moves ${((command_s - leaves_s) * 1e3).toPrecision(2)} ms before the command: the clocks of the channels differ, or the mapping of the command is wrong`,
    });
  }
  return notices;
}

/** A signal through the first-order low pass, on an even time base. */
function lowPassed(
  signal: Signal,
  cutoff_Hz: number | undefined,
): { readonly signal: Signal; readonly delay: number; readonly notices: readonly Notice[] } {
  const n = signal.time_s.length;
  if (cutoff_Hz === undefined || n < 3) return { signal, delay: 0, notices: [] };
  const intervals = signal.time_s.subarray(1).map((t, i) => t - (signal.time_s[i] ?? 0));
  const step = median(intervals);
  const uneven = intervals.some((interval) => Math.abs(interval - step) > 0.01 * step);
  const even = uneven ? resampled(signal, step) : signal;
  const { values, delay } = lowPassOnePole(even.value, step, cutoff_Hz);
  const notices = uneven
    ? [
        {
          code: "event-resampled",
          text: `the samples are uneven in time; for the filter they were brought to an even ${(step * 1e3).toPrecision(3)} ms by straight lines between them`,
        },
      ]
    : [];
  return { signal: { time_s: even.time_s, value: values }, delay, notices };
}

function resampled(signal: Signal, step: number): Signal {
  const { time_s, value } = signal;
  const first = time_s[0] ?? 0;
  const count = Math.floor(((time_s[time_s.length - 1] ?? 0) - first) / step) + 1;
  const times = Float64Array.from({ length: count }, (_, i) => first + i * step);
  let k = 0;
  const values = times.map((t) => {
    while (k < time_s.length - 2 && (time_s[k + 1] ?? 0) < t) k++;
    const a = time_s[k] ?? 0;
    const b = time_s[k + 1] ?? a;
    const share = b > a ? Math.min(1, (t - a) / (b - a)) : 0;
    return (value[k] ?? 0) * (1 - share) + (value[k + 1] ?? 0) * share;
  });
  return { time_s: times, value: values };
}
