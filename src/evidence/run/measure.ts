/**
 * From a log to a measured stroke: events, times by definition, and the histories that reconciliation
 * compares, all on a clock whose zero is the command.
 */
import type { Notice } from "../../fault/index.js";
import { median } from "../../numerics/index.js";
import { timeDefinitions } from "../../physics/motion/index.js";
import type { Sense } from "../../predict/index.js";
import type { Angle } from "../../quantity/index.js";
import {
  type DetectedEvent,
  type Detection,
  detectEvents,
  type EventMove,
  moveEvent,
  openingTimes,
  strokeWindows,
} from "../event/index.js";
import {
  type LoggedChannel,
  type MeasuredStroke,
  type MeasuredTime,
  thinned,
} from "../reconcile/measured.js";

/** The channels of a log that a stroke is read from, SI, on one ascending clock. */
export interface StrokeChannels {
  readonly time_s: Float64Array;
  /** Rising as the valve opens [rad]. */
  readonly angle_rad: Float64Array;
  /** Jumps of a whole turn that were taken off the angle. */
  readonly angleJumps?: number;
  readonly command: Float64Array | undefined;
  readonly current_A: Float64Array | undefined;
  readonly supplyVoltage_V: Float64Array | undefined;
  /** Across the valve; there where the pressure on either side was logged. */
  readonly pressureDrop_Pa?: Float64Array;
  /** At the stem, or the strain of its shaft, which follows it; the breakaway peak is looked for in it first. */
  readonly torque?: Float64Array;
  readonly flow: Float64Array | undefined;
}

export interface StrokeMeasurement {
  readonly detection: Detection;
  /** Events after corrections by hand. */
  readonly events: readonly DetectedEvent[];
  readonly sense: Sense | undefined;
  /** Times found, by definition, and why the others are not known. */
  readonly times: readonly MeasuredTime[];
  readonly timesNotKnown: readonly { readonly definition: string; readonly because: string }[];
  /** Undefined where no stroke can be reconciled; the reason is in `notices`. */
  readonly stroke: MeasuredStroke | undefined;
  readonly notices: readonly Notice[];
}

/** A stroke that does not end is compared up to here after its last event [s]. */
const openEnd = 0.5;

/**
 * Measures one stroke; of a log with several strokes, of which the rest ahead of the command is too small a
 * part to be told from the others, the first one.
 * @param travel declared travel of the valve [rad];  @param moves corrections by hand, in order
 */
export function measureStroke(
  runId: string,
  channels: StrokeChannels,
  travel: Angle,
  moves: readonly EventMove[] = [],
): StrokeMeasurement {
  const whole = measuredIn(runId, channels, travel, moves);
  if (showsCommand(whole) || channels.command === undefined) return whole;
  const windows = strokeWindows(channels.time_s, channels.angle_rad);
  const [first] = windows;
  if (first === undefined || windows.length < 2) return whole;
  const { from_s, to_s } = first;
  const own = moves.filter(({ time_s }) => time_s >= from_s && time_s <= to_s);
  const measured = measuredIn(runId, cutChannels(channels, from_s, to_s), travel, own);
  if (!showsCommand(measured)) return whole;
  const notice: Notice = {
    code: "log-strokes",
    text: `the log holds ${windows.length} strokes: events and times are those of the first, up to ${Number(to_s.toPrecision(6))} s. coldturn reduce and coldturn series read each of them`,
  };
  return { ...measured, notices: [notice, ...measured.notices] };
}

function showsCommand({ events }: StrokeMeasurement): boolean {
  return events.some(({ id, found }) => id === "command" && found);
}

function measuredIn(
  runId: string,
  channels: StrokeChannels,
  travel: Angle,
  moves: readonly EventMove[],
): StrokeMeasurement {
  const detection = detectEvents(
    {
      time_s: channels.time_s,
      angle_rad: channels.angle_rad,
      ...(channels.command === undefined ? {} : { command: channels.command }),
      ...(channels.current_A === undefined ? {} : { current_A: channels.current_A }),
      ...(channels.torque === undefined ? {} : { torque: channels.torque }),
      ...(channels.flow === undefined ? {} : { flow: channels.flow }),
    },
    { travel_rad: travel },
  );
  const events = moves.reduce<readonly DetectedEvent[]>(
    (list, move) => moveEvent(list, move),
    detection.events,
  );
  const all = openingTimes(events, timeDefinitions);
  const times = all.flatMap((time): MeasuredTime[] =>
    time.known
      ? [
          {
            definition: time.definition.id,
            value_s: time.value_s,
            standardUncertainty_s: time.standardUncertainty_s,
          },
        ]
      : [],
  );
  const timesNotKnown = all.flatMap((time) =>
    time.known ? [] : [{ definition: time.definition.id, because: time.because }],
  );
  const command = events.find((event) => event.id === "command");
  const end = events.find((event) => event.id === "end of travel");
  const notices: Notice[] = [...jumpNotices(channels.angleJumps), ...detection.notices];
  const { sense } = detection;
  if (command === undefined || !command.found) {
    notices.push({
      code: "no-command",
      text: "the log does not show when the command was given: map its channel, or give the instant; without it no history can be compared",
    });
  }
  const last = channels.time_s[channels.time_s.length - 1] ?? 0;
  const stroke =
    command === undefined || !command.found || detection.impossible !== undefined
      ? undefined
      : strokeOf(runId, channels, detection, times, {
          command_s: command.time_s,
          commandUncertainty_s: command.standardUncertainty_s,
          end_s: end?.found === true ? end.time_s : Math.min(last, command.time_s + openEnd),
          arrived: end?.found === true ? true : detection.endsAtRest ? false : undefined,
        });
  return { detection, events, sense, times, timesNotKnown, stroke, notices };
}

/** The channels between two instants. */
export function cutChannels(channels: StrokeChannels, from_s: number, to_s: number): StrokeChannels {
  const { time_s } = channels;
  let a = 0;
  while (a < time_s.length && (time_s[a] ?? 0) < from_s) a++;
  let b = time_s.length;
  while (b > a && (time_s[b - 1] ?? 0) > to_s) b--;
  if (a === 0 && b === time_s.length) return channels;
  const part = (values: Float64Array | undefined) => values?.subarray(a, b);
  return {
    ...channels,
    time_s: time_s.subarray(a, b),
    angle_rad: channels.angle_rad.subarray(a, b),
    command: part(channels.command),
    current_A: part(channels.current_A),
    supplyVoltage_V: part(channels.supplyVoltage_V),
    flow: part(channels.flow),
    ...(channels.torque === undefined ? {} : { torque: channels.torque.subarray(a, b) }),
    ...(channels.pressureDrop_Pa === undefined
      ? {}
      : { pressureDrop_Pa: channels.pressureDrop_Pa.subarray(a, b) }),
  };
}

/** What is said of a sensor that counts within one turn. */
function jumpNotices(jumps: number | undefined): readonly Notice[] {
  if (jumps === undefined) return [];
  const times = jumps === 1 ? "once" : `${jumps} times`;
  return [
    {
      code: "log-angle-wraps",
      text: `the angle jumps by about a whole turn ${times} between two samples: its sensor is taken to count within one turn, and the jumps are taken off. The stored log keeps them`,
    },
  ];
}

interface Span {
  readonly command_s: number;
  readonly commandUncertainty_s: number;
  readonly end_s: number;
  readonly arrived: boolean | undefined;
}

function strokeOf(
  runId: string,
  channels: StrokeChannels,
  detection: Detection,
  times: readonly MeasuredTime[],
  span: Span,
): MeasuredStroke {
  const sense = detection.sense ?? "opening";
  const from =
    detection.rests?.from_rad ?? restBefore(channels.time_s, channels.angle_rad, span.command_s).level;
  const way = sense === "opening" ? 1 : -1;
  const logged: LoggedChannel[] = [
    {
      channel: "angle",
      values: channels.angle_rad.map((angle) => way * (angle - from)),
      noise: restBefore(channels.time_s, channels.angle_rad, span.command_s).noise,
    },
  ];
  if (channels.current_A !== undefined) {
    logged.push({
      channel: "current",
      values: channels.current_A.map(Math.abs),
      noise: restBefore(channels.time_s, channels.current_A, span.command_s).noise,
    });
  }
  if (channels.supplyVoltage_V !== undefined) {
    logged.push({
      channel: "supply voltage",
      values: channels.supplyVoltage_V,
      noise: restBefore(channels.time_s, channels.supplyVoltage_V, span.command_s).noise,
    });
  }
  if (channels.pressureDrop_Pa?.some(Number.isFinite) === true) {
    logged.push({
      channel: "pressure drop",
      values: channels.pressureDrop_Pa,
      noise: restBefore(channels.time_s, channels.pressureDrop_Pa, span.command_s).noise,
    });
  }
  return {
    runId,
    sense,
    histories: thinned(channels.time_s, logged, span.command_s, span.end_s),
    times,
    commandUncertainty_s: span.commandUncertainty_s,
    arrived: span.arrived,
  };
}

/** Level and noise of a channel before the command; noise by the median deviation, so that spikes do not count. */
function restBefore(
  time: Float64Array,
  values: Float64Array,
  command_s: number,
): { level: number; noise: number } {
  const rest = values.filter((value, i) => (time[i] ?? 0) < command_s && Number.isFinite(value));
  if (rest.length === 0) return { level: 0, noise: 0 };
  const level = median(rest);
  const deviations = rest.map((value) => Math.abs(value - level));
  return { level, noise: normalOverMedian * median(deviations) };
}

/** Standard deviation over median absolute deviation of a normal law. */
const normalOverMedian = 1.4826;
