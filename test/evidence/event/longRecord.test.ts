import { describe, expect, it } from "vitest";
import { detectEvents } from "../../../src/evidence/event/index.js";
import { edges } from "../../../src/evidence/event/staircase.js";
import { type RandomStream, randomStream } from "../../../src/numerics/index.js";
import type { Angle } from "../../../src/quantity/index.js";

const begin_s = 1;
const motion_s = 1.03;
const duration_s = 0.4;
const rate_Hz = 10_000;

/** A record in which the command stands high from the first second until two seconds before its end. */
function record(random: RandomStream, samples: number) {
  const time_s = Float64Array.from({ length: samples }, (_, i) => i / rate_Hz);
  const end = samples / rate_Hz - 2;
  const share = (t: number) => Math.min(1, Math.max(0, t / duration_s));
  const noisy = (f: (t: number) => number, noise: number) =>
    time_s.map((t) => f(t) + noise * random.normal());
  return {
    time_s,
    angle_rad: noisy((t) => 1.57 * (share(t - motion_s) ** 2 - share(t - end - 0.03) ** 2), 0.001),
    command: noisy((t) => (t >= begin_s && t < end ? 5 : 0), 0.01),
    current_A: noisy((t) => {
      const since = t - begin_s - 0.01;
      if (since <= 0 || t > motion_s + duration_s) return 0;
      return since < 0.02 ? 400 * since : 4 + 4 * Math.exp((0.02 - since) / 0.05);
    }, 0.05),
    flow: noisy((t) => (t < 1.1 ? 0 : 1 - Math.exp((1.1 - t) / 0.05)), 0.005),
  };
}

describe("a long record of a short stroke", () => {
  const truth = {
    command: begin_s,
    current: begin_s + 0.01,
    "first motion": motion_s,
    "10 % travel": motion_s + duration_s * Math.sqrt(0.1),
    "90 % travel": motion_s + duration_s * Math.sqrt(0.9),
    "end of travel": motion_s + duration_s,
    "breakaway peak": begin_s + 0.03,
    "flow onset": 1.1,
  };

  it("a command that stands high for most of a minute and a half has its edge where it rises, and so the others", () => {
    const channels = record(randomStream(3), 900_000);
    const started = process.cpuUsage().user;
    const { events } = detectEvents(channels, { travel_rad: 1.57 as Angle });
    const spent_s = (process.cpuUsage().user - started) / 1e6;
    for (const [id, true_s] of Object.entries(truth)) {
      const event = events.find((one) => one.id === id);
      if (event?.found !== true) throw new Error(`${id}: ${event?.because ?? "absent"}`);
      // Four standard uncertainties, and for the command the two samples it lies between.
      const allowed = Math.max(4 * event.standardUncertainty_s, 1 / rate_Hz);
      expect(Math.abs(event.time_s - true_s), id).toBeLessThan(allowed);
      expect(event.standardUncertainty_s, id).toBeLessThan(0.002);
    }
    expect(events.find(({ id }) => id === "trip")).toMatchObject({
      found: false,
      because: "the current is cut at the end of travel, as it should be",
    });
    // In proportion to the record: a detector that looks back from every sample takes minutes.
    expect(spent_s).toBeLessThan(30);
  }, 120_000);

  it("a staircase of many steps and a long rest is read in one pass", () => {
    const n = 400_000;
    const time_s = Float64Array.from({ length: n }, (_, i) => i);
    const value = time_s.map((t) => Math.floor(Math.max(0, t - 200_000.5) / 100));
    const started = process.cpuUsage().user;
    const found = edges(time_s, value, 1, 0, 0);
    expect((process.cpuUsage().user - started) / 1e6).toBeLessThan(5);
    expect(found.time_s).toHaveLength(1999);
    // The reading steps between samples 200 100 and 200 101.
    expect(found.time_s.slice(0, 2)).toEqual([200_100.5, 200_200.5]);
    expect(found.value.slice(0, 2)).toEqual([0.5, 1.5]);
  });
});
