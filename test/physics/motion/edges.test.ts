/** Trains on which a random search once found the engine wrong, kept as they were found. */
import { describe, expect, it } from "vitest";
import { runStroke, StrokePath } from "../../../src/physics/motion/index.js";
import type { Angle, Time } from "../../../src/quantity/index.js";
import { curve, type PlainTrain, quarterTurn, trainOf } from "./plainTrain.js";

function run(plain: PlainTrain) {
  const path = new StrokePath();
  const stroke = runStroke(trainOf(plain), {
    sense: 1,
    start: 0 as Angle,
    horizon: 5 as Time,
    marks: new Float64Array(0),
    path,
  });
  return { stroke, path };
}

/** Angles at which the pieces of a path begin. */
function anglesOf(path: StrokePath): Float64Array {
  const knots = path.knots();
  const angle = new Float64Array(knots.length);
  path.sample(knots, angle, new Float64Array(knots.length), new Float64Array(knots.length));
  return angle;
}

/** Held at its current limit from the start, against friction that grows evenly with the angle. */
const barelyThere: PlainTrain = {
  resistance: 0.1,
  inductance: 3e-6,
  torqueConstant: 0.01,
  motorDamping: 0,
  motorFriction: 0.04799999999999993,
  rotorInertia: 3e-6,
  voltage: 6,
  supplyResistance: 0.0030878340857821525,
  currentLimit: 6.000000000000001,
  deadTime: 0,
  stages: [{ ratio: 2, efficiency: 1, backEfficiency: 1, noLoadTorque: 0, inertia: 1.1695574399738258e-7 }],
  loadInertia: 1.2000000000000002e-7,
  damping: 0,
  stribeckSpeed: 0.9,
  dwellTorque: 2.2676529319774314e-194,
  travel: quarterTurn,
  restitution: 0,
  friction: curve(37, (x) => 0.01440000000000004 + 0.01920000000000005 * x),
  excess: curve(37, () => 0),
  fluid: curve(37, () => 0),
};

/** Its motor comes to the speed at which the voltage just holds the limit, and is slowed from there. */
const turnedAtTheFreeSpeed: PlainTrain = {
  ...barelyThere,
  motorFriction: 0.002244225217832154,
  supplyResistance: 0,
  stages: [
    {
      ratio: 2,
      efficiency: 0.4216867752170607,
      backEfficiency: 0,
      noLoadTorque: 0.0023924033734249958,
      inertia: 3.0458433945749386e-8,
    },
    { ratio: 2, efficiency: 1, backEfficiency: 1, noLoadTorque: 0.0022014015062645615, inertia: 0 },
    {
      ratio: 2,
      efficiency: 0.43538091665288803,
      backEfficiency: 0,
      noLoadTorque: 0.002511307894729538,
      inertia: 0,
    },
  ],
  loadInertia: 1.9200000000000003e-6,
  damping: 0.004058297103088946,
  stribeckSpeed: 0.225,
  dwellTorque: 0,
  friction: curve(5, () => 0.06834474800872893),
  excess: curve(5, () => 0),
  fluid: [0, -0.21150071969403342, -0.5287517992350836, -0.3172510795410503, 0],
};

/** Breaks away microseconds before its current meets the limit: a whole first step is much longer than what is used of it. */
const soonLimited: PlainTrain = {
  ...barelyThere,
  inductance: 0.00008290879729598154,
  motorDamping: 0.00008394519946157554,
  motorFriction: 0.007879040877267714,
  supplyResistance: 0.0010137791311015077,
  stages: [],
  loadInertia: 3.0000000000000004e-8,
  damping: 0.000004922883179341613,
  stribeckSpeed: 1.8,
  dwellTorque: 0,
  friction: curve(61, () => 0.050871543156306244),
  excess: curve(61, () => 9.105292962179113e-15),
  fluid: curve(61, () => 0),
};

describe("a stop that is met just before the ball would turn", () => {
  it("is met, and not passed, where the ball would turn after half a swing: theta = A (1 - cos(W t)), 2 A = travel", () => {
    const { rotorInertia, loadInertia } = barelyThere;
    const [stage] = barelyThere.stages;
    const inertia = 2 * (rotorInertia + (stage?.inertia ?? 0)) + loadInertia / 2;
    const stiffness = 0.01920000000000005 / quarterTurn / 2;
    const arrival = Math.PI / Math.sqrt(stiffness / inertia);
    const { stroke, path } = run(barelyThere);
    expect(stroke.outcome).toBe("arrived");
    // At a turn an angle that is 1e-4 of the travel off comes sqrt(4e-4)/pi = 0.64 % earlier.
    expect(Math.abs((stroke.arrival ?? 0) / arrival - 1)).toBeLessThan(6.4e-3);
    expect(Math.max(...anglesOf(path))).toBeLessThanOrEqual(quarterTurn + 1e-9);
  });
});

describe("a ball that leaves its stop", () => {
  it("goes forward from the first microsecond, where the current meets its limit within the first step", () => {
    const { stroke, path } = run(soonLimited);
    expect(stroke.outcome).toBe("arrived");
    expect(Math.min(...anglesOf(path))).toBeGreaterThanOrEqual(-1e-9);
  });
});

describe("a current limit", () => {
  it("is not passed by a motor that is slowed from the speed at which the voltage just held it", () => {
    const { stroke } = run(turnedAtTheFreeSpeed);
    expect(stroke.outcome).toBe("arrived");
    expect(stroke.peakCurrent).toBeLessThanOrEqual(turnedAtTheFreeSpeed.currentLimit * (1 + 1e-6));
  });
});
