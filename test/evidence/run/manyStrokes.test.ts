/** A log of many cycles, whose rest ahead of the first command is a small part of it. The truth is the generator's. */
import { describe, expect, it } from "vitest";
import { measureStroke } from "../../../src/evidence/index.js";
import type { Angle } from "../../../src/quantity/index.js";

const quarter = (Math.PI / 2) as Angle;

/** Cycles of 1 s at 1 kHz: commanded at 0.18 s, opening from 0.2 to 0.5 s, closing from 0.7 s on. */
function cycles(count: number) {
  const time_s = Float64Array.from({ length: 1000 * count }, (_, i) => i / 1000);
  const within = (i: number): number => i % 1000;
  const share = (s: number): number => Math.min(1, Math.max(0, s < 700 ? (s - 200) / 300 : (1000 - s) / 300));
  return {
    time_s,
    angle_rad: time_s.map((_, i) => quarter * share(within(i))),
    command: time_s.map((_, i) => (within(i) >= 180 && within(i) < 680 ? 5 : 0)),
    current_A: undefined,
    supplyVoltage_V: undefined,
    flow: undefined,
    pressureDrop_Pa: time_s.map((_, i) => 1e5 + i),
  };
}

describe("a log of many strokes", () => {
  it("is measured in its first one, and says so", () => {
    const { events, times, sense, stroke, notices } = measureStroke("run", cycles(22), quarter);
    expect(sense).toBe("opening");
    const command = events.find(({ id }) => id === "command");
    expect(command?.found === true ? command.time_s : undefined).toBeCloseTo(0.1795, 4);
    const found = times.find(({ definition }) => definition === "command-to-90-travel");
    expect(found?.value_s).toBeCloseTo(0.47 - 0.1795, 3);
    const said = notices.find(({ code }) => code === "log-strokes");
    expect(said?.text).toContain("the log holds 44 strokes");
    // Every history is cut alike: the drop counts its samples, a thousand a second.
    const drop = stroke?.histories.find(({ channel }) => channel === "pressure drop");
    expect(drop?.time_s.length).toBeGreaterThan(20);
    drop?.values.forEach((value, k) => {
      expect((value - 1e5) / 1000).toBeCloseTo((drop.time_s[k] ?? 0) + 0.1795, 2);
    });
  });

  it("one opening alone has no such notice", () => {
    const one = cycles(1);
    const part = (values: Float64Array) => values.subarray(0, 650);
    const { notices } = measureStroke(
      "run",
      {
        ...one,
        time_s: part(one.time_s),
        angle_rad: part(one.angle_rad),
        command: part(one.command),
        pressureDrop_Pa: part(one.pressureDrop_Pa),
      },
      quarter,
    );
    expect(notices.map(({ code }) => code)).not.toContain("log-strokes");
  });
});
