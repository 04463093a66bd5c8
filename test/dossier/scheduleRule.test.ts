/** The wanted history of the flow: in one form, in order, in steps that can be written. */
import { expect, it } from "vitest";
import { isFaulty, readDossier } from "../../src/dossier/index.js";

const schedule = (lines: string) =>
  readDossier({ valve: { path: "valve.yaml", text: `schedule:\n${lines}` } });
const points = "  points: [{ time: 0 s, flow: 1 }, { time: 2 s, flow: 0.5 }";

it.each([
  ["table-not-ascending", "schedule.points[2].time", `${points}, { time: 1.5 s, flow: 0.4 }]\n`],
  ["table-not-ascending", "schedule.points[2].time", `${points}, { time: 2 s, flow: 0.4 }]\n`],
  ["schedule-twice", "schedule.points", `  moves: [{ to: 0.5, within: 1 s, shape: ramp }]\n${points}]\n`],
  ["out-of-bounds", "schedule.step", "  step: 0.4 us\n"],
  ["out-of-bounds", "schedule.step", "  step: 2.5 us\n"],
])("%s at %s, with line and mend, and not known", (code, field, lines) => {
  const { dossier, faults } = schedule(lines);
  expect(faults).toMatchObject([{ code, where: { field, line: expect.any(Number) } }]);
  expect(faults[0]?.mend).toBeTruthy();
  expect(isFaulty(dossier, field.replace(/\[.*/, ""))).toBe(true);
});

it("a history in order, in whole microseconds, is none", () => {
  expect(schedule(`${points}, { time: 2.5 s, flow: 0.4 }]\n  step: 5 ms\n`).faults).toEqual([]);
});
