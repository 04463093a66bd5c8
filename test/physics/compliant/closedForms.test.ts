import { describe, expect, it } from "vitest";
import {
  type CompliantTrain,
  energyPeak,
  runChain,
  steadyState,
} from "../../../src/physics/compliant/index.js";
import { angleLoad } from "../../../src/physics/motion/index.js";
import type {
  Angle,
  AngularDamping,
  AngularSpeed,
  AngularStiffness,
  Current,
  Inductance,
  Inertia,
  Resistance,
  Time,
  Torque,
  TorqueConstant,
  Voltage,
} from "../../../src/quantity/index.js";

/** One inertia on one spring without friction and loss, pushed with a torque that its held current gives. */
function bare(change: { inertia: number; stiffness: number; torque: number; ball?: number }): CompliantTrain {
  const travel = 1 as Angle;
  const none = new Float64Array(2);
  return {
    resistance: 1 as Resistance,
    inductance: 1e-4 as Inductance,
    torqueConstant: 1 as TorqueConstant,
    motorDamping: 0 as AngularDamping,
    motorFriction: 0 as Torque,
    openCircuitVoltage: 1e4 as Voltage,
    supplyResistance: 0 as Resistance,
    currentLimit: change.torque as Current,
    deadTime: 0 as Time,
    bodies: [
      { inertia: change.inertia as Inertia, friction: 0 as Torque },
      { inertia: (change.ball ?? 1e-9 * change.inertia) as Inertia, friction: 0 as Torque },
    ],
    links: [
      {
        ratio: 1,
        efficiency: 1,
        startingEfficiency: 1,
        backEfficiency: 1,
        stiffness: change.stiffness as AngularStiffness,
        damping: 0 as AngularDamping,
        backlash: 0 as Angle,
      },
    ],
    stop: { kind: "hard", restitution: 0 },
    damping: 0 as AngularDamping,
    stribeckSpeed: 1 as AngularSpeed,
    dwellTorque: 0 as Torque,
    travel,
    load: angleLoad(travel, none, none, none),
    batteryCurrent: (power) => power / 1e4,
  };
}

const stopped = (train: CompliantTrain, speed: number, current: number) =>
  runChain(train, {
    sense: 1,
    start: 0 as Angle,
    horizon: 1 as Time,
    tolerance: 1e-8,
    jams: true,
    from: steadyState(train, {
      sense: 1,
      time: 0 as Time,
      angle: 0.5 as Angle,
      speed: speed as AngularSpeed,
      current: current as Current,
      isLimiting: true,
      isFastest: false,
    }),
  }).links[0]?.driving.torque;

describe("impact by the energy method as the limit of the compliant train", () => {
  // test/reference values of mechanics: J 0.101 kg m2, 5 rad/s, drive 30 N m, k 4000 N m/rad.
  it("134.88 N m while the drive pushes with 30 N m, energy method [budynas-nisbett-2011, sec. 4-17]", () => {
    const peak = energyPeak(30 as Torque, 4000 as AngularStiffness, 0.101 as Inertia, 5 as AngularSpeed);
    expect(peak).toBeCloseTo(134.88, 2);
    expect(stopped(bare({ inertia: 0.101, stiffness: 4000, torque: 30 }), 5, 30)).toBeCloseTo(peak, 3);
  });

  it("w sqrt(k J) = 100.5 N m without drive", () => {
    expect(
      energyPeak(0 as Torque, 4000 as AngularStiffness, 0.101 as Inertia, 5 as AngularSpeed),
    ).toBeCloseTo(100.5, 1);
    expect(stopped(bare({ inertia: 0.101, stiffness: 4000, torque: 1e-9 }), 5, 1e-9)).toBeCloseTo(
      5 * Math.sqrt(4000 * 0.101),
      3,
    );
  });

  it("falls to twice the drive's torque without speed: a torque put on at once, textbook", () => {
    expect(energyPeak(7 as Torque, 900 as AngularStiffness, 1 as Inertia, 0 as AngularSpeed)).toBe(14);
  });
});

describe("two inertias on a spring", () => {
  it("swing against each other with sqrt(k (J1 + J2)/(J1 J2)), textbook [leonhard-2001]", () => {
    // The ball is let go at double speed: the twist passes zero every half period.
    const train = bare({ inertia: 0.02, stiffness: 500, torque: 1e-9, ball: 0.005 });
    const start = steadyState(train, {
      sense: 1,
      time: 0 as Time,
      angle: 0.1 as Angle,
      speed: 1 as AngularSpeed,
      current: 1e-9 as Current,
      isLimiting: true,
      isFastest: true,
    });
    const crossings: number[] = [];
    const y = new Float64Array(5);
    let last = 0;
    runChain(train, {
      sense: 1,
      start: 0 as Angle,
      horizon: 0.2 as Time,
      tolerance: 1e-9,
      isWhole: true,
      from: start,
      watch: (step, equations, t, h) => {
        step.along(1, y);
        const twist = equations.deflection(0, y);
        if (last * twist < 0) {
          const before = equations.deflection(0, step.start);
          crossings.push(t + (h * before) / (before - twist));
        }
        last = twist;
      },
    });
    const frequency = Math.sqrt((500 * (0.02 + 0.005)) / (0.02 * 0.005));
    const first = crossings[0] ?? Number.NaN;
    const later = crossings[10] ?? Number.NaN;
    expect((later - first) / 10).toBeCloseTo(Math.PI / frequency, 6);
  });
});

describe("stick and slip", () => {
  it("a ball drawn at w is fastest at w + sqrt(w^2 + e^2/(k J)), docs/theory/compliant.md", () => {
    const [w, k, J, f, e] = [0.6, 400, 2e-3, 5, 2];
    const flat = (value: number) => Float64Array.of(value, value);
    const train: CompliantTrain = {
      ...bare({ inertia: 1e4, stiffness: k, torque: 1e-9, ball: J }),
      stribeckSpeed: 1e-6 as AngularSpeed,
      load: angleLoad(1 as Angle, flat(f), flat(e), flat(0)),
    };
    let fastest = 0;
    let rests = 0;
    const y = new Float64Array(5);
    runChain(train, {
      sense: 1,
      start: 0 as Angle,
      horizon: 0.06 as Time,
      tolerance: 1e-7,
      isWhole: true,
      from: {
        time: 0,
        y: Float64Array.of(0.1, 0.1, w, 0, 1e-9),
        sense: Int8Array.of(1, 0),
        flank: Int8Array.of(1),
        sign: Int8Array.of(1),
        stopSide: 0,
        isBondBroken: true,
        driveSense: 1,
        isLimiting: true,
        cause: { cause: "start", since: 0 },
      },
      watch: (step, equations, _, __, share) => {
        for (let x = 0.02; x <= 1; x += 0.02) {
          step.along(x * share, y);
          fastest = Math.max(fastest, y[3] ?? 0);
        }
        if (equations.held[1] === 1) rests++;
      },
    });
    expect(rests).toBeGreaterThan(2);
    expect(fastest).toBeCloseTo(w + Math.sqrt(w * w + (e * e) / (k * J)), 3);
  });
});
