import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  arrivalBand,
  type LoopSettings,
  leastMoveTime,
  type ProfileKind,
  positionController,
  profilePoint,
  runStroke,
  StrokePath,
} from "../../../src/physics/motion/index.js";
import type { Angle, AngularAcceleration, Time } from "../../../src/quantity/index.js";
import { arbitraryTrain } from "./arbitraryTrain.js";
import { curve, ordinary, type PlainTrain, quarterTurn, trainOf } from "./plainTrain.js";
import { secondSolution } from "./secondSolution.js";

const kinds: readonly ProfileKind[] = ["trapezoid", "jerk-limited"];
const travel = quarterTurn as Angle;
const second = 1 as Time;

describe("profiles", () => {
  it("textbook, move in thirds: peak speed 1.5 theta/t, acceleration 4.5 theta/t^2; jerk-limited twice that at its peak", () => {
    const t = 0.6;
    for (const kind of kinds)
      expect(profilePoint(kind, travel, t as Time, t / 2).speed).toBeCloseTo((1.5 * travel) / t, 12);
    expect(profilePoint("trapezoid", travel, t as Time, t / 6).acceleration).toBeCloseTo(
      (4.5 * travel) / t ** 2,
      12,
    );
    expect(profilePoint("jerk-limited", travel, t as Time, t / 6).acceleration).toBeCloseTo(
      (9 * travel) / t ** 2,
      12,
    );
  });
  it.each(kinds)(
    "%s: speed is the slope of the angle and acceleration that of the speed, from rest to rest",
    (kind) => {
      const d = 1e-6;
      fc.assert(
        fc.property(fc.double({ min: 0.001, max: 0.999, noNaN: true }), (x) => {
          // The corners of the acceleration are no place for a difference.
          fc.pre([1 / 6, 1 / 3, 2 / 3, 5 / 6].every((corner) => Math.abs(x - corner) > 2 * d));
          const at = (time: number) => profilePoint(kind, travel, second, time);
          expect((at(x + d).angle - at(x - d).angle) / (2 * d)).toBeCloseTo(at(x).speed, 6);
          expect((at(x + d).speed - at(x - d).speed) / (2 * d)).toBeCloseTo(at(x).acceleration, 6);
          expect(at(x).angle + at(1 - x).angle).toBeCloseTo(travel, 12);
        }),
      );
      for (const end of [0, 1])
        expect(profilePoint(kind, travel, second, end)).toEqual({
          angle: end * travel,
          speed: 0,
          acceleration: 0,
        });
    },
  );
  it("the jerk-limited one has no jump in its acceleration", () => {
    for (const corner of [0, 1 / 6, 1 / 3, 2 / 3, 5 / 6, 1]) {
      const { acceleration: before } = profilePoint("jerk-limited", travel, second, corner - 1e-9);
      const { acceleration: after } = profilePoint("jerk-limited", travel, second, corner + 1e-9);
      expect(Math.abs(after - before)).toBeLessThan(1e-6);
    }
  });
  it("no profile lasts less than the least time for its own peak acceleration (bang-bang, textbook)", () => {
    for (const [kind, peak] of [
      ["trapezoid", 4.5],
      ["jerk-limited", 9],
    ] as const) {
      const alpha = profilePoint(kind, travel, second, 1 / 6).acceleration;
      expect(alpha).toBeCloseTo(peak * travel, 9);
      expect(leastMoveTime(travel, alpha as AngularAcceleration)).toBeLessThan(1);
    }
  });
});

const settings = (more: Partial<LoopSettings> = {}): LoopSettings => ({
  kind: "jerk-limited",
  duration: 0.6 as Time,
  sampleTime: 1e-3 as Time,
  positionGain: 30,
  speedBandwidth: 200,
  ...more,
});

function follow(plain: PlainTrain, loops: LoopSettings, tolerance?: number, sense: 1 | -1 = 1) {
  const train = trainOf(plain);
  const start = (sense > 0 ? 0 : quarterTurn) as Angle;
  const path = new StrokePath();
  const stroke = runStroke(train, {
    sense,
    start,
    horizon: (3 * loops.duration + plain.deadTime) as Time,
    marks: Float64Array.of(0.2, 0.8),
    controller: positionController(train, sense, start, loops),
    path,
    ...(tolerance === undefined ? {} : { tolerance }),
  });
  return { stroke, path };
}

function read(path: StrokePath, times: readonly number[]) {
  const [angle, speed, current] = [0, 0, 0].map(() => new Float64Array(times.length));
  if (angle === undefined || speed === undefined || current === undefined) throw new Error("three states");
  path.sample(times, angle, speed, current);
  return { angle, speed, current };
}

describe("a stroke under a profile", () => {
  it.each(kinds)(
    "follows a %s that the drive can follow within 1.5 degrees, and arrives within its time and a tenth",
    (kind) => {
      const loops = settings({ kind });
      const { stroke, path } = follow(ordinary, loops);
      expect(stroke.outcome).toBe("arrived");
      expect(stroke.arrival).toBeLessThan(1.1 * loops.duration);
      // The corner of a trapezoid may throw the ball against the stop, at a small part of full drive's 4 rad/s.
      expect(stroke.impactSpeed).toBeLessThan(kind === "trapezoid" ? 0.1 : 1e-9);
      const times = Array.from({ length: 121 }, (_, j) => 0.005 * j);
      const { angle } = read(path, times);
      times.forEach((t, j) => {
        const lag = profilePoint(kind, travel, loops.duration, t).angle - (angle[j] ?? 0);
        expect(Math.abs(lag)).toBeLessThan(0.026);
      });
    },
  );
  it("arrives when the ball is within a quarter per cent of the end, at the instant it passes there", () => {
    const { stroke, path } = follow(ordinary, settings(), 1e-9);
    const { angle } = read(path, [stroke.arrival ?? Number.NaN]);
    expect(Math.abs((angle[0] ?? 0) - travel * (1 - arrivalBand))).toBeLessThan(1e-9);
  });
  it("closes as it opens, the flow helping", () => {
    const fluid = curve(9, (x) => 5 * Math.sin(Math.PI * x));
    const { stroke } = follow({ ...ordinary, fluid }, settings(), undefined, -1);
    expect(stroke.outcome).toBe("arrived");
    expect(stroke.arrival).toBeLessThan(0.66);
  });
  it("that is too fast for the drive arrives late: never before the least time, and not before full drive would", () => {
    for (const duration of [0.05, 0.15, 0.3]) {
      const { stroke } = follow(ordinary, settings({ duration: duration as Time }));
      const full = runStroke(trainOf(ordinary), {
        sense: 1,
        start: 0 as Angle,
        horizon: 5 as Time,
        marks: new Float64Array(0),
      });
      const late = stroke.outcome === "arrived" ? (stroke.arrival ?? 0) : Number.POSITIVE_INFINITY;
      expect(late).toBeGreaterThan(duration);
      // Full drive counts to the stop, a profile to a quarter per cent before it.
      expect(late).toBeGreaterThan((full.arrival ?? 0) * (1 - 2 * arrivalBand));
    }
  });
  it("in which the drive stalls says so, with the angle and the torque that is lacking", () => {
    const blocked = { ...ordinary, friction: curve(9, (x) => (x < 0.5 ? 10 : 300)) };
    const { stroke } = follow(blocked, settings());
    expect(stroke.outcome).toBe("stalled");
    expect(stroke.stall?.angle).toBeGreaterThan(0.4 * travel);
    expect(stroke.stall?.angle).toBeLessThan(0.5 * travel);
    expect(stroke.stall?.lackingTorque).toBeGreaterThan(0);
  });
  it("has arrived from the beginning where the ball stands in the band", () => {
    const train = trainOf(ordinary);
    const start = (travel * (1 - 0.5 * arrivalBand)) as Angle;
    const stroke = runStroke(train, {
      sense: 1,
      start,
      horizon: 2 as Time,
      marks: new Float64Array(0),
      controller: positionController(train, 1, start, settings()),
    });
    expect([stroke.outcome, stroke.arrival]).toEqual(["arrived", 0]);
  });
  it("repeats itself when the same controller is run again", () => {
    const train = trainOf(ordinary);
    const controller = positionController(train, 1, 0 as Angle, settings());
    const once = () =>
      runStroke(train, {
        sense: 1,
        start: 0 as Angle,
        horizon: 2 as Time,
        marks: new Float64Array(0),
        controller,
      }).arrival;
    expect(once()).toBe(once());
  });
});

describe("the sampled loops", () => {
  /** The loops as the head of profile.ts writes them, built anew. */
  function loopsOf(plain: PlainTrain, loops: LoopSettings) {
    const N = plain.stages.reduce((p, { ratio }) => p * ratio, 1);
    const eta = plain.stages.reduce((p, { efficiency }) => p * efficiency, 1);
    const m = (plain.rotorInertia * N + plain.loadInertia / (N * eta)) / plain.torqueConstant;
    const greatest = Math.min(
      plain.voltage / (plain.resistance + plain.supplyResistance),
      plain.currentLimit,
    );
    const asked: number[] = [];
    let q = 0;
    const wanted = (t: number, angle: number, speed: number) => {
      const point = profilePoint(loops.kind, travel, loops.duration, t);
      const e = point.speed + loops.positionGain * (point.angle - angle) - speed;
      const p = m * (point.acceleration + loops.speedBandwidth * e);
      const next = q + ((m * loops.speedBandwidth ** 2) / 4) * loops.sampleTime * e;
      if (Math.abs(p + next) <= greatest || Math.abs(next) < Math.abs(q)) q = next;
      asked.push(p + q);
      return p + q;
    };
    return { sampleTime: loops.sampleTime, lag: plain.inductance / plain.resistance / 4, wanted, asked };
  }
  it.each([
    { name: "a drive that can follow", train: ordinary, duration: 0.6 },
    {
      name: "a current limit below what the profile wants",
      train: { ...ordinary, currentLimit: 7.5 },
      duration: 0.5,
    },
    {
      name: "a voltage below what the profile wants",
      train: { ...ordinary, supplyResistance: 0.4, voltage: 18 },
      duration: 0.42,
    },
    {
      name: "a dead time and a long sample time",
      train: { ...ordinary, deadTime: 0.0073 },
      duration: 0.6,
      sampleTime: 4e-3,
    },
  ])(
    "are right at each sample, against the second solution: $name",
    ({ train: plain, duration, sampleTime = 1e-3 }) => {
      const loops = settings({
        duration: duration as Time,
        sampleTime: sampleTime as Time,
        kind: "trapezoid",
      });
      const independent = loopsOf(plain, loops);
      const samples = Array.from({ length: 90 }, (_, n) => plain.deadTime + 5e-3 * (n + 1) + (n % 2) * 3e-4);
      const expected = secondSolution(plain, {
        sense: 1,
        start: 0,
        horizon: 0.46,
        marks: [],
        times: samples.filter((t) => t < 0.45),
        loops: independent,
      });
      const { path } = follow(plain, loops, 1e-9);
      const times = samples.slice(0, expected.states.length);
      const { angle, speed, current } = read(path, times);
      expect(times.length).toBeGreaterThan(80);
      expected.states.forEach((state, j) => {
        expect(Math.abs((angle[j] ?? 0) - state.angle)).toBeLessThan(1e-7);
        expect(Math.abs((speed[j] ?? 0) - state.speed)).toBeLessThan(1e-5);
        expect(Math.abs((current[j] ?? 0) - state.current)).toBeLessThan(1e-4);
      });
    },
  );
  it("close the energy ledger of any train, and end in finite time", () => {
    const outcomes = new Set<string>();
    fc.assert(
      fc.property(
        arbitraryTrain,
        fc.constantFrom(...kinds),
        fc.double({ min: 0.1, max: 2, noNaN: true }),
        fc.double({ min: 5, max: 80, noNaN: true }),
        fc.double({ min: 20, max: 400, noNaN: true }),
        (plain, kind, duration, positionGain, speedBandwidth) => {
          const { stroke } = follow(
            plain,
            settings({
              kind,
              duration: duration as Time,
              sampleTime: 2e-3 as Time,
              positionGain,
              speedBandwidth,
            }),
          );
          outcomes.add(stroke.outcome);
          expect(Math.abs(stroke.ledger.relativeResidual)).toBeLessThanOrEqual(1e-3);
          for (const figure of [stroke.angle, stroke.end, stroke.peakCurrent, stroke.lowestSupplyVoltage])
            expect(Number.isFinite(figure)).toBe(true);
        },
      ),
      { numRuns: 400, endOnFailure: true },
    );
    expect(outcomes).toEqual(new Set(["arrived", "stalled", "out of time"]));
  });
});
