import { readdirSync } from "node:fs";
import { describe, expect, it } from "vitest";
import {
  decodeText,
  doubtsIn,
  inspectLog,
  type Log,
  linesOf,
  type RoleId,
  readLog,
} from "../../../src/evidence/log/index.js";
import { channelOf, sampleBytes, sampleText, stroke } from "./samples.js";

const degree = Math.PI / 180;
const angle = stroke.angle_deg.map((a) => a * degree);
const { command, current_A: current, time_s } = stroke;
const without = (list: readonly number[], ...at: readonly number[]) =>
  list.map((value, i) => (at.includes(i) ? Number.NaN : value));

interface Habit {
  readonly name: string;
  /** Time of the first row [s]. */
  readonly from?: number;
  /** Rounding of the time as the log writes it [s]. */
  readonly within?: number;
  readonly time?: readonly number[];
  readonly expected?: Partial<Record<RoleId, readonly number[]>>;
  readonly says?: readonly string[];
  readonly proposes?: readonly string[];
}

/** Logs that are mangled forms of one stroke, and what is understood of them. */
const habits: readonly Habit[] = [
  { name: "epoch-1904.csv", within: 1e-6, says: ["log-time-epoch"] },
  { name: "epoch-1970-ms.csv", says: ["log-time-epoch"] },
  { name: "epoch-1970-us.csv", says: ["log-time-epoch"] },
  // Twelve decimals of a day are 0.09 us, a double of this size 0.6 us.
  { name: "day-serial.csv", within: 2e-6, says: ["log-time-epoch"] },
  { name: "counter-wraps.csv", from: 4294.93, says: ["log-counter-wrapped"] },
  { name: "counter-16-bit.csv", from: 65.5, says: ["log-counter-wrapped"] },
  { name: "bursts.csv", says: ["log-bursts-spread"] },
  {
    name: "sentinel.csv",
    expected: { command, angle: without(angle, 4, 5), motor_current: current },
    says: ["log-cell-rejected"],
    proposes: ["log-sentinel"],
  },
  { name: "pre-trigger.csv", from: -0.02 },
  { name: "two-columns-day-first.csv", expected: { command, angle }, says: ["log-time-zero"] },
  { name: "utf-16-big-end.txt" },
  { name: "utf-16-no-mark.txt" },
  { name: "forty-metadata-lines.csv" },
  { name: "underscore-units.csv" },
  { name: "comma-units.txt" },
  { name: "switch-words.csv" },
  { name: "lone-cr.csv" },
  { name: "fortran-exponents.csv" },
  { name: "thousands.csv" },
  {
    name: "over-range.csv",
    expected: { command, angle, motor_current: without(current, 4, 5) },
    says: ["log-cell-rejected", "log-cell-rejected"],
  },
  { name: "inverted-current.csv", expected: { command, angle, motor_current: current.map((i) => 0 - i) } },
  { name: "trailing-comma-rows.csv" },
  {
    name: "micro-signs.csv",
    expected: { command, angle, motor_current: current, strain: time_s.map((_, k) => k * 1e-6) },
  },
  {
    name: "nan-words.csv",
    expected: { command, angle: without(angle, 0, 1, 2, 3), motor_current: current },
    says: ["log-cell-rejected", "log-cell-rejected", "log-cell-rejected", "log-cell-rejected"],
  },
  { name: "am-pm.csv", expected: { command, angle }, says: ["log-time-zero"] },
  { name: "declared-interval.csv", says: ["log-rate-differs"] },
  { name: "cells-odd.csv", says: ["log-row-rejected"] },
];

function codesOf(log: Log): readonly string[] {
  return log.notices.map(({ code }) => code).filter((code) => code !== "log-unit-read");
}

describe("a log of the same stroke in another habit is read as proposed:", () => {
  it.each(habits)("$name", ({ name, from = 0, within = 1e-9, time, expected, says = [], proposes = [] }) => {
    const text = sampleText(name);
    const inspection = inspectLog(text);
    expect(inspection.questions).toEqual([]);
    expect(inspection.proposed.map(({ code }) => code)).toEqual(proposes);
    const log = readLog(text, inspection.mapping);
    expect(codesOf(log)).toEqual(says);
    const wanted = time ?? time_s.map((t) => t + from);
    expect(log.rows).toBe(wanted.length);
    for (const [i, t] of wanted.entries())
      expect(Math.abs((log.time_s[i] ?? Number.NaN) - t), `time ${i}`).toBeLessThanOrEqual(within);
    const channels = expected ?? { command, angle, motor_current: current };
    for (const [role, values] of Object.entries(channels)) {
      const found = [...channelOf(log, role as RoleId).values];
      expect(
        found.map((value) => Number(value.toFixed(9)) + 0),
        role,
      ).toEqual(values.map((value) => Number(value.toFixed(9)) + 0));
    }
  });

  it("pre-trigger-samples.csv: the rate is asked for, the trigger of the metadata is time 0", () => {
    const text = sampleText("pre-trigger-samples.csv");
    const { mapping, questions } = inspectLog(text);
    expect(questions.map(({ code }) => code)).toEqual(["log-rate-missing"]);
    const { time } = mapping;
    if (time.kind !== "sample number") throw new Error("no sample number");
    const log = readLog(text, { ...mapping, time: { ...time, rate: "100 Hz" } });
    expect([...log.time_s].map((t) => Number(t.toFixed(9)))).toEqual(
      time_s.map((t) => Number((t - 0.02).toFixed(9))),
    );
  });
});

describe("what speaks against a mapping is told, and nothing is changed:", () => {
  it.each([
    ["inverted-current.csv", "log-inverted", "motor_current"],
    ["exchanged.csv", "log-exchanged", "angle"],
    ["below-vacuum.csv", "log-below-vacuum", "pressure_upstream"],
    ["stuck.csv", "log-stuck", "motor_current"],
  ])("%s: %s", (name, code, role) => {
    const text = sampleText(name);
    const { mapping } = inspectLog(text);
    const doubts = doubtsIn(linesOf(text), mapping);
    expect(doubts.map((notice) => notice.code)).toEqual([code]);
    const at = mapping.channels.findIndex((channel) => channel.role === role);
    expect(doubts[0]?.field).toMatch(`mapping.channels[${at}].`);
  });

  it("a sound log gives none", () => {
    const text = sampleText("plain.csv");
    expect(doubtsIn(linesOf(text), inspectLog(text).mapping)).toEqual([]);
  });
});

it("fifty mangled logs and more are kept", () => {
  const names = readdirSync(new URL("../../logs/", import.meta.url));
  expect(names.length).toBeGreaterThanOrEqual(50);
  for (const name of names.filter((one) => !/^(empty|junk)\./.test(one)))
    expect(() => decodeText(sampleBytes(name))).not.toThrow();
});
