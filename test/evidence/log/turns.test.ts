import { describe, expect, it } from "vitest";
import { inspectLog } from "../../../src/evidence/log/index.js";
import { withoutTurns } from "../../../src/evidence/log/turns.js";

const degree = Math.PI / 180;
/** As an encoder shows it that counts from `low` to a turn above. */
const shown = (degrees: number, low: number) => ((((degrees - low) % 360) + 360) % 360) + low;
const stroke = (from: number, to: number) =>
  Float64Array.from({ length: 200 }, (_, i) => from + (to - from) * Math.min(1, Math.max(0, (i - 50) / 60)));

describe("an angle that counts within one turn", () => {
  it.each([
    ["opening over 360 deg", 300, 390, 0],
    ["closing over 0 deg", 30, -60, 0],
    ["over 180 deg, where it counts from -180", 150, 240, -180],
  ])("%s: the stroke as it was, a turn apart at most", (_, from, to, low) => {
    const turned = stroke(from, to);
    const { values, jumps } = withoutTurns(turned.map((a) => shown(a, low) * degree));
    expect(jumps).toBe(1);
    const offset = (values[0] ?? 0) - from * degree;
    for (const [i, a] of turned.entries()) expect((values[i] ?? 0) - offset).toBeCloseTo(a * degree, 12);
  });

  it("at rest where it begins anew: every reading that flickers, and over a gap", () => {
    const rest = Float64Array.from({ length: 20 }, (_, i) => (i % 2 === 0 ? 0.02 : -0.02));
    const { values, jumps } = withoutTurns(rest.map((a, i) => (i === 7 ? Number.NaN : shown(a, 0) * degree)));
    expect(jumps).toBe(17);
    for (const [i, a] of rest.entries()) {
      if (i === 7) expect(values[i]).toBeNaN();
      else expect(values[i]).toBeCloseTo(a * degree, 12);
    }
  });

  it("leaves an angle that spans more than a turn, or does not jump, as it came", () => {
    // 90 deg labelled rad, 6 "rad" from sample to sample.
    const wrong = Float64Array.from({ length: 40 }, (_, i) => Math.min(90, Math.max(0, 6 * (i - 10))));
    const slow = stroke(0, 350).map((a) => a * degree);
    for (const values of [wrong, slow, new Float64Array(), Float64Array.of(Number.NaN)]) {
      const found = withoutTurns(values);
      expect(found.jumps).toBe(0);
      expect(found.values).toBe(values);
    }
  });
});

describe("the sense that is proposed", () => {
  const rows = (angle: (i: number) => number) =>
    Array.from({ length: 200 }, (_, i) => `${i / 1000},${i < 40 ? 0 : 1},${angle(i).toFixed(3)}`).join("\n");

  it("is that of the angle without its jumps", () => {
    const turned = stroke(300, 390);
    const { mapping, notices } = inspectLog(
      `t [s],command,angle [deg]\n${rows((i) => shown(turned[i] ?? 0, 0))}`,
    );
    expect(mapping.channels.find(({ role }) => role === "angle")).toMatchObject({ sign: 1 });
    expect(notices.map(({ code }) => code)).not.toContain("log-angle-reversed");
  });

  it("is found where the unit of the time is still to be asked for", () => {
    const turned = stroke(0, -90);
    const { mapping, questions, notices } = inspectLog(
      `t,command,angle [deg]\n${rows((i) => turned[i] ?? 0)}`,
    );
    expect(questions.map(({ code }) => code)).toEqual(["log-time-unit-missing"]);
    expect(mapping.channels.find(({ role }) => role === "angle")).toMatchObject({ sign: -1 });
    expect(notices.map(({ code }) => code)).toContain("log-angle-reversed");
  });
});
