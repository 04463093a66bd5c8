import { describe, expect, it } from "vitest";
import { Refusal } from "../../../src/fault/index.js";
import { type GearStage, lowestRatioFactor } from "../../../src/physics/drive/index.js";
import {
  type RigidTrain,
  runStroke,
  type Stroke,
  type StrokeOrder,
  StrokePath,
} from "../../../src/physics/motion/index.js";
import type { Angle, Time, Torque } from "../../../src/quantity/index.js";
import { curve, ordinary, type PlainTrain, quarterTurn, stage, trainOf } from "./plainTrain.js";

const order: StrokeOrder = {
  sense: 1,
  start: 0 as Angle,
  horizon: 3 as Time,
  marks: Float64Array.from([0.1, 0.9], (share) => share * quarterTurn),
};
const run = (plain: PlainTrain, more: Partial<StrokeOrder> = {}): Stroke =>
  runStroke(trainOf(plain), { ...order, ...more });
const closing = { sense: -1, start: quarterTurn as Angle } as const;
const none = curve(9, () => 0);

/** Torque at the stem that the drive at its greatest steady current has left over its own friction. */
function available(plain: PlainTrain): number {
  const current = Math.min(plain.voltage / (plain.resistance + plain.supplyResistance), plain.currentLimit);
  const gain = plain.stages.reduce((product, { ratio, efficiency }) => product * ratio * efficiency, 1);
  return gain * (plain.torqueConstant * current - plain.motorFriction);
}
/** Breakaway at the closed end: 15 + 6 N m. */
const breakaway = 21;

describe("a drive that cannot break away", () => {
  it("without voltage: stalled, closed, and lacking all of the breakaway and of its own friction", () => {
    const stroke = run({ ...ordinary, voltage: 0 });
    expect(stroke.outcome).toBe("stalled");
    expect(stroke.angle).toBe(0);
    expect(stroke.firstMotion).toBeUndefined();
    expect(stroke.arrival).toBeUndefined();
    expect([...stroke.markTimes]).toEqual([Number.NaN, Number.NaN]);
    expect(stroke.stall?.angle).toBe(0);
    expect(stroke.stall?.lackingTorque).toBeCloseTo(breakaway - available({ ...ordinary, voltage: 0 }), 9);
    expect(stroke.peakCurrent).toBe(0);
  });
  it("without voltage and without any friction: stalled all the same, lacking nothing but a push", () => {
    const stroke = run({ ...ordinary, voltage: 0, motorFriction: 0, friction: none, excess: none });
    expect(stroke.outcome).toBe("stalled");
    expect(stroke.stall?.lackingTorque).toBe(0);
    expect(stroke.angle).toBe(0);
  });
  it.each([
    ["with a ratio too small", { ...ordinary, stages: [stage(20, 0.72)] }, breakaway],
    ["with a current limit below the breakaway current", { ...ordinary, currentLimit: 4 }, breakaway],
    ["with a current limit of nothing", { ...ordinary, currentLimit: 0 }, breakaway],
    [
      "with six times the torque curve",
      {
        ...ordinary,
        friction: ordinary.friction.map((T) => 6 * T),
        excess: ordinary.excess.map((T) => 6 * T),
      },
      6 * breakaway,
    ],
    ["with too much dwell", { ...ordinary, dwellTorque: 200 }, breakaway + 200],
    ["with the flow against it", { ...ordinary, fluid: curve(9, () => 120) }, breakaway + 120],
  ])("%s: the lacking torque is breakaway less what the drive has", (_, plain, needed) => {
    const stroke = run(plain);
    expect(stroke.outcome).toBe("stalled");
    expect(stroke.stall?.angle).toBe(0);
    expect(stroke.stall?.lackingTorque).toBeCloseTo(needed - available(plain), 9);
    expect(Math.abs(stroke.ledger.relativeResidual)).toBeLessThan(1e-9);
  });
  it("at the very torque it has: it rests, and opens with a millionth more", () => {
    const balanced = available(ordinary);
    const with_ = (torque: number) => ({ ...ordinary, friction: curve(9, () => torque), excess: none });
    expect(run(with_(balanced)).outcome).toBe("stalled");
    expect(run(with_(balanced)).stall?.lackingTorque).toBeCloseTo(0, 9);
    expect(run(with_(balanced * (1 - 1e-6))).firstMotion).toBeGreaterThan(0);
  });
  it("opens with the lowest ratio and a hundredth, and not with a hundredth less", () => {
    const plain = { ...ordinary, stages: [stage(20, 0.72, 2e-3)] };
    const factor = lowestRatioFactor(
      ((plain.torqueConstant * plain.voltage) / plain.resistance) as Torque,
      plain.motorFriction as Torque,
      breakaway as Torque,
      plain.stages as unknown as readonly GearStage[],
    );
    const at = (share: number) => run({ ...plain, stages: [stage(20 * (factor ?? 0) * share, 0.72, 2e-3)] });
    expect(at(1.01).outcome).toBe("arrived");
    expect(at(0.99).outcome).toBe("stalled");
  });
});

describe("doubled torque", () => {
  it("opens later, as long as the drive can", () => {
    const twice = {
      ...ordinary,
      friction: ordinary.friction.map((T) => 2 * T),
      excess: ordinary.excess.map((T) => 2 * T),
    };
    const [once, then] = [run(ordinary), run(twice)];
    expect(then.outcome).toBe("arrived");
    expect(then.arrival).toBeGreaterThan(1.1 * (once.arrival ?? Number.NaN));
  });
});

describe("no friction at all", () => {
  it("moves at once and opens faster than with any, no slower than the no-load speed allows", () => {
    const free = {
      ...ordinary,
      motorFriction: 0,
      motorDamping: 0,
      friction: none,
      excess: none,
      stages: [stage(120, 1)],
    };
    const stroke = run(free);
    expect(stroke.firstMotion).toBe(0);
    expect(stroke.arrival).toBeLessThan(run(ordinary).arrival ?? 0);
    expect(stroke.arrival).toBeGreaterThan((quarterTurn * 0.042 * 120) / 24);
    for (const id of ["motor", "gears", "friction", "damping"] as const)
      expect(Math.abs(stroke.ledger.entries[id])).toBeLessThan(1e-9);
  });
});

describe("a stroke that ends on the way", () => {
  const jammed = {
    ...ordinary,
    friction: curve(61, (x) => (x < 0.6 ? 12 : 12 + 2000 * (x - 0.6))),
    excess: curve(61, () => 2),
    fluid: curve(61, () => 0),
  };
  it("stalls where friction stops it, with the marks it passed, and lacks what breakaway there asks for", () => {
    const stroke = run(jammed);
    expect(stroke.outcome).toBe("stalled");
    expect(stroke.angle).toBeGreaterThan(0.6 * quarterTurn);
    expect(stroke.angle).toBeLessThan(0.8 * quarterTurn);
    expect(stroke.stall?.angle).toBe(stroke.angle);
    expect(stroke.markTimes[0]).toBeGreaterThan(0);
    expect(stroke.markTimes[1]).toBeNaN();
    expect(stroke.stall?.lackingTorque).toBeGreaterThan(0);
    const needed = 12 + 2000 * (stroke.angle / quarterTurn - 0.6) + 2;
    // The curve is a cubic through the nodes; straight beside the bend.
    expect(stroke.stall?.lackingTorque).toBeCloseTo(needed - available(jammed), 6);
  });
  it("is out of time while it moves, and then has neither time nor stall", () => {
    const stroke = run(ordinary, { horizon: 0.1 as Time });
    expect(stroke.outcome).toBe("out of time");
    expect([stroke.arrival, stroke.stall]).toEqual([undefined, undefined]);
    expect(stroke.angle).toBeGreaterThan(0);
    expect(stroke.end).toBe(0.1);
    expect(stroke.firstMotion).toBeLessThan(0.1);
  });
  it("is out of time, not stalled, when only the dead time was too long", () => {
    const stroke = run({ ...ordinary, deadTime: 5 });
    expect(stroke.outcome).toBe("out of time");
    expect(stroke.angle).toBe(0);
    expect(stroke.end).toBe(3);
  });
});

describe("the start", () => {
  it("at the stop it is to reach has arrived at once, in both senses, without motion", () => {
    for (const [sense, start] of [
      [1, quarterTurn],
      [-1, 0],
    ] as const) {
      const stroke = run(ordinary, { sense, start: start as Angle });
      expect([stroke.outcome, stroke.arrival, stroke.firstMotion]).toEqual(["arrived", 0, undefined]);
      expect([...stroke.markTimes]).toEqual([Number.NaN, Number.NaN]);
    }
  });
  it("within the travel leaves less to travel", () => {
    const half = run(ordinary, { start: (0.5 * quarterTurn) as Angle });
    expect(half.outcome).toBe("arrived");
    expect(half.arrival).toBeLessThan(run(ordinary).arrival ?? 0);
  });
  it.each([
    ["-5 deg", (-5 * Math.PI) / 180],
    ["beyond wide open", 1.6],
    ["no number", Number.NaN],
  ])("at %s is refused with what it was and what is allowed", (_, start) => {
    try {
      run(ordinary, { start: start as Angle });
      expect.unreachable();
    } catch (thrown) {
      expect(thrown).toBeInstanceOf(Refusal);
      const [fault] = (thrown as Refusal).faults;
      expect(fault?.code).toBe("start-outside-travel");
      expect(fault?.found).toMatch(/starts at (-5 deg|91\.67 deg|NaN)/);
      expect(fault?.allowed).toContain("90 deg");
    }
  });
  it.each<[string, Partial<RigidTrain>]>([
    ["resistance", { resistance: 0 as RigidTrain["resistance"] }],
    ["inductance", { inductance: -1 as RigidTrain["inductance"] }],
    ["voltage", { openCircuitVoltage: Number.NaN as RigidTrain["openCircuitVoltage"] }],
    ["ratio", { ratio: 0 }],
    ["limit", { currentLimit: -3 as RigidTrain["currentLimit"] }],
    ["stop", { restitution: 1 }],
    [
      "inertia",
      { forward: { ...trainOf(ordinary).forward, inertia: 0 as RigidTrain["forward"]["inertia"] } },
    ],
    ["friction falls", { stribeckSpeed: 0 as RigidTrain["stribeckSpeed"] }],
  ])("with an impossible %s is refused by that name", (word, change) => {
    const act = () => runStroke({ ...trainOf(ordinary), ...change }, order);
    expect(act).toThrow(Refusal);
    expect(act).toThrow(new RegExp(word));
  });
  it("with a tolerance that is none is refused", () => {
    for (const tolerance of [0, 1, Number.NaN]) expect(() => run(ordinary, { tolerance })).toThrow(Refusal);
  });
});

describe("without power", () => {
  const dead = { deadTime: 5 };
  const strong = { ...ordinary, motorFriction: 1e-3, fluid: curve(9, () => 60) };
  it("the flow closes the valve through gears that can be driven back, and the motor does not brake it", () => {
    const stroke = run({ ...strong, ...dead }, closing);
    expect(stroke.outcome).toBe("arrived");
    expect(stroke.peakCurrent).toBe(0);
    expect(stroke.ledger.entries.fluid).toBeLessThan(0);
    expect(stroke.ledger.entries.gears).toBeGreaterThan(0);
    expect(stroke.ledger.entries.supplied).toBe(0);
  });
  it("gears that lock themselves hold it, whatever the flow, even without any other friction", () => {
    for (const motorFriction of [0, 1e-3]) {
      const locked = {
        ...strong,
        ...dead,
        motorFriction,
        stages: [stage(120, 0.4)],
        friction: none,
        excess: none,
      };
      const stroke = run(locked, closing);
      expect([stroke.outcome, stroke.angle, stroke.firstMotion]).toEqual([
        "out of time",
        quarterTurn,
        undefined,
      ]);
    }
  });
  it("gears that lock themselves give up the load's push while the motor runs", () => {
    const plain = { ...strong, stages: [stage(120, 0.4)], friction: none, excess: none };
    const stroke = run(plain, closing);
    expect(stroke.outcome).toBe("arrived");
    // What the flow gives, the gears take: never more than it, since some of it meets the motor's own drive.
    expect(stroke.ledger.entries.gears).toBeGreaterThan(0.99 * -stroke.ledger.entries.fluid);
  });
  it("a flow weaker than seats, gears and motor leaves it where it is", () => {
    const stroke = run({ ...strong, ...dead, fluid: curve(9, () => 8.5) }, closing);
    expect(stroke.firstMotion).toBeUndefined();
  });
});

describe("what the supply shows", () => {
  it("is the open-circuit voltage less the greatest battery current times its resistance", () => {
    const stroke = run({ ...ordinary, supplyResistance: 0.25 });
    expect(stroke.lowestSupplyVoltage).toBeCloseTo(24 - 0.25 * stroke.peakCurrent, 9);
    expect(stroke.peakCurrent).toBeLessThan(24 / 1.05);
  });
  it("is less than the motor's current while the driver holds its limit: the battery gives only the power", () => {
    const slow = { ...ordinary, supplyResistance: 0.25, currentLimit: 8, friction: curve(9, () => 15) };
    const stroke = run(slow);
    expect(stroke.peakCurrent).toBeCloseTo(8, 9);
    expect(stroke.lowestSupplyVoltage).toBeGreaterThan(24 - 0.25 * 8 - 1e-9);
  });
});

describe("stops", () => {
  it("that throw back nearly everything still end the stroke", () => {
    const stroke = run({
      ...ordinary,
      restitution: 0.99,
      stages: [stage(20, 0.9)],
      friction: curve(9, () => 1),
      excess: none,
    });
    expect(stroke.outcome).toBe("arrived");
    expect(stroke.end).toBeLessThan(3);
    expect(Math.abs(stroke.ledger.relativeResidual)).toBeLessThan(1e-3);
  });
  it("are met at the speed of the highest kinetic energy they take", () => {
    const stroke = run(ordinary);
    const inertia = 2e-3 + 8e-6 * 120 * 120;
    expect(stroke.ledger.entries.stop).toBeCloseTo(0.5 * inertia * stroke.impactSpeed ** 2, 9);
  });
});

describe("the recorded path", () => {
  it("ends where the stroke ends, and holds its last state beyond", () => {
    const path = new StrokePath();
    const stroke = run(ordinary, { path });
    expect(path.end).toBeCloseTo(stroke.end, 12);
    const [angle, speed, current] = [0, 0, 0].map(() => new Float64Array(3));
    if (angle === undefined || speed === undefined || current === undefined) throw new Error("three states");
    path.sample([-1, stroke.arrival ?? 0, 10], angle, speed, current);
    expect(angle[0]).toBe(0);
    expect(angle[1]).toBeCloseTo(quarterTurn, 9);
    expect(angle[2]).toBeCloseTo(quarterTurn, 9);
  });
  it("is that of the last stroke when it is used again", () => {
    const path = new StrokePath();
    run(ordinary, { path });
    const short = run(ordinary, { path, horizon: 0.05 as Time });
    expect(path.end).toBe(short.end);
    expect([...path.knots()].every((t, j, all) => j === 0 || t >= (all[j - 1] ?? 0))).toBe(true);
  });
});
