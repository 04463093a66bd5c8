import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { loadAt } from "../../../src/physics/motion/index.js";
import { SlipStep } from "../../../src/physics/motion/slip.js";
import { END, SlipEquations, START } from "../../../src/physics/motion/slipEquations.js";
import {
  ANGLE,
  along,
  CURRENT,
  crossing,
  SPEED,
  states,
  turn,
} from "../../../src/physics/motion/stepPath.js";
import type { Angle } from "../../../src/quantity/index.js";
import { curve, ordinary, type PlainTrain, quarterTurn, trainOf } from "./plainTrain.js";

const wide = { angle: 1, speed: 1, perSpeed: 1, current: 1, advance: Number.POSITIVE_INFINITY };

/** Smooth over the whole stretch: three nodes make one bend, and the stretch stays on one side of it. */
const smooth: PlainTrain = {
  ...ordinary,
  damping: 0.4,
  stribeckSpeed: 3,
  friction: curve(3, (x) => 12 - 9 * x * x),
  excess: curve(3, (x) => 5 - 2 * x * x),
  fluid: curve(3, (x) => 6 * x * x),
};

/** Fixed steps from a moving start; the last state and, at the asked times, states inside the steps. */
function fixedSteps(count: number, read: readonly number[]) {
  const equations = new SlipEquations(trainOf(smooth));
  const step = new SlipStep(equations, wide);
  equations.setElectrical({ kind: "voltage", sense: 1 });
  equations.put(START, 0.05, 1, 12);
  equations.chooseRegime(START);
  const duration = 0.04;
  const h = duration / count;
  const inside: number[][] = [];
  for (let n = 0; n < count; n++) {
    step.attempt(h);
    for (const t of read) {
      const share = t / h - n;
      if (share > 0 && share <= 1)
        inside.push([ANGLE, SPEED, CURRENT].map((state) => along(step.path, state as 0 | 1 | 2, share)));
    }
    step.probe(END, 1);
    equations.accept();
  }
  return { end: [equations.angleAt(START), equations.speedAt(START), equations.currentAt(START)], inside };
}

describe("a step of the slipping train", () => {
  const read = Array.from({ length: 15 }, (_, j) => 0.0011 + 0.00257 * j);
  const exact = fixedSteps(8192, read);
  const counts = [16, 32, 64, 128];
  const scale = [1, 5, 12];
  const distance = (a: readonly number[], b: readonly number[]) =>
    Math.hypot(...a.map((x, j) => (x - (b[j] ?? Number.NaN)) / (scale[j] ?? 1)));
  const slopesOf = (errors: readonly number[]) =>
    errors.slice(1).map((error, j) => Math.log2((errors[j] ?? Number.NaN) / error));

  it("stays on the smooth side of the middle node", () => {
    expect(exact.end[ANGLE]).toBeLessThan(quarterTurn / 2);
    expect(exact.end[ANGLE]).toBeGreaterThan(0.1);
  });
  it("converges with order 4 as the steps are halved", () => {
    const slopes = slopesOf(counts.map((n) => distance(fixedSteps(n, read).end, exact.end)));
    for (const slope of slopes.slice(1)) {
      expect(slope).toBeGreaterThan(3.7);
      expect(slope).toBeLessThan(4.5);
    }
  });
  it("converges with order 3 or better inside the steps", () => {
    const errors = counts.map((n) => {
      const { inside } = fixedSteps(n, read);
      return Math.max(...inside.map((state, j) => distance(state, exact.inside[j] ?? [])));
    });
    for (const slope of slopesOf(errors).slice(1)) expect(slope).toBeGreaterThan(3);
  });
  it("asks for a shorter step where friction that falls with speed makes the motion run away", () => {
    const steep = trainOf({ ...ordinary, stribeckSpeed: 1e-3, excess: curve(9, () => 8) });
    const equations = new SlipEquations(steep);
    const step = new SlipStep(equations, wide);
    equations.setElectrical({ kind: "held", current: 9 });
    equations.put(START, 0.1, 1e-3, 9);
    equations.chooseRegime(START);
    const rate = step.attempt(1e-7) < 1 ? equations.jacobian[1] : Number.NaN;
    expect(rate).toBeGreaterThan(1e4);
    expect(step.attempt(0.9 / (rate ?? 1))).toBeLessThan(1);
    expect(step.attempt(1.1 / (rate ?? 1))).toBeGreaterThan(1);
  });
});

describe("the equations at a point", () => {
  const train = trainOf({
    ...ordinary,
    damping: 0.3,
    dwellTorque: 2,
    fluid: curve(9, (x) => 7 * Math.sin(3 * x)),
  });
  const anyPoint = fc.record({
    angle: fc.double({ min: 0.01, max: quarterTurn - 0.01, noNaN: true }),
    speed: fc.double({ min: -6, max: 6, noNaN: true }),
    current: fc.double({ min: -30, max: 30, noNaN: true }),
    sense: fc.constantFrom(1 as const, -1 as const),
  });

  it("have the derivatives that differences of their rates show", () => {
    fc.assert(
      fc.property(anyPoint, ({ angle, speed, current, sense }) => {
        // Next to a node the second derivative of the load jumps; differences straddle it.
        fc.pre(Math.abs(angle / train.load.step - Math.round(angle / train.load.step)) > 1e-3);
        const equations = new SlipEquations(train);
        equations.setElectrical({ kind: "voltage", sense: 1 });
        equations.setSense(sense);
        equations.put(START, angle, speed, current);
        equations.chooseRegime(START);
        equations.differentiate();
        const w = (a: number, s: number, i: number) => equations.acceleration(a, s, i);
        const d = 1e-6;
        const by = [
          (w(angle + d, speed, current) - w(angle - d, speed, current)) / (2 * d),
          (w(angle, speed + d, current) - w(angle, speed - d, current)) / (2 * d),
          (w(angle, speed, current + d) - w(angle, speed, current - d)) / (2 * d),
          (equations.currentRate(speed + d, current) - equations.currentRate(speed - d, current)) / (2 * d),
          (equations.currentRate(speed, current + d) - equations.currentRate(speed, current - d)) / (2 * d),
        ];
        by.forEach((expected, j) => {
          const size = Math.max(Math.abs(expected), 100);
          expect(Math.abs((equations.jacobian[j] ?? Number.NaN) - expected)).toBeLessThan(1e-4 * size);
        });
        expect(equations.accelerationAt(START)).toBeCloseTo(w(angle, speed, current), 6);
      }),
    );
  });
  it("keep the regime that accelerates the ball less along its motion", () => {
    fc.assert(
      fc.property(anyPoint, ({ angle, speed, current, sense }) => {
        const equations = new SlipEquations(train);
        equations.setSense(sense);
        equations.put(START, angle, speed, current);
        equations.chooseRegime(START);
        const kept = sense * equations.accelerationAt(START);
        expect(equations.regimeLead(START)).toBeGreaterThanOrEqual(0);
        equations.changeRegime();
        expect(sense * equations.accelerationAt(START)).toBeGreaterThanOrEqual(kept);
      }),
    );
  });
  it("carry the load on straight beyond the stops, and hold it there for readers", () => {
    const equations = new SlipEquations(train);
    equations.put(START, quarterTurn, 4, 0);
    const atStop = equations.frictionAt(START);
    expect(atStop).toBeCloseTo(loadAt(train.load, "friction", quarterTurn as Angle), 9);
    equations.put(START, quarterTurn + 0.01, 4, 0);
    const once = equations.frictionAt(START) - atStop;
    equations.put(START, quarterTurn + 0.02, 4, 0);
    expect(equations.frictionAt(START) - atStop).toBeCloseTo(2 * once, 12);
    expect(loadAt(train.load, "friction", (quarterTurn + 1) as Angle)).toBeCloseTo(atStop, 12);
  });
});

describe("the path inside a step", () => {
  const anyPath = fc
    .array(fc.integer({ min: -2000, max: 2000 }), { minLength: 4, maxLength: 4 })
    .map((terms) => {
      const path = new Float64Array(12);
      terms.forEach((term, j) => {
        path[j * states + SPEED] = term / 1000;
      });
      return path;
    });
  const value = (path: Float64Array, share: number) => along(path, SPEED, share);

  it("passes a value where `crossing` says, and is beyond it from there", () => {
    fc.assert(
      fc.property(anyPath, fc.integer({ min: -2000, max: 2000 }), (path, thousandths) => {
        const level = thousandths / 1000;
        const start = value(path, 0) - level;
        const end = value(path, 1) - level;
        const share = crossing(path, SPEED, level);
        if (start === 0 || start * end > 0) expect(share).toBe(0);
        else if (start * end < 0) {
          expect(Math.abs(value(path, share) - level)).toBeLessThan(1e-12);
          expect(share).toBeGreaterThan(0);
        }
      }),
      { numRuns: 1000 },
    );
  });
  it("turns where `turn` says, and nowhere else if it rises at one end and falls at the other", () => {
    fc.assert(
      fc.property(anyPath, fc.constantFrom(1 as const, -1 as const), (path, sense) => {
        const share = turn(path, SPEED, sense);
        if (share === 1) return;
        expect(share).toBeGreaterThanOrEqual(0);
        const top = sense * value(path, share);
        for (let j = 0; j <= 20; j++) expect(sense * value(path, j / 20)).toBeLessThanOrEqual(top + 1e-12);
      }),
      { numRuns: 1000 },
    );
  });
});
