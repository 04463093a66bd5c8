import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { Refusal } from "../../../src/fault/index.js";
import { monotoneCubic } from "../../../src/numerics/index.js";
import { angleLoad, batteryCurrent, loadAt, nodeValue } from "../../../src/physics/motion/index.js";
import type { Angle } from "../../../src/quantity/index.js";

const travel = 1.5 as Angle;
const values = (min: number) =>
  fc
    .array(fc.double({ min, max: 50, noNaN: true }), { minLength: 7, maxLength: 7 })
    .map((list) => Float64Array.from(list));

describe("the load of a train", () => {
  it("is the shape-preserving cubic of the numerics through the given values", () => {
    fc.assert(
      fc.property(
        values(0),
        values(0),
        values(-50),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (f, e, H, share) => {
          const load = angleLoad(travel, f, e, H);
          const angle = (share * travel) as Angle;
          const nodes = Array.from(f, (_, j) => (travel * j) / (f.length - 1));
          for (const [name, curve] of [
            ["friction", f],
            ["excess", e],
            ["fluid", H],
          ] as const) {
            expect(loadAt(load, name, angle)).toBeCloseTo(monotoneCubic(nodes, curve).value(angle), 9);
            curve.forEach((value, j) => {
              expect(nodeValue(load, name, j)).toBe(value);
            });
          }
          expect(loadAt(load, "friction", angle)).toBeGreaterThanOrEqual(Math.min(...f) - 1e-9);
        },
      ),
    );
  });
  it("uses the storage of an earlier one of the same size", () => {
    const f = new Float64Array(7).fill(3);
    const first = angleLoad(travel, f, f, f);
    const second = angleLoad(travel, new Float64Array(7).fill(5), f, f, first);
    expect(second.rows).toBe(first.rows);
    expect(nodeValue(second, "friction", 6)).toBe(5);
  });
  it.each([
    ["negative friction", [1, -1, 1], [0, 0, 0], [0, 0, 0]],
    ["a negative excess", [1, 1, 1], [0, 0, -2], [0, 0, 0]],
    ["an infinite fluid torque", [1, 1, 1], [0, 0, 0], [0, Number.POSITIVE_INFINITY, 0]],
    ["friction that is no number", [1, Number.NaN, 1], [0, 0, 0], [0, 0, 0]],
  ])("refuses %s", (_, f, e, H) => {
    const make = () => angleLoad(travel, Float64Array.from(f), Float64Array.from(e), Float64Array.from(H));
    expect(make).toThrow(Refusal);
    expect(make).toThrow(/at node [12]/);
  });
});

describe("the battery behind a chopping driver", () => {
  it("gives what the motor takes and its own loss, V i = P + R i^2, at the lesser current", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 60, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: -2, max: 0.99, noNaN: true }),
        (V, R, share) => {
          // Up to the greatest power of the battery, V^2/(4 R).
          const power = share * (R > 0 ? (V * V) / (4 * Math.max(R, 1e-3)) : 100);
          const i = batteryCurrent(V, R, power);
          expect(Math.abs(V * i - R * i * i - power)).toBeLessThan(1e-9 * Math.max(Math.abs(power), 1));
          if (R > 0) expect(i).toBeLessThanOrEqual(V / (2 * R));
        },
      ),
    );
  });
  it("gives its current at greatest power where more is asked, and none without voltage", () => {
    expect(batteryCurrent(24, 0.5, 1e6)).toBe(24);
    expect(batteryCurrent(0, 0, 0)).toBe(0);
    expect(batteryCurrent(0, 0.5, 0)).toBe(0);
  });
});
