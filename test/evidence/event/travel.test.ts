import { describe, expect, it } from "vitest";
import { detectEvents } from "../../../src/evidence/event/index.js";
import { impossibleTravel } from "../../../src/evidence/event/travel.js";
import { measureStroke } from "../../../src/evidence/run/measure.js";
import type { Angle } from "../../../src/quantity/index.js";

const quarter = (Math.PI / 2) as Angle;
const degree = Math.PI / 180;
const time_s = Float64Array.from({ length: 1000 }, (_, i) => i / 1000);
const command = time_s.map((t) => (t < 0.2 ? 0 : 1));
const current_A = time_s.map((t) => (t < 0.21 ? 0 : t < 0.6 ? 5 : 0.01));
/** At rest to 0.3 s, open at 0.5 s. */
const turning = (rad: number) => time_s.map((t) => rad * Math.min(1, Math.max(0, (t - 0.3) / 0.2)));

describe("an angle that cannot be that of the valve", () => {
  it.each([
    [90 / degree, "or 90 rad, the declared travel is 90 deg: its column seems to hold deg, not rad"],
    [270, "its unit, scale or range is wrong"],
    [-400, "its unit, scale or range is wrong"],
    [1.5708, "or 1.57 rad: its column seems to hold rad, not deg"],
  ])("turns by %f deg", (degrees, words) => {
    const found = impossibleTravel(degrees * degree, quarter);
    expect(found).toContain(`the angle turns by ${Number(Math.abs(degrees).toPrecision(3))} deg`);
    expect(found).toContain(words);
  });

  it("and one that can: within a quarter above the travel, or less, which a ball that stalls does", () => {
    for (const degrees of [45, 90, 110, -90, 5])
      expect(impossibleTravel(degrees * degree, quarter), `${degrees} deg`).toBeUndefined();
    expect(impossibleTravel(3 * quarter, undefined)).toBeUndefined();
  });

  it("gives no event of the motion, no sense, no time and nothing to compare", () => {
    const channels = { time_s, command, current_A, supplyVoltage_V: undefined, flow: undefined };
    const of = (rad: number) => measureStroke("r", { ...channels, angle_rad: turning(rad) }, quarter);
    const [right, wrong] = [of(quarter), of(3 * quarter)];
    expect(right.stroke?.arrived).toBe(true);
    expect(right.times.map(({ definition }) => definition)).toContain("command-to-end");
    expect(wrong.stroke).toBeUndefined();
    expect(wrong.sense).toBeUndefined();
    expect(wrong.events.flatMap((event) => (event.found ? [event.id] : []))).toEqual(["command", "current"]);
    expect(wrong.times.map(({ definition }) => definition)).toEqual(["command-to-current"]);
    expect(wrong.notices.map(({ code }) => code)).toEqual(["event-travel-impossible"]);
    // Without a declared travel nothing speaks against it.
    expect(detectEvents({ time_s, command, angle_rad: turning(3 * quarter) }).sense).toBe("opening");
  });
});
