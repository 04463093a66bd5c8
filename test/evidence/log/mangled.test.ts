import { describe, expect, it } from "vitest";
import { inspectLog, type Log, type Mapping, type RoleId, readLog } from "../../../src/evidence/log/index.js";
import { channelOf, refusal, sampleText, stroke } from "./samples.js";

const degree = Math.PI / 180;
const atmosphere = 101_325;

type Expected = Partial<Record<RoleId, readonly number[]>>;

/** The whole stroke in SI. */
const whole: Expected = {
  command: stroke.command,
  angle: stroke.angle_deg.map((a) => a * degree),
  motor_current: stroke.current_A,
  pressure_upstream: stroke.upstream_bar.map((p) => p * 1e5 + atmosphere),
};
const only = (...roles: readonly RoleId[]): Expected =>
  Object.fromEntries(roles.map((role) => [role, whole[role] ?? []]));

/** Rounding of decimal text through a unit's factor, a few units in the last place. */
function expectValues(log: Log, expected: Expected, time: readonly number[] = stroke.time_s): void {
  expect(Array.from(log.time_s).map((t) => Number(t.toFixed(9)))).toEqual(time);
  for (const [role, values] of Object.entries(expected)) {
    const found = Array.from(channelOf(log, role as RoleId).values);
    expect(found, role).toHaveLength(values.length);
    for (const [i, value] of values.entries()) {
      if (Number.isNaN(value)) expect(found[i], `${role} ${i}`).toBeNaN();
      else
        expect(Math.abs((found[i] ?? Number.NaN) - value), `${role} ${i}`).toBeLessThanOrEqual(
          1e-9 + 1e-12 * Math.abs(value),
        );
    }
  }
}

const imported = (name: string, change: (mapping: Mapping) => Mapping = (mapping) => mapping) => {
  const text = sampleText(name);
  return readLog(text, change(inspectLog(text).mapping));
};
const codes = (log: Log) =>
  log.notices.map((notice) => notice.code).filter((code) => code !== "log-unit-read");

/** Logs that import as proposed, with what is said about them. */
const right: readonly {
  readonly name: string;
  readonly expected: Expected;
  readonly says: readonly string[];
}[] = [
  { name: "plain.csv", expected: whole, says: [] },
  { name: "semicolon-decimal-comma.csv", expected: whole, says: [] },
  { name: "byte-order-mark.csv", expected: whole, says: [] },
  { name: "unit-row.csv", expected: whole, says: [] },
  { name: "metadata.csv", expected: whole, says: [] },
  { name: "shuffled.csv", expected: whole, says: [] },
  { name: "wrong-rate.csv", expected: whole, says: ["log-rate-differs"] },
  { name: "trailing-blanks.csv", expected: whole, says: [] },
  { name: "tabs.txt", expected: whole, says: [] },
  { name: "bars.txt", expected: whole, says: [] },
  { name: "remarks.csv", expected: whole, says: ["log-unmapped"] },
  { name: "header-in-the-middle.csv", expected: whole, says: ["log-row-rejected"] },
  { name: "footer.csv", expected: whole, says: ["log-row-rejected", "log-footer"] },
  { name: "reversed-from-open.csv", expected: whole, says: [] },
  { name: "reversed-negative.csv", expected: whole, says: [] },
  { name: "spaces.txt", expected: only("command", "angle", "motor_current"), says: [] },
  { name: "quoted.csv", expected: only("command", "angle", "motor_current"), says: [] },
  { name: "utf-16.txt", expected: only("command", "angle", "motor_current"), says: [] },
  { name: "milliseconds.csv", expected: only("command", "angle", "motor_current"), says: [] },
  { name: "iso-stamps.csv", expected: only("command", "angle"), says: ["log-time-zero"] },
  { name: "day-first-stamps.csv", expected: only("command", "angle"), says: ["log-time-zero"] },
  {
    name: "time-of-day.csv",
    expected: only("command", "angle"),
    says: ["log-time-zero", "log-midnight"],
  },
  {
    name: "latin-1.csv",
    expected: {
      ...only("command", "angle"),
      temperature_fluid: stroke.time_s.map((_, i) => 273.15 - 183 + 0.1 * i),
    },
    says: [],
  },
  {
    name: "two-header-lines.csv",
    expected: {
      ...only("command", "angle", "motor_current"),
      pressure_upstream: stroke.upstream_bar.map((p) => p * 1e5),
    },
    says: [],
  },
  {
    // 1 lbf in = 0.112984829 N m (NIST SP 811, B.8); -297.3 degF = 90.2056 K.
    name: "old-units.csv",
    expected: {
      ...only("command", "angle", "pressure_upstream"),
      temperature_fluid: stroke.time_s.map(() => (-297.3 + 459.67) / 1.8),
      temperature_motor: stroke.time_s.map(() => 293.15),
      torque: stroke.time_s.map((_, i) => 10 * i * 0.112_984_829_027_616_7),
    },
    says: [],
  },
];

describe("imports as proposed:", () => {
  it.each(right)("$name", ({ name, expected, says }) => {
    const log = imported(name);
    expectValues(log, expected);
    expect(codes(log)).toEqual(says);
  });
});

describe("keeps what is there and lists the rest:", () => {
  it("gap.csv: three samples are missing and are not invented", () => {
    const log = imported("gap.csv");
    expect(log.rows).toBe(9);
    expect(log.time.gaps).toEqual({ count: 1, firstLine: 7, missing: 3, longest_s: expect.closeTo(0.04, 9) });
    expect(codes(log)).toEqual(["log-gap"]);
  });

  it("repeated-stamp.csv: both rows are kept at their time", () => {
    const log = imported("repeated-stamp.csv");
    expect(log.rows).toBe(13);
    expect(log.time.repeated).toEqual({ count: 1, firstLine: 7 });
    expect(Array.from(log.time_s.slice(4, 6))).toEqual([0.04, 0.04]);
    expect(log.time.rate_Hz).toBeCloseTo(100, 6);
    expect(codes(log)).toEqual(["log-repeated-stamp"]);
  });

  it("backward-stamp.csv: the row is set aside and listed with its line", () => {
    const log = imported("backward-stamp.csv");
    expectValues(log, whole);
    expect(log.rejected).toEqual([
      { line: 9, text: "0.035 s", reason: "its time lies before that of a row above" },
    ]);
  });

  it("markers.csv: each cell that is no number is a gap and is listed with line, column and reason", () => {
    const log = imported("markers.csv");
    expect(log.rejected).toEqual([
      { line: 6, column: 3, text: "NaN", reason: "no reading" },
      { line: 6, column: 4, text: "OVER", reason: "over range" },
      { line: 7, column: 3, text: "---", reason: "no reading" },
      { line: 10, column: 5, text: "abc", reason: "not a number" },
    ]);
    expect(log.notices.map((notice) => notice.text)).toContain(
      '"p_up" is blank in 1 row, first in line 9; kept as missing',
    );
    expectValues(log, { angle: (whole.angle ?? []).map((a, i) => (i === 4 || i === 5 ? Number.NaN : a)) });
  });

  it("cut-off.csv: a row that ends early is set aside", () => {
    const log = imported("cut-off.csv");
    expect(log.rows).toBe(11);
    expect(log.rejected).toEqual([
      { line: 13, text: "0.11,1,", reason: "3 cells where the table has 5 columns" },
    ]);
  });

  it("footer.csv: lines behind the table are kept apart", () => {
    const { footer } = inspectLog(sampleText("footer.csv"));
    expect(footer).toEqual([{ line: 16, text: "End of record" }]);
  });

  it("metadata.csv: the lines ahead of the table are kept, and their rate is compared", () => {
    const log = imported("metadata.csv");
    expect(log.metadata.map((line) => line.text)).toContain("Sample rate,100 Hz,,,");
    expect(log.time.declaredRate_Hz).toBe(100);
  });

  it("wrong-rate.csv: both rates are said, the time column counts", () => {
    const log = imported("wrong-rate.csv");
    expect(log.time).toMatchObject({ declaredRate_Hz: 1000, rate_Hz: expect.closeTo(100, 6) });
    expect(log.notices[0]?.text).toBe(
      "the log declares 1000 Hz, its own time column gives 100 Hz; the time column was used",
    );
  });
});

/** Logs that ask before they import: which key, and the answer that settles it. */
const asks: readonly {
  readonly name: string;
  readonly code: string;
  readonly field: string;
  readonly answer: (mapping: Mapping) => Mapping;
  readonly expected: Expected;
}[] = [
  {
    name: "psi.csv",
    code: "log-gauge-missing",
    field: "mapping.channels[3].gauge",
    answer: (mapping) => changed(mapping, 3, { gauge: true }),
    // 1 psi = 6894.757 Pa (NIST SP 811, B.8).
    expected: {
      ...only("command", "angle", "motor_current"),
      pressure_upstream: stroke.upstream_bar.map((p) => p * 14.5 * 6894.757_293_168_361 + atmosphere),
      pressure_downstream: stroke.time_s.map(() => atmosphere),
    },
  },
  {
    name: "millivolt-shunt.csv",
    code: "log-scale-missing",
    field: "mapping.channels[2].scale",
    // A shunt of 5 mV/A: 60 mV at 12 A.
    answer: (mapping) =>
      changed(mapping, 2, {
        scale: [
          { reading: 0, value: "0 A" },
          { reading: 60, value: "12 A" },
        ],
      }),
    expected: only("command", "angle", "motor_current"),
  },
  {
    name: "counts.csv",
    code: "log-scale-missing",
    field: "mapping.channels[1].scale",
    answer: (mapping) =>
      changed(mapping, 1, {
        scale: [
          { reading: 400, value: "0 deg" },
          { reading: 3640, value: "90 deg" },
        ],
      }),
    expected: only("command", "angle"),
  },
  {
    name: "no-time.csv",
    code: "log-rate-missing",
    field: "mapping.time.rate",
    answer: (mapping) => ({ ...mapping, time: { kind: "sample number", rate: "100 Hz" } }),
    expected: only("command", "angle", "motor_current"),
  },
  {
    name: "sample-number.csv",
    code: "log-rate-missing",
    field: "mapping.time.rate",
    answer: (mapping) => ({
      ...mapping,
      time: { kind: "sample number", column: { name: "sample", index: 1 }, rate: "0.1 kHz" },
    }),
    expected: only("command", "angle"),
  },
  {
    name: "time-without-unit.csv",
    code: "log-time-unit-missing",
    field: "mapping.time.unit",
    answer: (mapping) => ({
      ...mapping,
      time: { kind: "elapsed", column: { name: "time", index: 1 }, unit: "s" },
    }),
    expected: only("command", "angle"),
  },
  {
    name: "no-names.csv",
    code: "log-time-unit-missing",
    field: "mapping.time.unit",
    answer: (mapping) => ({
      ...mapping,
      time: { kind: "elapsed", column: { name: "column 1", index: 1 }, unit: "s" },
      channels: [{ role: "angle", column: { name: "angle", index: 3 }, unit: "deg", sign: 1 }],
    }),
    expected: only("angle"),
  },
];

function changed(mapping: Mapping, at: number, change: Partial<Mapping["channels"][number]>): Mapping {
  return {
    ...mapping,
    channels: mapping.channels.map((channel, i) => (i === at ? { ...channel, ...change } : channel)),
  };
}

describe("asks, and imports once answered:", () => {
  it.each(asks)("$name asks for $field", ({ name, code, field, answer, expected }) => {
    const text = sampleText(name);
    const { mapping, questions } = inspectLog(text);
    expect(questions.map((fault) => [fault.code, fault.where.field])).toEqual([[code, field]]);
    expect(refusal(() => readLog(text, mapping)).map((fault) => fault.code)).toEqual([code]);
    expectValues(readLog(text, answer(mapping)), expected);
  });

  it("falls-without-command.csv: says that it cannot tell opening from closing", () => {
    const { notices } = inspectLog(sampleText("falls-without-command.csv"));
    expect(notices).toEqual([
      expect.objectContaining({ code: "log-angle-sense-open", field: "mapping.channels[0].sign" }),
    ]);
  });

  it("same-name.csv: columns of one name are told apart by their number", () => {
    const text = sampleText("same-name.csv");
    const { mapping } = inspectLog(text);
    const angle = { role: "angle", column: { name: "angle", index: 4 }, unit: "deg", sign: 1 } as const;
    const second = (index: number): Mapping => ({
      ...mapping,
      channels: [
        angle,
        { role: "pressure_downstream", column: { name: "pressure", index }, unit: "bar(g)", sign: 1 },
      ],
    });
    expectValues(readLog(text, second(3)), { pressure_downstream: stroke.time_s.map(() => atmosphere) });
    expect(refusal(() => readLog(text, second(0)))).toEqual([
      expect.objectContaining({
        code: "log-column-repeated",
        mend: "Write the index of the one that is meant: 2 or 3.",
      }),
    ]);
  });
});

describe("is refused with line, reason and remedy:", () => {
  it.each([
    ["empty.csv", "log-empty", undefined],
    ["junk.bin", "log-not-text", undefined],
    ["header-only.csv", "log-no-rows", 1],
    ["prose.txt", "log-no-table", 1],
  ])("%s: %s", (name, code, line) => {
    const [fault, ...others] = refusal(() => inspectLog(sampleText(name)));
    expect(others).toEqual([]);
    expect(fault?.code).toBe(code);
    expect(fault?.where.line).toBe(line);
    expect(fault?.mend).not.toBe("");
  });

  it("clock-reset.csv: a second recording in the same file", () => {
    const { questions } = inspectLog(sampleText("clock-reset.csv"));
    expect(questions).toEqual([
      expect.objectContaining({
        code: "log-time-backward",
        where: { line: 9 },
        found: '"t" steps back in line 9, from 0.06 s to 0 s, and 6 rows lie before a row above them',
      }),
    ]);
  });

  it("a column of dates as a spreadsheet counts them is the time, also under the name of a date", () => {
    const text = sampleText("day-serial.csv");
    const { mapping } = inspectLog(text.replace(/^time/, "Date"));
    expect(mapping.time).toMatchObject({ kind: "elapsed", unit: "day", epoch: "1899-12-30" });
    expect(
      inspectLog(text.replaceAll(/^[^,\n]+/gm, (cell) => (cell === "time" ? "Date" : "20310418"))).questions,
    ).toMatchObject([{ code: "log-rate-missing" }]);
  });

  it("a log that was written newest row first", () => {
    const [head = "", ...rows] = sampleText("plain.csv").trimEnd().split("\n");
    const { questions } = inspectLog(`${[head, ...rows.reverse()].join("\n")}\n`);
    expect(questions.map(({ code, where }) => [code, where.line])).toEqual([["log-time-backward", 3]]);
    expect(questions[0]?.found).toContain("falls from row to row");
    expect(questions[0]?.mend).toContain("Sort the rows by");
  });

  it("comma-twice.csv: the comma parts both columns and decimals", () => {
    const { questions } = inspectLog(sampleText("comma-twice.csv"));
    expect(questions.map((fault) => fault.code)).toEqual(["log-comma-twice"]);
  });

  it("a line of 200,000 characters", () => {
    const text = `t [s],angle [deg]\n0,1\n${"7".repeat(200_000)}\n`;
    const [fault] = refusal(() => inspectLog(text));
    expect(fault?.code).toBe("log-line-too-long");
    expect(fault?.where.line).toBe(3);
  });
});

describe("a remembered mapping", () => {
  const remembered = inspectLog(sampleText("plain.csv")).mapping;

  it("reads the same columns in another order", () => {
    expectValues(readLog(sampleText("shuffled.csv"), remembered), whole);
  });

  it("reads a log with metadata ahead of its table", () => {
    expectValues(readLog(sampleText("metadata.csv"), remembered), whole);
  });

  it("says which column is gone, and a near name", () => {
    const text = sampleText("plain.csv").replace("motor current", "motor curent");
    expect(refusal(() => readLog(text, remembered))).toEqual([
      expect.objectContaining({
        code: "log-column-missing",
        where: { field: "mapping.channels[2].column.name" },
        near: "motor curent",
      }),
    ]);
  });

  it("does not read a column whose unit has changed", () => {
    const text = sampleText("plain.csv").replace("motor current [A]", "motor current [mA]");
    expect(refusal(() => readLog(text, remembered))).toEqual([
      expect.objectContaining({
        code: "log-unit-differs",
        found: 'the log states "motor current" in mA, the mapping reads it in A',
      }),
    ]);
  });

  it("says every fault at once", () => {
    const text = sampleText("plain.csv").replace("motor current", "I").replace("[deg]", "[rad]");
    expect(refusal(() => readLog(text, remembered)).map((fault) => fault.code)).toEqual([
      "log-unit-differs",
      "log-column-missing",
    ]);
  });
});
