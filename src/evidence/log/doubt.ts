/**
 * What a log says against its own mapping: channels that never change or stand still for a while,
 * currents that count backwards, pressures below vacuum, channels that look exchanged. None of it is
 * changed by itself: each doubt says what would be written instead.
 */
import type { Notice } from "../../fault/index.js";
import { type ChannelFacts, factsOf, isOddRun, lively, stillFrom } from "./facts.js";
import type { Log } from "./read.js";
import { type RoleId, roleOf } from "./roles.js";

/** Fewer samples tell nothing of a channel that stands still. */
const fewest = 10;
/** A channel is back where it began within this share of its swing, and has gone for good beyond this one. */
const isBack = 0.25;
const isGone = 0.75;
/** Readings of one sense outweigh the other by this factor. */
const outweighs = 3;
/** Two pressures are the other way round by more than this [Pa]. */
const clearDrop = 20_000;

/** Doubts about a log as it was read. */
export function doubtsOf(log: Log): readonly Notice[] {
  return doubtsFrom(log.channels.map((channel) => factsOf(channel, log.lines)));
}

/** The same from what is known of each channel, in the order of the mapping. */
export function doubtsFrom(channels: readonly ChannelFacts[]): readonly Notice[] {
  const at = (role: RoleId) => channels.findIndex((channel) => channel.role === role);
  return [
    ...channels.flatMap(stillNotices),
    ...inverted(channels, at("motor_current")),
    ...channels.flatMap(belowVacuum),
    ...exchanged(channels, at("angle"), at("motor_current")),
    ...exchangedPressures(channels, at("pressure_upstream"), at("pressure_downstream")),
  ];
}

const fieldOf = (i: number, key: string): string => `mapping.channels[${i}].${key}`;

function stillNotices(channel: ChannelFacts, i: number): readonly Notice[] {
  const { role, name, samples, count, least, most, run } = channel;
  if (!lively.includes(role) || count < fewest) return [];
  if (least === most) {
    return [
      {
        code: "log-stuck",
        text: `"${name}" never changes: it is not connected, or its sensor is stuck`,
        field: fieldOf(i, "role"),
      },
    ];
  }
  if (run === undefined || run.length < stillFrom(samples) || !isOddRun(samples, run)) return [];
  return [
    {
      code: "log-stuck",
      text: `"${name}" stands at one value for ${run.length} samples from line ${run.line} on, and else changes at nearly every sample: its sensor or its channel may have been stuck there`,
      field: fieldOf(i, "role"),
    },
  ];
}

function inverted(channels: readonly ChannelFacts[], at: number): readonly Notice[] {
  const channel = channels[at];
  if (channel === undefined || channel.count < fewest) return [];
  const high = Math.max(0, channel.most - channel.start);
  const low = Math.max(0, channel.start - channel.least);
  if (!(low > outweighs * high)) return [];
  return [
    {
      code: "log-inverted",
      text: `"${channel.name}" falls by ${brief(low)} ${channel.unit} where a motor draws current, and never rises as far: if its sensor counts backwards, write sign: -1`,
      field: fieldOf(at, "sign"),
    },
  ];
}

function belowVacuum({ role, name, below, count, least }: ChannelFacts, i: number): readonly Notice[] {
  if (!roleOf(role).dimensions.includes("pressure") || below === 0) return [];
  return [
    {
      code: "log-below-vacuum",
      text: `"${name}" lies below vacuum in ${below} of ${count} samples, down to ${brief(least / 1e5)} bar(a): it may count from the atmosphere (gauge: true), or its zero is off`,
      field: fieldOf(i, "gauge"),
    },
  ];
}

/** An angle that comes back while the current stays where it went: each looks like the other. */
function exchanged(channels: readonly ChannelFacts[], angleAt: number, currentAt: number): readonly Notice[] {
  const [angle, current] = [channels[angleAt], channels[currentAt]];
  if (angle === undefined || current === undefined) return [];
  const [a, i] = [returnOf(angle), returnOf(current)];
  if (a === undefined || i === undefined || Math.abs(a) > isBack || Math.abs(i) < isGone) return [];
  return [
    {
      code: "log-exchanged",
      text: `"${angle.name}" comes back to where it began, and "${current.name}" stays where it went: angle and motor current look exchanged. If they are, write --map angle="${current.name}" and --map motor_current="${angle.name}", and their units`,
      field: fieldOf(angleAt, "role"),
    },
  ];
}

/** Where a channel ends between its start (0) and its furthest point (1); undefined for one at rest. */
function returnOf({ count, start, startNoise, far, end }: ChannelFacts): number | undefined {
  if (count < fewest || !(Math.abs(far - start) > 10 * startNoise) || far === start) return undefined;
  return (end - start) / (far - start);
}

function exchangedPressures(
  channels: readonly ChannelFacts[],
  upAt: number,
  downAt: number,
): readonly Notice[] {
  const [up, down] = [channels[upAt], channels[downAt]];
  if (up === undefined || down === undefined || up.count < fewest || down.count < fewest) return [];
  const drop = up.start - down.start;
  if (drop > -clearDrop) return [];
  return [
    {
      code: "log-exchanged",
      text: `at rest "${down.name}" lies ${brief(-drop / 1e5)} bar above "${up.name}": upstream and downstream look exchanged. If they are, write --map pressure_upstream="${down.name}" and --map pressure_downstream="${up.name}"`,
      field: fieldOf(upAt, "role"),
    },
  ];
}

function brief(value: number): string {
  return String(Number(value.toPrecision(3)));
}
