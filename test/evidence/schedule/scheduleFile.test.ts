import { createHash } from "node:crypto";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  type ScheduleForm,
  scheduleTable,
  scheduleText,
  verifySchedule,
} from "../../../src/evidence/index.js";
import { crc32 } from "../../../src/evidence/schedule/crc32.js";
import { Refusal } from "../../../src/fault/index.js";
import type { FollowedSchedule } from "../../../src/predict/index.js";

const sha256 = (text: string) => createHash("sha256").update(text).digest("hex");

/** Twelve rows of a rising opening, and a flow that rises in proportion to it: 1.2 of the duty's at a right angle. */
const followed = {
  schedule: {
    angle: Float64Array.from({ length: 12 }, (_, k) => (k * Math.PI) / 36),
    lead: 0.01,
    torqueTime: 0.005,
    jerkTime: 0.02,
    demand: { speed: 0.5, acceleration: 0.5 },
  },
  step_s: 0.005,
  table: { angle: Float64Array.of(0, Math.PI / 2), flow: Float64Array.of(0, 4.8) },
  dutyFlow_kg_s: 4,
} as unknown as FollowedSchedule;

const table = scheduleTable(followed, {
  valve: "Test valve */ with a comment's end",
  case: "duty",
  valve_file_sha256: sha256("valve"),
  model: "test/1",
});
const csv = scheduleText(table, "csv", sha256);
const header = scheduleText(table, "c", sha256);

function faultIn(text: string) {
  try {
    verifySchedule({ path: "s", text }, sha256);
  } catch (thrown) {
    if (thrown instanceof Refusal) return thrown.faults[0];
    throw thrown;
  }
  return undefined;
}

function lineOf(text: string, part: string): number {
  return text.split("\n").findIndex((line) => line.includes(part)) + 1;
}

describe("CRC-32", () => {
  it("has the check value of its standard", () => {
    // Check value of the 32-bit frame check sequence [itu-v42-2002], from memory: cbf43926.
    expect(crc32("123456789")).toBe(0xcbf43926);
    expect(crc32("")).toBe(0);
  });

  it("goes on from what stands ahead", () => {
    fc.assert(
      fc.property(fc.string(), fc.string(), (a, b) => {
        expect(crc32(b, crc32(a))).toBe(crc32(a + b));
      }),
    );
  });
});

describe("a written schedule", () => {
  it("has whole microseconds and microdegrees, and a row for each two percent of the flow", () => {
    // 5 degrees a row; 2 % of 4 kg/s are 0.08 of 4.8 kg/s: 1.5 degrees; the open valve passes 120 %: 61 rows.
    expect(table.rows[3]).toEqual([15_000, 15_000_000]);
    expect(table.linearisation[1]).toEqual([20_000, 1_500_000]);
    expect(table.linearisation).toHaveLength(61);
    expect(table.head.rows).toBe("12");
    expect(table.head.sample_time_us).toBe("5000");
    expect(table.head.history_begins_us).toBe("10000");
  });

  it("begins with a caution, in both forms", () => {
    expect(csv.split("\n")[0]).toMatch(/^# CAUTION\..*energises no hardware/);
    expect(header.split("\n").slice(0, 3).join(" ")).toMatch(/CAUTION\..*Interlocks/);
  });

  it("is read back as it was written, both forms with the same check values", () => {
    const [a, b] = [csv, header].map((text) => verifySchedule({ path: "s", text }, sha256));
    expect(a?.table).toEqual(table);
    expect(b?.table).toEqual(table);
    expect(a?.checks).toEqual(b?.checks);
    expect([a?.form, b?.form]).toEqual(["csv", "c"]);
  });

  it("keeps a name from ending the comment", () => {
    expect(header.split("*/")).toHaveLength(
      header.split("\n").filter((line) => line.includes("*/")).length + 1,
    );
  });
});

const forms: readonly (readonly [ScheduleForm, string])[] = [
  ["csv", csv],
  ["c", header],
];

describe.each(forms)("a changed file, %s", (form, text) => {
  const row = form === "csv" ? "15000,15000000," : "{15000, 15000000}";
  const at = lineOf(text, row);
  const lines = text.split("\n");

  it("names line endings that a copy in text mode has changed", () => {
    const fault = faultIn(text.replaceAll("\n", "\r\n"));
    expect(fault?.code).toBe("schedule-changed");
    expect(fault?.found).toContain("the line endings were changed");
    expect(fault?.where.line).toBe(1);
  });

  it("names the row of a changed digit", () => {
    const fault = faultIn(text.replace(row, row.replace("15000000", "15000001")));
    expect(fault?.where.line).toBe(at);
    expect(fault?.found).toMatch(/^row 4 of the schedule/);
  });

  it("names the line ahead of which a row is missing", () => {
    const fault = faultIn(lines.toSpliced(at - 1, 1).join("\n"));
    expect(fault?.where.line).toBe(at);
    expect(fault?.found).toMatch(/missing ahead of this one: 15000 us is due, 20000 us/);
  });

  it("says that the last row is missing", () => {
    const last = lineOf(text, form === "csv" ? "55000,55000000," : "{55000, 55000000}");
    expect(faultIn(lines.toSpliced(last - 1, 1).join("\n"))?.found).toMatch(
      /schedule has 11 rows, its head says 12: the last ones are missing/,
    );
  });

  it("names rows out of order", () => {
    const swapped = lines.toSpliced(at - 1, 2, lines[at] ?? "", lines[at - 1] ?? "").join("\n");
    const fault = faultIn(swapped);
    expect(fault?.where.line).toBe(at);
    expect(fault?.found).toMatch(/out of order: 20000 us stands ahead of 15000 us/);
  });

  it("names a wrong count", () => {
    const fault = faultIn(text.replace("rows=12", "rows=13"));
    expect(fault?.where.line).toBe(lineOf(text, "rows=12"));
    expect(fault?.found).toMatch(/"rows"/);
  });

  it("names a row too much, and one that is none", () => {
    const last = lineOf(text, form === "csv" ? "55000,55000000," : "{55000, 55000000}");
    const copied = (lines[last - 1] ?? "").replace("55000", "60000");
    expect(faultIn(lines.toSpliced(last, 0, copied).join("\n"))?.found).toMatch(/more rows than the 12/);
    expect(faultIn(lines.toSpliced(last, 0, "here").join("\n"))?.where.line).toBe(last + 1);
  });

  it("names what was changed in the linearisation, the caution, or the check values", () => {
    const flow = form === "csv" ? "20000,1500000," : "{20000, 1500000}";
    expect(faultIn(text.replace(flow, flow.replace("1500000", "1600000")))?.found).toMatch(
      /^row 2 of the linearisation/,
    );
    const cautioned = faultIn(text.replace("go before it, always", "go after it, always"));
    expect(cautioned?.where.line).toBe(lineOf(text, "go before it, always"));
    expect(cautioned?.found).toMatch(/written was "before it, always/);
    expect(faultIn(text.replace(/crc32 [0-9a-f]/, "crc32 g"))?.where.line).toBe(lineOf(text, "crc32 "));
  });

  it("finds any one changed byte", () => {
    fc.assert(
      fc.property(fc.nat(text.length - 1), fc.constantFrom("0", "7", "x", " "), (place, letter) => {
        const changed = text.slice(0, place) + letter + text.slice(place + 1);
        expect(faultIn(changed) === undefined).toBe(changed === text);
      }),
      { numRuns: 300 },
    );
  });

  it("finds any one byte left out", () => {
    fc.assert(
      fc.property(fc.nat(text.length - 1), (place) => {
        expect(faultIn(text.slice(0, place) + text.slice(place + 1))).toBeDefined();
      }),
      { numRuns: 200 },
    );
  });
});

it("says that another file is no schedule", () => {
  expect(faultIn("time,angle\n0,1\n")?.code).toBe("schedule-not-one");
});
