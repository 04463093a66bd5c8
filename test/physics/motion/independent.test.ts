import { describe, expect, it } from "vitest";
import { runStroke, StrokePath } from "../../../src/physics/motion/index.js";
import type { Angle, Time } from "../../../src/quantity/index.js";
import { curve, ordinary, type PlainTrain, quarterTurn, stage, trainOf } from "./plainTrain.js";
import { secondSolution } from "./secondSolution.js";

/** A train, how it is run, and what must happen on the way, so that the case tests what it says. */
interface Case {
  readonly name: string;
  readonly train: PlainTrain;
  readonly sense?: 1 | -1;
  readonly start?: number;
  readonly horizon?: number;
  readonly switches?: readonly string[];
}

const hump = (x: number, at: number, width: number) => Math.exp(-(((x - at) / width) ** 2));
/** Fluid torque of the usual shape: none shut and open, greatest past the middle. */
const flow = (greatest: number) => curve(9, (x) => greatest * Math.sin(Math.PI * x) ** 2 * (0.6 + 0.8 * x));

const cases: readonly Case[] = [
  { name: "an ordinary opening", train: ordinary },
  { name: "a dead time", train: { ...ordinary, deadTime: 0.0137 } },
  {
    name: "a sagging battery and a long cable",
    train: { ...ordinary, supplyResistance: 0.31 },
  },
  {
    name: "a current limit that takes hold and lets go",
    train: { ...ordinary, currentLimit: 9, friction: curve(9, (x) => 9 - 5 * x) },
    switches: ["limit", "free"],
  },
  {
    name: "viscous resistance at motor and stem",
    train: { ...ordinary, damping: 1.7, motorDamping: 4e-5 },
  },
  { name: "friction that falls within a slow speed", train: { ...ordinary, stribeckSpeed: 0.004 } },
  { name: "friction that falls over a fast speed", train: { ...ordinary, stribeckSpeed: 1.5 } },
  { name: "dwell", train: { ...ordinary, dwellTorque: 9.5 } },
  { name: "flow against the opening", train: { ...ordinary, fluid: flow(11) } },
  {
    name: "flow that drives the closing through the gears",
    train: { ...ordinary, fluid: flow(60), stages: [stage(60, 0.85)], supplyResistance: 0.1 },
    sense: -1,
    start: quarterTurn,
    switches: ["regime"],
  },
  {
    name: "closing against flow from the other side",
    train: { ...ordinary, fluid: flow(-9) },
    sense: -1,
    start: quarterTurn,
  },
  {
    name: "two stages with their own inertia and no-load torque",
    train: {
      ...ordinary,
      rotorInertia: 5e-6,
      stages: [stage(9, 0.93, 4e-3, 2e-7), stage(13, 0.88, 0.05, 6e-6)],
    },
  },
  {
    name: "two stages driven back by the flow, the drive dead",
    train: {
      ...ordinary,
      deadTime: 0.03,
      motorFriction: 1e-3,
      friction: curve(9, () => 1.5),
      excess: curve(9, () => 0.4),
      fluid: curve(9, (x) => 26 * Math.sin(Math.PI * x) + 3),
      stages: [stage(5, 0.93, 1e-3, 2e-7), stage(6, 0.9, 0.01, 6e-6)],
    },
    sense: -1,
    start: 1.2,
  },
  {
    name: "a stop that throws back half the speed, on direct drive",
    train: {
      ...ordinary,
      restitution: 0.5,
      stages: [stage(30, 0.9)],
      friction: curve(9, () => 2),
      excess: curve(9, () => 0.5),
    },
    switches: ["stop", "rest", "stop"],
  },
  {
    name: "a ridge in the middle at which the ball sticks and breaks away again",
    train: {
      ...ordinary,
      inductance: 0.02,
      stages: [stage(40, 0.9)],
      friction: curve(33, (x) => 3 + 22 * hump(x, 0.5, 0.06)),
      excess: curve(33, (x) => 0.4 + 3 * hump(x, 0.5, 0.06)),
      fluid: curve(33, () => 0),
      stribeckSpeed: 0.4,
    },
    horizon: 1,
    switches: ["rest", "start+"],
  },
  {
    name: "a start in the middle that the flow first turns back",
    train: {
      ...ordinary,
      deadTime: 0.012,
      motorFriction: 0,
      stages: [stage(20, 0.95)],
      friction: curve(9, () => 0.6),
      excess: curve(9, () => 0.2),
      fluid: curve(9, () => 3.5),
    },
    start: 0.8,
    switches: ["rest"],
  },
];

// Beside the nodes of the curves: the second solution takes one event at a time.
const marks = [0.1, 0.53, 0.9].map((share) => share * quarterTurn);
const times = Array.from({ length: 25 }, (_, j) => 0.0007 + 0.0171 * j);

describe("the engine against an extrapolation method of a general library on the same equations", () => {
  it.each(cases)(
    "$name",
    ({ train: plain, sense = 1, start = sense > 0 ? 0 : quarterTurn, horizon = 2, switches = [] }) => {
      const order = { sense, start, horizon, times };
      const left = sense > 0 ? plain.travel - start : start;
      const marked = marks.filter((mark) => mark < left);
      const second = secondSolution(plain, { ...order, marks: marked });
      for (const name of switches) expect(second.switches).toContain(name);
      const train = trainOf(plain);
      const run = (tolerance?: number) => {
        const path = new StrokePath();
        const stroke = runStroke(train, {
          sense,
          start: start as Angle,
          horizon: horizon as Time,
          marks: Float64Array.from(marked),
          path,
          ...(tolerance === undefined ? {} : { tolerance }),
        });
        return { stroke, path };
      };

      expect(second.arrival).toBeGreaterThan(0);
      const arrival = second.arrival ?? Number.NaN;
      const scale = {
        speed: plain.voltage / plain.torqueConstant / 20,
        current: plain.voltage / plain.resistance,
      };
      for (const { tolerance, within } of [
        // Steps of relative tolerance 1e-9 are far more exact than that; what is left is the sum of some hundred.
        { tolerance: 1e-9, within: 1e-8 },
        { tolerance: undefined, within: 1e-4 },
      ]) {
        const { stroke, path } = run(tolerance);
        expect(stroke.outcome).toBe("arrived");
        expect(Math.abs((stroke.firstMotion ?? Number.NaN) - (second.firstMotion ?? 0))).toBeLessThan(
          within * arrival,
        );
        expect(Math.abs((stroke.arrival ?? Number.NaN) / arrival - 1)).toBeLessThan(within);
        marked.forEach((_, j) => {
          expect(Math.abs((stroke.markTimes[j] ?? Number.NaN) - (second.markTimes[j] ?? 0))).toBeLessThan(
            within * arrival,
          );
        });
        expect(Math.abs(stroke.impactSpeed - second.impactSpeed)).toBeLessThan(10 * within * scale.speed);
        const reached = times.slice(0, second.states.length);
        const [angle, speed, current] = [0, 0, 0].map(() => new Float64Array(reached.length));
        if (angle === undefined || speed === undefined || current === undefined)
          throw new Error("three states");
        path.sample(reached, angle, speed, current);
        second.states.forEach((state, j) => {
          expect(Math.abs((angle[j] ?? Number.NaN) - state.angle)).toBeLessThan(2 * within * plain.travel);
          // Speed and current turn sharply: an error in time shows in them many times over.
          expect(Math.abs((speed[j] ?? Number.NaN) - state.speed)).toBeLessThan(10 * within * scale.speed);
          expect(Math.abs((current[j] ?? Number.NaN) - state.current)).toBeLessThan(
            10 * within * scale.current,
          );
        });
      }
    },
  );
});
