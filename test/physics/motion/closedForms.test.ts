import { describe, expect, it } from "vitest";
import { optimumRatio, runUpConstants } from "../../../src/physics/drive/index.js";
import {
  type CurrentController,
  leastMoveTime,
  runStroke,
  type Stroke,
  StrokePath,
} from "../../../src/physics/motion/index.js";
import {
  type Angle,
  type AngularAcceleration,
  type AngularSpeed,
  type Inertia,
  parseQuantity,
  type Time,
  type Torque,
} from "../../../src/quantity/index.js";
import reference from "../../reference/mechanics-drive.json" with { type: "json" };
import { curve, ordinary, type PlainTrain, quarterTurn, stage, trainOf } from "./plainTrain.js";

const level = (torque: number) => curve(3, () => torque);
/** Motor and ball with nothing that resists, on direct drive. */
const bare: PlainTrain = {
  ...ordinary,
  motorDamping: 0,
  motorFriction: 0,
  stages: [],
  friction: level(0),
  excess: level(0),
  fluid: level(0),
};
/** A current source: so much voltage behind so little inductance that the limit holds at once. */
const source = (train: PlainTrain, current: number): PlainTrain => ({
  ...train,
  voltage: 1e6,
  resistance: 0.1,
  inductance: 1e-9,
  currentLimit: current,
});

function run(
  train: PlainTrain,
  more: { controller?: CurrentController; path?: StrokePath; horizon?: number } = {},
): Stroke {
  const { horizon = 20, ...rest } = more;
  return runStroke(trainOf(train), {
    sense: 1,
    start: 0 as Angle,
    horizon: horizon as Time,
    marks: new Float64Array(0),
    tolerance: 1e-10,
    ...rest,
  });
}
const arrival = (train: PlainTrain) => run(train).arrival ?? Number.NaN;
const off = (x: number, expected: number) => Math.abs(x / expected - 1);
/** Steps of relative tolerance 1e-10 leave some hundred such errors. */
const exact = 1e-8;

describe("constant torque and inertia, t = sqrt(2 theta/alpha) (textbook)", () => {
  const torque = 0.042 * 10;
  it("free", () => {
    const inertia = bare.rotorInertia + bare.loadInertia;
    expect(off(arrival(source(bare, 10)), Math.sqrt((2 * quarterTurn * inertia) / torque))).toBeLessThan(
      exact,
    );
  });
  it("against constant friction, through lossless gears", () => {
    const inertia = bare.rotorInertia * 20 * 20 + bare.loadInertia;
    const left = torque * 20 - 3.1;
    const train = source({ ...bare, stages: [stage(20, 1)], friction: level(3.1) }, 10);
    expect(off(arrival(train), Math.sqrt((2 * quarterTurn * inertia) / left))).toBeLessThan(exact);
  });
  it("through gears that lose: the rotor's inertia counts eta N^2", () => {
    const inertia = bare.rotorInertia * 0.8 * 20 * 20 + bare.loadInertia;
    const left = 0.8 * 20 * torque - 3.1;
    const train = source({ ...bare, stages: [stage(20, 0.8)], friction: level(3.1) }, 10);
    expect(off(arrival(train), Math.sqrt((2 * quarterTurn * inertia) / left))).toBeLessThan(exact);
  });
});

describe("viscous run-up at constant torque, theta = w (t - tau (1 - exp(-t/tau))), w = T/B, tau = J/B (textbook)", () => {
  it("reaches the angle of the closed form at its arrival", () => {
    const B = 0.35;
    const torque = 0.042 * 10;
    const tau = (bare.rotorInertia + bare.loadInertia) / B;
    const t = arrival(source({ ...bare, damping: B }, 10));
    const angle = (torque / B) * (t - tau * (1 - Math.exp(-t / tau)));
    expect(t).toBeGreaterThan(10 * tau);
    expect(off(angle, quarterTurn)).toBeLessThan(exact);
  });
});

describe("linear torque-speed line against a constant load", () => {
  const row = reference["open-time-closed-form"];
  // The line from stall torque to no-load speed is a motor without inductance: k = V/w0, R = k V/T_s.
  const voltage = 24;
  const k = voltage / row.noLoadSpeed;
  const train: PlainTrain = {
    ...bare,
    voltage,
    torqueConstant: k,
    resistance: (k * voltage) / row.stallTorque,
    inductance: 1e-12,
    rotorInertia: row.inertia,
    loadInertia: 0,
    stages: [stage(row.ratio, 1)],
    friction: level(row.loadTorque * row.ratio),
    travel: parseQuantity(`${row.angle_deg} deg`, "angle"),
  };
  it("textbook, J 2e-5, T_s 1.2, w_0 500, load 0.3 at the motor, N 100: 90 deg in 0.427212 s", () => {
    expect(off(arrival(train), row.time)).toBeLessThan(row.tolerance.relative);
  });
  it("is the run-up of its final speed and time constant", () => {
    const { speed, timeConstant } = runUpConstants({
      stallTorque: row.stallTorque as Torque,
      noLoadSpeed: row.noLoadSpeed as AngularSpeed,
      loadTorque: row.loadTorque as Torque,
      inertia: row.inertia as Inertia,
    });
    const t = arrival(train);
    const turned = speed * (t - timeConstant * (1 - Math.exp(-t / timeConstant)));
    expect(off(turned, row.ratio * quarterTurn)).toBeLessThan(exact);
    expect(off(run(train).impactSpeed * row.ratio, row.speed)).toBeLessThan(1e-9);
  });
});

describe("ratio of least opening time at constant torque", () => {
  /** Golden section on the engine's own opening time. */
  function fastest(time: (ratio: number) => number, low: number, high: number): number {
    const golden = (Math.sqrt(5) - 1) / 2;
    let [a, b] = [low, high];
    for (let n = 0; n < 60; n++) {
      const [c, d] = [b - golden * (b - a), a + golden * (b - a)];
      if (time(c) < time(d)) b = d;
      else a = c;
    }
    return 0.5 * (a + b);
  }
  const { rows } = reference["optimum ratio"];
  it.each(rows)("textbook: N = $ratio at J_L $loadInertia, J_m $motorInertia, T_L $loadTorque", (row) => {
    const time = (ratio: number) =>
      arrival(
        source(
          {
            ...bare,
            torqueConstant: row.motorTorque / 10,
            rotorInertia: row.motorInertia,
            loadInertia: row.loadInertia,
            friction: level(row.loadTorque),
            stages: [stage(ratio, row.efficiency)],
          },
          10,
        ),
      );
    // Where the time is least it is flat: 1e-9 in it leaves some 1e-4 in the ratio.
    const found = fastest(time, row.ratio * 0.7, row.ratio * 1.5);
    expect(off(found, row.ratio)).toBeLessThan(1e-3);
    const formula = optimumRatio(
      row.loadTorque as Torque,
      row.motorTorque as Torque,
      row.efficiency,
      row.loadInertia as Inertia,
      row.motorInertia as Inertia,
    );
    expect(off(found, formula)).toBeLessThan(1e-3);
  });
});

describe("least time from rest to rest, 2 sqrt(theta/alpha) (bang-bang, textbook)", () => {
  it("is what full torque forward to the middle and full torque back takes", () => {
    const train = source(bare, 10);
    const alpha = (0.042 * 10) / (bare.rotorInertia + bare.loadInertia);
    const least = leastMoveTime(quarterTurn as Angle, alpha as AngularAcceleration);
    expect(off(least, 2 * Math.sqrt(quarterTurn / alpha))).toBeLessThan(1e-15);
    const bang: CurrentController = {
      sampleTime: (least / 2000) as Time,
      lag: 1e-7 as Time,
      duration: least,
      current: (time) => (time < 0.5 * least ? 10 : -10),
    };
    const path = new StrokePath();
    run(train, { controller: bang, path, horizon: least });
    const [angle, speed, current] = [0, 0, 0].map(() => new Float64Array(2));
    if (angle === undefined || speed === undefined || current === undefined) throw new Error("three states");
    path.sample([0.5 * least, least], angle, speed, current);
    expect(off(angle[0] ?? 0, quarterTurn / 2)).toBeLessThan(1e-4);
    expect(off(speed[0] ?? 0, (alpha * least) / 2)).toBeLessThan(1e-4);
    expect(off(angle[1] ?? 0, quarterTurn)).toBeLessThan(1e-4);
    expect(Math.abs(speed[1] ?? 1)).toBeLessThan(1e-3 * (speed[0] ?? 0));
  });
});

describe("electrical rise at rest, i = (V/R) (1 - exp(-t R/L))", () => {
  const { resistance: R, inductance: L, torqueConstant: k, voltage: V } = ordinary;
  it("breaks away when the current has risen to what breakaway needs", () => {
    const { firstMotion } = run({ ...ordinary, deadTime: 0.01 });
    const needed = (15 + 6) / (0.72 * 120 * k) + ordinary.motorFriction / k;
    expect(off((firstMotion ?? 0) - 0.01, -(L / R) * Math.log(1 - (needed * R) / V))).toBeLessThan(1e-9);
  });
  it("ends at V/R in a drive that cannot break away, its heat R i^2 and its field L i^2/2", () => {
    const stroke = run({ ...ordinary, friction: level(500) }, { horizon: 0.5 });
    expect(stroke.outcome).toBe("stalled");
    expect(off(stroke.peakCurrent, V / R)).toBeLessThan(1e-12);
    const tau = L / R;
    const heat = (V * V * (0.5 - 1.5 * tau)) / R;
    expect(off(stroke.ledger.entries.copper, heat)).toBeLessThan(1e-9);
    expect(off(stroke.ledger.entries.magnetic, 0.5 * L * (V / R) ** 2)).toBeLessThan(1e-12);
    expect(off(stroke.ledger.entries.supplied, (V * V * (0.5 - tau)) / R)).toBeLessThan(1e-9);
    expect(Math.abs(stroke.ledger.relativeResidual)).toBeLessThan(1e-12);
  });
});

describe("end stop", () => {
  it("takes the kinetic energy that does not come back, and the speed falls by the restitution", () => {
    const soft = run({ ...source(bare, 10), restitution: 0 });
    const { stop, kinetic } = soft.ledger.entries;
    expect(off(stop, 0.5 * (bare.rotorInertia + bare.loadInertia) * soft.impactSpeed ** 2)).toBeLessThan(
      1e-12,
    );
    expect(Math.abs(kinetic)).toBeLessThan(1e-12 * stop);
  });
  it("throws back by e: under constant torque the bounces last 2 e w/alpha, e^2 of it, and so on (textbook)", () => {
    const e = 0.5;
    const alpha = (0.042 * 10) / (bare.rotorInertia + bare.loadInertia);
    // 24 V hold the limit at any speed of this stroke, and set the smallest bounce at 0.6 rad/s.
    const train = { ...source(bare, 10), voltage: 24, restitution: e };
    const path = new StrokePath();
    const stroke = run(train, { path });
    const first = stroke.arrival ?? Number.NaN;
    expect(off(stroke.impactSpeed, Math.sqrt(2 * alpha * quarterTurn))).toBeLessThan(exact);
    const rebound = e * stroke.impactSpeed;
    const [angle, speed, current] = [0, 0, 0].map(() => new Float64Array(2));
    if (angle === undefined || speed === undefined || current === undefined) throw new Error("three states");
    const apex = first + rebound / alpha;
    path.sample([apex, apex + (1 + e) * (rebound / alpha)], angle, speed, current);
    expect(off(quarterTurn - (angle[0] ?? 0), rebound ** 2 / (2 * alpha))).toBeLessThan(1e-6);
    expect(off(quarterTurn - (angle[1] ?? 0), (e * rebound) ** 2 / (2 * alpha))).toBeLessThan(1e-6);
    let lasts = 0;
    for (let w = rebound; w > (1e-3 * 24) / 0.042; w *= e) lasts += (2 * w) / alpha;
    expect(off(stroke.end - first, lasts)).toBeLessThan(1e-6);
    expect(stroke.outcome).toBe("arrived");
  });
});
