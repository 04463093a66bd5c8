import { describe, expect, it } from "vitest";
import { editValveText, leaveOutValue } from "../../src/dossier/index.js";
import { changedLines } from "./read.js";

const file = `# The valve.
duty: # what it must do
  fluid: oxygen   # liquid
  dwell:          # not measured yet
  throttle: { lowest: 45 % }   # from the engine

valve:
  bore: 32 mm     # drawing 12
  seat:
    friction:
      from: 0.1
      to: 0.2     # guess
    # preload comes later
  stem:
    # diameter:
drive:
  stages:
    - ratio: 12   # first
      efficiency: { nominal: 0.9, low: 0.8, high: 0.95 }
    - { ratio: 10 }
cases:
# the end
`;

describe("an edit", () => {
  it.each([
    ["duty.fluid", "water", ["  fluid: water    # liquid"]],
    ["duty.dwell", "10 min", ["  dwell: 10 min   # not measured yet"]],
    ["duty.dwell", "from 10 min to 90 min", ["  dwell: from 10 min to 90 min # not measured yet"]],
    ["duty.throttle.lowest", "40 %", ["  throttle: { lowest: 40 % }   # from the engine"]],
    ["duty.throttle.step", "2 %", ["  throttle: { lowest: 45 %, step: 2 % }   # from the engine"]],
    ["valve.seat.friction", "0.12 +/- 0.01", ["    friction: 0.12 +/- 0.01 # guess"]],
    ["valve.seat.preload", "500 N", ["    preload: 500 N"]],
    ["valve.stem.diameter", "14 mm", ["    diameter: 14 mm"]],
    ["drive.stages[0].efficiency", "{ from: 0.8, to: 0.9 }", ["      efficiency: { from: 0.8, to: 0.9 }"]],
    [
      "drive.stages[1].efficiency",
      "{ from: 0.8, to: 0.9 }",
      ["    - { ratio: 10, efficiency: { from: 0.8, to: 0.9 } }"],
    ],
    ["drive.motor.resistance", "0.8 ohm", ["  motor:", "    resistance: 0.8 ohm"]],
    ["name", "Petrel: main #1", ['name: "Petrel: main #1"']],
  ])("of %s to %s changes these lines alone", (path, value, lines) => {
    expect(changedLines(file, editValveText(file, [{ path, value }])).after).toEqual(lines);
  });

  it("keeps carriage returns and a byte order mark", () => {
    const text = `\uFEFF${file.replaceAll("\n", "\r\n")}`;
    const edited = editValveText(text, [
      { path: "valve.bore", value: "33 mm" },
      { path: "valve.stem.diameter", value: "14 mm" },
    ]);
    expect(edited.startsWith("\uFEFF# The valve.\r\n")).toBe(true);
    expect(edited.replaceAll("\r\n", "")).not.toMatch(/[\r\n]/);
    expect(edited).toContain("  stem:\r\n    diameter: 14 mm\r\n");
  });

  it("does several at once, also into an empty file of one field", () => {
    const edited = editValveText("name: Petrel\n", [
      { path: "valve.bore", value: "32 mm" },
      { path: "valve.seat.friction", value: "0.1" },
      { path: "valve.seat.preload", value: "500 N" },
    ]);
    expect(edited).toBe(
      "name: Petrel\nvalve:\n  bore: 32 mm\n  seat:\n    friction: 0.1\n    preload: 500 N\n",
    );
  });
});

describe("leaving a value out", () => {
  it.each([
    ["duty.fluid", ["  fluid:          # liquid"]],
    ["duty.throttle.lowest", ["  throttle: { lowest: }   # from the engine"]],
    ["valve.bore", ["  bore:           # drawing 12"]],
    ["valve.seat.friction", ["    friction: # guess"]],
    ["drive.stages[0].efficiency", ["      efficiency:"]],
    ["drive.stages[1].ratio", ["    - { ratio: }"]],
  ])("%s: its name and its comment stay", (path, lines) => {
    const edited = leaveOutValue(file, path);
    expect(changedLines(file, edited).after).toEqual(lines);
    expect(leaveOutValue(edited, path)).toBe(edited);
  });

  it("does nothing where nothing stands, and the value comes back to its place", () => {
    expect(leaveOutValue(file, "duty.dwell")).toBe(file);
    expect(leaveOutValue(file, "drive.motor.resistance")).toBe(file);
    const back = editValveText(leaveOutValue(file, "valve.bore"), [{ path: "valve.bore", value: "32 mm" }]);
    expect(back).toBe(file);
  });

  it("refuses what is no single value, and a value that stands in several places", () => {
    expect(() => leaveOutValue(file, "valve.seat")).toThrow();
    expect(() => leaveOutValue("valve:\n  seat:\n    friction: &mu 0.1\n", "valve.seat.friction")).toThrow();
  });
});
