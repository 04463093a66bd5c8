/**
 * What the doubts about a channel rest on: how far it goes, where it begins and ends, how long it stands
 * still. Worked out here from values in memory; of a log that is too long for that the database works
 * out the same (src/host/logFacts.ts).
 */
import { median } from "../../numerics/index.js";
import type { LogChannel } from "./read.js";
import type { RoleId } from "./roles.js";

/** One channel of a log. Levels are NaN where it has no value. */
export interface ChannelFacts extends Pick<LogChannel, "role" | "name" | "unit"> {
  /** Samples, and those of them that have a value. */
  readonly samples: number;
  readonly count: number;
  /** Smallest and largest value, and how many lie below zero. */
  readonly least: number;
  readonly most: number;
  readonly below: number;
  /** Median of the first values, and of the distances from it there. */
  readonly start: number;
  readonly startNoise: number;
  /** The value furthest from the start, the first one of several. */
  readonly far: number;
  /** Median of the last values. */
  readonly end: number;
  /** The longest run of one value, the first of several; may be absent where it would not be told. */
  readonly run: StillRun | undefined;
}

export interface StillRun {
  readonly length: number;
  /** Line of its first sample. */
  readonly line: number;
  /** Samples of the whole channel that differ from the one before. */
  readonly changes: number;
}

/** Channels that a stroke changes: in one of them a run of one value tells something. */
export const lively: readonly RoleId[] = ["angle", "motor_current", "supply_voltage", "torque", "strain"];
/** Share of the other samples that change, in a channel in which a run of one value is no chance. */
const alwaysChanges = 0.95;

/** Whether a run that is long enough is told: the channel else changes at nearly every sample. */
export function isOddRun(samples: number, { length, changes }: Omit<StillRun, "line">): boolean {
  return changes >= alwaysChanges * (samples - length);
}

/** Samples of one value in a row that are no chance: some, and a share of the log. Our choice, no source. */
export function stillFrom(samples: number): number {
  return Math.max(20, samples / 20);
}

/** More values tell a level no better. */
const mostOfEnd = 1000;

/** Values that the level at the start and that at the end are taken from: a twentieth, three to a thousand. */
export function endPart(count: number): number {
  return Math.min(mostOfEnd, Math.max(3, Math.floor(count / 20)));
}

/** Level of some values, and the median distance from it. */
export function levelOf(values: Float64Array): { readonly level: number; readonly noise: number } {
  if (values.length === 0) return { level: Number.NaN, noise: Number.NaN };
  const level = median(values);
  return { level, noise: median(values.map((value) => Math.abs(value - level))) };
}

/** The facts of a channel in memory. @param lines  line of each sample */
export function factsOf({ role, name, unit, values }: LogChannel, lines: Int32Array): ChannelFacts {
  const read = values.filter((value) => !Number.isNaN(value));
  const part = endPart(read.length);
  const isEmpty = read.length === 0;
  const { level: start, noise: startNoise } = levelOf(read.slice(0, part));
  return {
    role,
    name,
    unit,
    samples: values.length,
    count: read.length,
    least: isEmpty ? Number.NaN : read.reduce((least, value) => Math.min(least, value)),
    most: isEmpty ? Number.NaN : read.reduce((most, value) => Math.max(most, value)),
    below: read.reduce((below, value) => below + (value < 0 ? 1 : 0), 0),
    start,
    startNoise,
    far: isEmpty
      ? Number.NaN
      : read.reduce((far, value) => (Math.abs(value - start) > Math.abs(far - start) ? value : far)),
    end: levelOf(read.slice(-part)).level,
    run: longestRun(values, lines),
  };
}

/** A sample without a value is like no other. */
function longestRun(values: Float64Array, lines: Int32Array): StillRun | undefined {
  if (values.length === 0) return undefined;
  let best = { from: 0, length: 1 };
  let from = 0;
  let changes = 0;
  for (let i = 1; i <= values.length; i++) {
    if (i < values.length && values[i] === values[from]) continue;
    if (i < values.length) changes++;
    if (i - from > best.length) best = { from, length: i - from };
    from = i;
  }
  return { length: best.length, line: lines[best.from] ?? 0, changes };
}
