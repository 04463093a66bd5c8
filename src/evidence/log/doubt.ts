/**
 * What a log says against its own mapping: channels that never change or stand still for a while,
 * currents that count backwards, pressures below vacuum, channels that look exchanged. None of it is
 * changed by itself: each doubt says what would be written instead.
 */
import type { Notice } from "../../fault/index.js";
import { median } from "../../numerics/index.js";
import type { Log, LogChannel } from "./read.js";
import { type RoleId, roleOf } from "./roles.js";

/** Channels that a stroke changes. */
const lively: readonly RoleId[] = ["angle", "motor_current", "supply_voltage", "torque", "strain"];
/** Fewer samples tell nothing of a channel that stands still. */
const fewest = 10;
/** Samples of one value in a row that are no chance, in a channel that else changes at every sample. */
const stuckFrom = 20;
const alwaysChanges = 0.95;
/** A channel is back where it began within this share of its swing, and has gone for good beyond this one. */
const isBack = 0.25;
const isGone = 0.75;
/** Readings of one sense outweigh the other by this factor. */
const outweighs = 3;
/** Two pressures are the other way round by more than this [Pa]. */
const clearDrop = 20_000;

/** Doubts about a log as it was read. */
export function doubtsOf(log: Log): readonly Notice[] {
  const at = (role: RoleId) => log.channels.findIndex((channel) => channel.role === role);
  return [
    ...log.channels.flatMap((channel, i) => stillNotices(channel, i, log.lines)),
    ...inverted(log, at("motor_current")),
    ...log.channels.flatMap(belowVacuum),
    ...exchanged(log, at("angle"), at("motor_current")),
    ...exchangedPressures(log, at("pressure_upstream"), at("pressure_downstream")),
  ];
}

const valuesOf = ({ values }: LogChannel): Float64Array => values.filter((value) => !Number.isNaN(value));
const fieldOf = (i: number, key: string): string => `mapping.channels[${i}].${key}`;

function stillNotices(channel: LogChannel, i: number, lines: Int32Array): readonly Notice[] {
  const { role, name, values } = channel;
  if (!lively.includes(role)) return [];
  const read = valuesOf(channel);
  if (read.length < fewest) return [];
  if (read.every((value) => value === read[0])) {
    return [
      {
        code: "log-stuck",
        text: `"${name}" never changes: it is not connected, or its sensor is stuck`,
        field: fieldOf(i, "role"),
      },
    ];
  }
  const { from, length } = longestRun(values);
  let changes = 0;
  for (let k = 1; k < values.length; k++) if (values[k] !== values[k - 1]) changes++;
  const others = values.length - length;
  if (length < Math.max(stuckFrom, values.length / 20) || changes < alwaysChanges * others) return [];
  return [
    {
      code: "log-stuck",
      text: `"${name}" stands at one value for ${length} samples from line ${lines[from] ?? "?"} on, and else changes at nearly every sample: its sensor or its channel may have been stuck there`,
      field: fieldOf(i, "role"),
    },
  ];
}

function longestRun(values: Float64Array): { readonly from: number; readonly length: number } {
  let best = { from: 0, length: 1 };
  let from = 0;
  for (let i = 1; i <= values.length; i++) {
    if (i < values.length && values[i] === values[from]) continue;
    if (i - from > best.length) best = { from, length: i - from };
    from = i;
  }
  return best;
}

function inverted(log: Log, at: number): readonly Notice[] {
  const channel = log.channels[at];
  if (channel === undefined) return [];
  const read = valuesOf(channel);
  if (read.length < fewest) return [];
  const rest = median(read.slice(0, Math.max(3, Math.floor(read.length / 20))));
  const high = read.reduce((most, value) => Math.max(most, value - rest), 0);
  const low = read.reduce((most, value) => Math.max(most, rest - value), 0);
  if (!(low > outweighs * high)) return [];
  return [
    {
      code: "log-inverted",
      text: `"${channel.name}" falls by ${brief(low)} ${channel.unit} where a motor draws current, and never rises as far: if its sensor counts backwards, write sign: -1`,
      field: fieldOf(at, "sign"),
    },
  ];
}

function belowVacuum(channel: LogChannel, i: number): readonly Notice[] {
  if (!roleOf(channel.role).dimensions.includes("pressure")) return [];
  const read = valuesOf(channel);
  const below = read.filter((value) => value < 0).length;
  if (below === 0) return [];
  return [
    {
      code: "log-below-vacuum",
      text: `"${channel.name}" lies below vacuum in ${below} of ${read.length} samples, down to ${brief(Math.min(...some(read)) / 1e5)} bar(a): it may count from the atmosphere (gauge: true), or its zero is off`,
      field: fieldOf(i, "gauge"),
    },
  ];
}

/** An angle that comes back while the current stays where it went: each looks like the other. */
function exchanged(log: Log, angleAt: number, currentAt: number): readonly Notice[] {
  const [angle, current] = [log.channels[angleAt], log.channels[currentAt]];
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
function returnOf(channel: LogChannel): number | undefined {
  const read = valuesOf(channel);
  const part = Math.max(3, Math.floor(read.length / 20));
  if (read.length < fewest) return undefined;
  const start = median(read.slice(0, part));
  const noise = median(read.slice(0, part).map((value) => Math.abs(value - start)));
  const far = read.reduce((most, value) => (Math.abs(value - start) > Math.abs(most - start) ? value : most));
  if (!(Math.abs(far - start) > 10 * noise) || far === start) return undefined;
  return (median(read.slice(-part)) - start) / (far - start);
}

function exchangedPressures(log: Log, upAt: number, downAt: number): readonly Notice[] {
  const [up, down] = [log.channels[upAt], log.channels[downAt]];
  if (up === undefined || down === undefined) return [];
  const [p, q] = [valuesOf(up), valuesOf(down)];
  if (p.length < fewest || q.length < fewest) return [];
  const rest = (list: Float64Array) => median(list.slice(0, Math.max(3, Math.floor(list.length / 20))));
  const drop = rest(p) - rest(q);
  if (drop > -clearDrop) return [];
  return [
    {
      code: "log-exchanged",
      text: `at rest "${down.name}" lies ${brief(-drop / 1e5)} bar above "${up.name}": upstream and downstream look exchanged. If they are, write --map pressure_upstream="${down.name}" and --map pressure_downstream="${up.name}"`,
      field: fieldOf(upAt, "role"),
    },
  ];
}

/** Enough of a long list for its smallest value; spreading all of it would overflow the stack. */
function some(list: Float64Array): readonly number[] {
  return [list.reduce((least, value) => Math.min(least, value), Number.POSITIVE_INFINITY)];
}

function brief(value: number): string {
  return String(Number(value.toPrecision(3)));
}
