/**
 * Two logs of one test on one clock: by the edges of a command that both hold, by the correlation of
 * another channel that both hold or that hangs together with one of the other, or by the command of one
 * and the motor current of the other. What the logs do not tell is asked for.
 */
import type { Fault } from "../../fault/index.js";
import type { RoleId } from "../log/roles.js";
import type { ClockAlignment } from "./alignment.js";
import { delayBetween, type RecordOfTime } from "./correlate.js";
import { type Edge, edgesOf, onsetOf } from "./edge.js";

/** A log as far as its clock is told by it. */
export interface ClockedLog {
  readonly time_s: Float64Array;
  readonly channels: readonly { readonly role: RoleId; readonly values: Float64Array }[];
}

/** Records that agree less than this are not the same event. */
const leastCorrelation = 0.8;
/** A motor current follows its command within this time; estimate, no source [s]. */
const longestDeadTime = 0.02;
/** Edges of one command that lie further from one another's offset than this many deviations differ. */
const sameOffset = 5;

/** Channels that both logs may hold, the sharper ones ahead. */
const shared: readonly RoleId[] = [
  "motor_current",
  "angle",
  "torque",
  "strain",
  "supply_voltage",
  "pressure_downstream",
  "pressure_upstream",
  "flow",
];
/** Channels of which one moves with the other at once. */
const related: readonly (readonly [RoleId, RoleId])[] = [
  ["motor_current", "supply_voltage"],
  ["motor_current", "torque"],
  ["torque", "strain"],
];

/**
 * Puts the clock of a further log on that of the first.
 * @param file  name of the further log
 * @returns     a fault where nothing in both logs tells
 */
export function alignClocks(first: ClockedLog, further: ClockedLog, file: string): ClockAlignment | Fault {
  return (
    byCommand(first, further, file) ??
    byCorrelation(first, further, file) ??
    byRelatedEdge(first, further, file) ??
    unknownClock(first, further, file)
  );
}

function valuesOf({ channels }: ClockedLog, role: RoleId): Float64Array | undefined {
  return channels.find((channel) => channel.role === role)?.values;
}

function byCommand(first: ClockedLog, further: ClockedLog, file: string): ClockAlignment | undefined {
  const [a, b] = [valuesOf(first, "command"), valuesOf(further, "command")];
  if (a === undefined || b === undefined) return undefined;
  const pairs = paired(edgesOf(first.time_s, a), edgesOf(further.time_s, b));
  const [one] = pairs;
  if (one === undefined) return undefined;
  const drift = driftOf(pairs);
  const offsets = pairs.map(([x, y]) => x.time_s - y.time_s - (drift ?? 0) * y.time_s);
  const offset = offsets.reduce((sum, value) => sum + value, 0) / offsets.length;
  const u = Math.max(...pairs.map(([x, y]) => Math.hypot(x.standardUncertainty_s, y.standardUncertainty_s)));
  const count = pairs.length === 1 ? "the edge" : `${pairs.length} edges`;
  return {
    file,
    offset_s: offset,
    ...(drift === undefined ? {} : { drift }),
    standardUncertainty_s: u,
    method: "common edge",
    how: `${count} of the command that both logs hold; the uncertainty is that of an instant between two samples, in both`,
  };
}

type Pair = readonly [Edge, Edge];

/** Edges of both logs that are the same ones: as many, in the same order, at one offset. */
function paired(a: readonly Edge[], b: readonly Edge[]): readonly Pair[] {
  if (a.length === 0 || b.length === 0) return [];
  if (a.length === b.length) {
    const pairs = a.map((edge, i): Pair => [edge, b[i] ?? edge]);
    if (pairs.every(([x, y]) => x.isRise === y.isRise)) return pairs;
  }
  // One log began later or ended sooner: the shift that lets most edges agree.
  let best: readonly Pair[] = [];
  for (const x of a) {
    for (const y of b) {
      if (x.isRise !== y.isRise) continue;
      const offset = x.time_s - y.time_s;
      const own = a.flatMap((one): Pair[] => {
        const other = b.find(
          (two) =>
            two.isRise === one.isRise &&
            Math.abs(one.time_s - two.time_s - offset) <=
              sameOffset * Math.hypot(one.standardUncertainty_s, two.standardUncertainty_s),
        );
        return other === undefined ? [] : [[one, other]];
      });
      if (own.length > best.length) best = own;
    }
  }
  // A single edge among several may be any of them.
  return best.length === 1 && a.length > 1 && b.length > 1 ? [] : best;
}

/** Drift of the further clock, where three edges or more tell it from none. */
function driftOf(pairs: readonly Pair[]): number | undefined {
  if (pairs.length < 3) return undefined;
  const x = pairs.map(([, y]) => y.time_s);
  const d = pairs.map(([one, y]) => one.time_s - y.time_s);
  const mean = (list: readonly number[]) => list.reduce((sum, value) => sum + value, 0) / list.length;
  const [mx, md] = [mean(x), mean(d)];
  const spread = x.reduce((sum, value) => sum + (value - mx) ** 2, 0);
  const drift = x.reduce((sum, value, i) => sum + (value - mx) * ((d[i] ?? 0) - md), 0) / spread;
  const u = Math.max(
    ...pairs.map(([one, y]) => Math.hypot(one.standardUncertainty_s, y.standardUncertainty_s)),
  );
  return Math.abs(drift) > (3 * u) / Math.sqrt(spread) ? drift : undefined;
}

function byCorrelation(first: ClockedLog, further: ClockedLog, file: string): ClockAlignment | undefined {
  const pairs: readonly (readonly [RoleId, RoleId])[] = [
    ...shared.map((role) => [role, role] as const),
    ...related.flatMap(([x, y]) => [[x, y] as const, [y, x] as const]),
  ];
  for (const [x, y] of pairs) {
    const [a, b] = [valuesOf(first, x), valuesOf(further, y)];
    if (a === undefined || b === undefined) continue;
    const found = delayBetween(recordOf(first.time_s, a), recordOf(further.time_s, b));
    if (found === undefined || Math.abs(found.correlation) < leastCorrelation) continue;
    const what =
      x === y ? `${x} of both logs agrees best` : `${x} of the first log and ${y} of this one agree best`;
    return {
      file,
      offset_s: found.offset_s,
      standardUncertainty_s: found.standardUncertainty_s,
      method: "cross-correlation",
      how: `the delay at which ${what} (correlation ${found.correlation.toFixed(3)}); a delay of the sensors themselves is inside the offset`,
    };
  }
  return undefined;
}

/** Without samples that the log does not hold. */
function recordOf(time_s: Float64Array, values: Float64Array): RecordOfTime {
  const isThere = (_: number, i: number) => !Number.isNaN(values[i]);
  return { time_s: time_s.filter(isThere), values: values.filter((value) => !Number.isNaN(value)) };
}

function byRelatedEdge(first: ClockedLog, further: ClockedLog, file: string): ClockAlignment | undefined {
  const [ca, cb] = [valuesOf(first, "command"), valuesOf(further, "command")];
  const [ia, ib] = [valuesOf(first, "motor_current"), valuesOf(further, "motor_current")];
  const late = longestDeadTime / 2;
  const spread = longestDeadTime / Math.sqrt(12);
  const told = (command: Edge | undefined, onset: Edge | undefined, sign: 1 | -1) => {
    if (command === undefined || onset === undefined) return undefined;
    const lag = command.time_s + late - onset.time_s;
    return {
      file,
      offset_s: sign * lag,
      standardUncertainty_s: Math.hypot(command.standardUncertainty_s, onset.standardUncertainty_s, spread),
      method: "related edge" as const,
      how: `the command of one log and the start of the motor current in the other, which follows it within ${1000 * longestDeadTime} ms (estimate, no source)`,
    };
  };
  if (ca !== undefined && ib !== undefined) {
    return told(edgesOf(first.time_s, ca)[0], onsetOf(further.time_s, ib), 1);
  }
  if (cb !== undefined && ia !== undefined) {
    return told(edgesOf(further.time_s, cb)[0], onsetOf(first.time_s, ia), -1);
  }
  return undefined;
}

function unknownClock(first: ClockedLog, further: ClockedLog, file: string): Fault {
  const words = ({ channels }: ClockedLog) =>
    channels
      .filter(({ role }) => role !== "other")
      .map(({ role }) => role)
      .join(", ") || "none";
  return {
    code: "clock-unknown",
    where: { file },
    found: `nothing tells the clock of ${file} against that of the first file: their channels are ${words(first)} and ${words(further)}`,
    allowed:
      "Two clocks are put together by a command or another channel that both logs hold, or by the command in one and the motor current in the other.",
    mend: `Map such a channel in both files, or write --clock "${file}=0.125 s +/- 2 ms" with --who and --why`,
  };
}
