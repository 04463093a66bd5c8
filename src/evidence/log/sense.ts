/**
 * Whether the angle of a log counts the right way: an opening ball turns to larger angles. Judged by its
 * largest move and by that of the command, which are found in all of the log: from values in memory, or
 * from the columns of a stored log (src/host/logSense.ts).
 */
import type { Notice } from "../../fault/index.js";
import { median } from "../../numerics/index.js";
import { parseQuantity } from "../../quantity/index.js";
import { type ChannelFacts, endPart } from "./facts.js";
import type { ChannelMapping, Mapping } from "./mapping.js";
import { spansJump, withoutTurns } from "./turns.js";

/** A mapping with the sense that its log shows, and what is to be said of it. */
export interface SensedMapping {
  readonly mapping: Mapping;
  readonly notices: readonly Notice[];
}

/** From which level to which a signal goes in its largest move. */
interface Swing {
  readonly from: number;
  readonly to: number;
}

/** What the sense of an angle is judged by. */
export interface Moves {
  /** Of the angle ahead of sign and zero of its mapping [rad]; undefined where it only makes noise. */
  readonly angle: Swing | undefined;
  /** Which way the command goes first: above 0 for up, 0 where it does not or there is none. */
  readonly command: number;
}

/** More than a resting sensor strays and less than any stroke [rad]. */
const leastMove = Math.PI / 180;
/** The same of a command, in its own unit. */
const leastStep = leastMove / 1e3;
/** Values that show a move. */
const fewest = 10;

const angleIn = ({ channels }: Mapping): ChannelMapping | undefined =>
  channels.find(({ role }) => role === "angle");

const zeroOf = ({ zero }: ChannelMapping): number => (zero === undefined ? 0 : parseQuantity(zero, "angle"));

/**
 * Moves of a log that was read by a mapping.
 * @param angle  its values without gaps [rad];  @param command  the same, none where there is no command
 */
export function movesOf(mapping: Mapping, angle: Float64Array, command: Float64Array): Moves {
  const channel = angleIn(mapping);
  const swing = channel === undefined ? undefined : swingOf(withoutTurns(angle).values, leastMove);
  const step = swingOf(command, leastStep);
  return {
    angle: channel === undefined || swing === undefined ? undefined : withoutSense(swing, channel),
    command: step === undefined ? 0 : step.to - step.from,
  };
}

/** Ahead of sign and zero: value = sign (reading - zero). */
function withoutSense({ from, to }: Swing, channel: ChannelMapping): Swing {
  const zero = zeroOf(channel);
  return { from: channel.sign * from + zero, to: channel.sign * to + zero };
}

/**
 * Whether an angle may fall further than it rises, as far as its facts tell: where not, nothing speaks
 * against its sense, and its values need not be looked at one by one.
 */
export function canFall({ start, least, most }: Pick<ChannelFacts, "start" | "least" | "most">): boolean {
  return start - least >= leastMove || spansJump(most - least);
}

/** A proposal for the sense of the angle, where the moves show that it falls as the valve opens. */
export function judgedSense(mapping: Mapping, moves: Moves): SensedMapping {
  const same = { mapping, notices: [] };
  const angle = angleIn(mapping);
  if (angle === undefined || moves.angle === undefined) return same;
  const at = mapping.channels.indexOf(angle);
  const zeroNow = zeroOf(angle);
  const from = angle.sign * (moves.angle.from - zeroNow);
  const to = angle.sign * (moves.angle.to - zeroNow);
  if (to >= from) return same;
  const field = `mapping.channels[${at}].sign`;
  const replaced = (change: Partial<ChannelMapping>): Mapping => ({
    ...mapping,
    channels: mapping.channels.map((channel, i) => (i === at ? { ...channel, ...change } : channel)),
  });
  const sign = angle.sign < 0 ? 1 : -1;
  // A value is sign (reading - zero): turned round about its first level, it counts from there.
  const zero = degrees(moves.angle.from);
  const run = `"${angle.column.name}" goes from ${degrees(from)} to ${degrees(to)}`;
  if (to < -0.5 * (from - to)) {
    const because = `${angle.because ?? ""}; ${run}, below zero: its sense is reversed`;
    const text = `${run}: an opening ball turns to larger angles, so sign ${sign} is proposed`;
    return {
      mapping: replaced({ sign, because }),
      notices: [{ code: "log-angle-reversed", text, field }],
    };
  }
  if (moves.command > 0) {
    const because = `${angle.because ?? ""}; ${run} while the command rises: it counts from wide open`;
    const text = `${run} while the command rises. If the valve opened, its sensor counts backwards: sign ${sign} and zero ${zero} are proposed. If it closed, write sign: ${angle.sign} and ${angle.zero === undefined ? "remove zero" : `zero: ${angle.zero}`}`;
    return {
      mapping: replaced({ sign, zero, because }),
      notices: [{ code: "log-angle-reversed", text, field }],
    };
  }
  if (!mapping.channels.some(({ role }) => role === "command")) {
    const text = `${run}, and no command says whether the valve opened or closed; it is read as closing. If it opened, write sign: ${sign} and zero: ${zero}`;
    return { mapping, notices: [{ code: "log-angle-sense-open", text, field }] };
  }
  return same;
}

function degrees(radians: number): string {
  return `${Number(((radians * 180) / Math.PI).toPrecision(3))} deg`;
}

/** The largest move among the levels of parts of a signal; undefined where it only makes noise. */
function swingOf(values: Float64Array, least: number): Swing | undefined {
  const n = values.length;
  if (n < fewest) return undefined;
  const part = endPart(n);
  const from = median(values.subarray(0, part));
  let to = from;
  for (let at = part; at + part <= n; at += part) {
    const level = median(values.subarray(at, at + part));
    if (Math.abs(level - from) > Math.abs(to - from)) to = level;
  }
  return Math.abs(to - from) < least ? undefined : { from, to };
}
