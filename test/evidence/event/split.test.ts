import { describe, expect, it } from "vitest";
import { strokeWindows } from "../../../src/evidence/event/index.js";
import { randomStream } from "../../../src/numerics/index.js";

/** Twenty openings and closings with rests of random length; begins and ends are known by construction. */
function cycles(seed: number) {
  const random = randomStream(seed);
  const begins: number[] = [];
  const time: number[] = [];
  const angle: number[] = [];
  let t = 0;
  let from = 0;
  const step = 0.002;
  for (let k = 0; k < 40; k++) {
    const begin = t + 0.8 + random.uniform();
    const duration = 0.2 + 0.4 * random.uniform();
    begins.push(begin);
    const to = 1.57 - from;
    for (; t < begin + duration + 0.5; t += step) {
      const x = Math.min(Math.max((t - begin) / duration, 0), 1);
      time.push(t);
      angle.push(from + (to - from) * x * x * (3 - 2 * x) + 0.01 * random.normal());
    }
    from = to;
  }
  return { time, angle, begins };
}

describe("strokes in one log", () => {
  it("are found one by one, each in a window that begins and ends at rest", () => {
    const { time, angle, begins } = cycles(3);
    angle[500] = 1.5;
    const windows = strokeWindows(time, angle);
    expect(windows).toHaveLength(40);
    for (const [k, { from_s, to_s, sense }] of windows.entries()) {
      const begin = begins[k] ?? 0;
      expect(sense).toBe(k % 2 === 0 ? "opening" : "closing");
      expect(from_s).toBeLessThan(begin - 0.2);
      expect(to_s).toBeGreaterThan(begin + 0.2);
      expect(to_s).toBeLessThanOrEqual(begins[k + 1] ?? Number.POSITIVE_INFINITY);
    }
  });

  it("one stroke, none, or an empty record is one window", () => {
    const time = Array.from({ length: 200 }, (_, i) => i / 100);
    expect(
      strokeWindows(
        time,
        time.map((t) => Math.max(0, t - 1)),
      ),
    ).toEqual([{ from_s: 0, to_s: 1.99, sense: "opening" }]);
    expect(
      strokeWindows(
        time,
        time.map(() => 0.1),
      ),
    ).toHaveLength(1);
    expect(strokeWindows([], [])).toHaveLength(1);
  });

  it("a part stroke that turns back is none", () => {
    const time = Array.from({ length: 600 }, (_, i) => i / 100);
    const angle = time.map((t) => (t < 1 ? 0 : t < 2 ? 0.6 * (1 - Math.abs(2 * t - 3)) : t < 4 ? 0 : 1.57));
    expect(strokeWindows(time, angle).map(({ sense }) => sense)).toEqual(["opening"]);
  });
});
