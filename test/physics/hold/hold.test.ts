/** Holding without power, coasting, wind-up and hunting, against closed forms. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { gearTrain } from "../../../src/physics/drive/index.js";
import {
  backDriveTorque,
  type CoastingTrain,
  coastAngle,
  holdLoop,
  huntingOf,
  positionUncertainty,
  stiffnessAtStem,
  turningShare,
} from "../../../src/physics/hold/index.js";
import type { Angle, AngularSpeed, Current, Inertia, Time, Torque } from "../../../src/quantity/index.js";
import "../../propertySeed.js";

const stage = (ratio: number, efficiency: number, noLoad: number) => ({
  ratio,
  efficiency,
  startingEfficiency: efficiency,
  backEfficiency: Math.max(2 - 1 / efficiency, 0),
  noLoadTorque: noLoad as Torque,
  inertia: 0 as Inertia,
});
const train = (...stages: ReturnType<typeof stage>[]) =>
  gearTrain(6e-6 as Inertia, 6e-3 as Torque, 2e-4 as Inertia, stages);

describe("back-driving", () => {
  it("two stages 10:1 at 90 %, each with 4 mN m, and a motor with 6 mN m resist with 1.31 N m at the stem", () => {
    // Backward each passes 2 - 1/0.9 = 8/9: c = (8/90)^2, D = 6 + 4 + 4 x 8/90 mN m.
    const { backward } = train(stage(10, 0.9, 4e-3), stage(10, 0.9, 4e-3));
    const expected = (10e-3 + 4e-3 * (8 / 90)) / (8 / 90) ** 2;
    expect(backDriveTorque(backward)).toBeCloseTo(expected, 9);
    expect(expected).toBeCloseTo(1.3106, 3);
  });

  it("a stage of 50 % locks itself: nothing turns it [niemann-winter-1983]", () => {
    expect(backDriveTorque(train(stage(30, 0.5, 0)).backward)).toBe(Number.POSITIVE_INFINITY);
  });

  it("holds by the friction of the ball and the gears together, and always without fluid torque", () => {
    expect(turningShare(-3, 5, 1)).toBe(0.5);
    expect(turningShare(0, 0, 0)).toBe(0);
    expect(turningShare(7, 5, Number.POSITIVE_INFINITY)).toBe(0);
  });
});

describe("coasting", () => {
  const coasting = (more: Partial<CoastingTrain> = {}): CoastingTrain => {
    const regime = { loadShare: 0.01, inertia: 6e-4, friction: 0.01 };
    return {
      forward: regime,
      backward: regime,
      ratio: 100,
      motorDamping: 0,
      damping: 0,
      travel: (Math.PI / 2) as Angle,
      friction: () => 5,
      fluid: () => 0,
      ...more,
    };
  };
  const at = (degrees: number) => ((degrees * Math.PI) / 180) as Angle;

  it("runs on until friction has taken its energy: I w^2 / (2 (D + c F))", () => {
    expect(coastAngle(coasting(), at(10), 4 as AngularSpeed)).toBeCloseTo((6e-4 * 16) / (2 * 0.06), 9);
    expect(coastAngle(coasting(), at(80), -4 as AngularSpeed)).toBeCloseTo((6e-4 * 16) / (2 * 0.06), 9);
  });

  it("with a torque that grows with the angle, as a spring: w sqrt(I / (c k)) without friction", () => {
    const spring = coasting({
      forward: { loadShare: 0.01, inertia: 6e-4, friction: 0 },
      backward: { loadShare: 0.01, inertia: 6e-4, friction: 0 },
      friction: () => 0,
      fluid: (angle) => 20 * angle,
    });
    expect(coastAngle(spring, at(0), 3 as AngularSpeed)).toBeCloseTo(3 * Math.sqrt(6e-4 / (0.01 * 20)), 3);
  });

  it("with damping alone, for ever: I w / (N b + c B) of angle [closed form]", () => {
    const damped = coasting({
      forward: { loadShare: 0.01, inertia: 6e-4, friction: 0 },
      backward: { loadShare: 0.01, inertia: 6e-4, friction: 0 },
      friction: () => 0,
      damping: 0.5,
      motorDamping: 1e-5,
    });
    const expected = (6e-4 * 1) / (100 * 1e-5 + 0.01 * 0.5);
    // The last step is taken as if the resistance stayed: some half a per cent on the long side.
    expect(Math.abs(coastAngle(damped, at(0), 1 as AngularSpeed) / expected - 1)).toBeLessThan(0.01);
  });

  it("ends at the stop", () => {
    expect(coastAngle(coasting(), at(80), 50 as AngularSpeed)).toBeCloseTo(at(10), 9);
    expect(coastAngle(coasting({ fluid: () => 30 }), at(30), -1 as AngularSpeed)).toBeCloseTo(at(30), 9);
  });

  it("never runs further with more friction, nor less far when faster", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 50, noNaN: true }),
        fc.double({ min: 0.1, max: 20, noNaN: true }),
        fc.double({ min: 0.1, max: 10, noNaN: true }),
        (friction, more, speed) => {
          const far = (F: number, w: number) =>
            coastAngle(coasting({ friction: () => F }), at(0), w as AngularSpeed);
          return (
            far(friction + more, speed) <= far(friction, speed) + 1e-12 &&
            far(friction, speed * 1.2) >= far(friction, speed) - 1e-12
          );
        },
      ),
    );
  });
});

describe("setting a position", () => {
  it("springs in series, each as stiff as its ratio squared: 1/(1/(100 x 10^2) + 1/500) = 476.19 N m/rad", () => {
    const k = stiffnessAtStem([
      { stiffness: 100, ratio: 10 },
      { stiffness: 500, ratio: 1 },
    ]);
    expect(k).toBeCloseTo(476.19, 2);
    expect(stiffnessAtStem([])).toBe(Number.POSITIVE_INFINITY);
  });

  it("play, wind-up and sensor add up", () => {
    expect(positionUncertainty(0.004 as Angle, 10 as Torque, 500, 0.002 as Angle)).toBeCloseTo(0.026, 12);
  });
});

describe("the holding loop", () => {
  const settings = {
    target: 0.8 as Angle,
    sampleTime: 1e-3 as Time,
    positionGain: 30,
    speedBandwidth: 200,
    deadBand: 0 as Angle,
    resolution: 0 as Angle,
    perAcceleration: 0.01,
    greatest: 16 as Current,
  };

  it("asks for m b P times the error at first, and for more while it lasts", () => {
    const loop = holdLoop(settings);
    const [first, second] = [loop(0, 0.79, 0), loop(1e-3, 0.79, 0)];
    const integral = (0.01 * 200 ** 2 * 0.3 * 1e-3) / 4;
    expect(first).toBeCloseTo(0.01 * 200 * 0.3 + integral, 9);
    expect(second - first).toBeCloseTo(integral, 9);
  });

  it("gives up within its dead band, reads in steps of the sensor, and never asks for more than there is", () => {
    expect(holdLoop({ ...settings, deadBand: 0.02 as Angle })(0, 0.79, 0)).toBe(0);
    expect(holdLoop({ ...settings, resolution: 0.1 as Angle })(0, 0.82, 0)).toBeCloseTo(0, 9);
    expect(holdLoop(settings)(0, 0, 0)).toBe(16);
  });
});

describe("hunting", () => {
  const times = Array.from({ length: 4001 }, (_, j) => j * 1e-3);
  const read = (angle: (t: number) => number) =>
    huntingOf(times, times.map(angle), 0.8 as Angle, 1 as Time, 1e-4 as Angle);

  it("a swing of 0.02 rad every half second is found with its period and its largest error", () => {
    const found = read((t) => 0.805 + 0.01 * Math.sin(4 * Math.PI * t));
    expect(found.swing).toBeCloseTo(0.02, 4);
    expect(found.period).toBeCloseTo(0.5, 2);
    expect(found.error).toBeCloseTo(0.015, 4);
  });

  it("a ball that settles or rests does not hunt", () => {
    expect(read((t) => 0.8 + 0.1 * Math.exp(-3 * t)).period).toBeUndefined();
    expect(read(() => 0.79).swing).toBe(0);
  });
});
