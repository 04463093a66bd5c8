/**
 * One compliant opening by the product's engine, on the valve of the reference loop: motor, backlash, shaft,
 * a seat whose friction falls with speed, a hard stop and the wind-up behind it. Judged by the whole
 * trajectory: the opening time alone hides a missed stick or a wrong stop.
 */
import { type CompliantTrain, runChain, stemInertia } from "../src/physics/compliant/index.js";
import { batteryCurrent } from "../src/physics/motion/index.js";
import type {
  Angle,
  AngularDamping,
  AngularStiffness,
  Inertia,
  Time,
  Torque,
} from "../src/quantity/index.js";
import type { Bench } from "./bench.js";
import { benchTrain } from "./opening.js";
import { budgetMachine, openingValve } from "./rk4.js";
import { timeOfCall } from "./timing.js";

const stiffness = 2000; // of gears and stem at the stem [N m/rad]
const backlash = 0.006; // at the stem [rad]
/** The wind-up behind the stop is over by then [s]. */
const horizon = 0.45;

/** @param dampingRatio of the twist; with little of it the ball sticks and slips all the way */
export function benchChain(dampingRatio: number): CompliantTrain {
  const v = openingValve;
  const rigid = benchTrain();
  // The reference counts the rotor as N^2 J without the gears' loss.
  const rotor = v.motorInertia * v.efficiency;
  const atStem = rotor * v.ratio ** 2;
  const reduced = (atStem * v.valveInertia) / (atStem + v.valveInertia);
  const { efficiency, ratio } = v;
  return {
    ...rigid,
    bodies: [
      { inertia: rotor as Inertia, friction: 0 as Torque },
      { inertia: v.valveInertia as Inertia, friction: 0 as Torque },
    ],
    links: [
      {
        ratio,
        efficiency,
        startingEfficiency: efficiency,
        backEfficiency: efficiency,
        stiffness: stiffness as AngularStiffness,
        damping: (2 * dampingRatio * Math.sqrt(stiffness * reduced)) as AngularDamping,
        backlash: backlash as Angle,
      },
    ],
    stop: { kind: "hard", restitution: 0 },
    batteryCurrent: (power) => batteryCurrent(v.voltage, 0, power),
  };
}

const order = { sense: 1, start: 0 as Angle, horizon: horizon as Time } as const;
const whole = { ...order, isWhole: true } as const;
/** A run this tight is converged against the others. */
const converged = 1e-10;
/** Times at which trajectories are compared. */
const points = 300;

interface Trajectory {
  /** Ball's angle over travel, its speed over the no-load speed, torque of the shaft over its greatest. */
  readonly angle: Float64Array;
  readonly speed: Float64Array;
  readonly torque: Float64Array;
}

function trajectory(train: CompliantTrain, tolerance: number): Trajectory {
  const rows = {
    angle: new Float64Array(points),
    speed: new Float64Array(points),
    torque: new Float64Array(points),
  };
  const noLoad = openingValve.voltage / openingValve.torqueConstant / openingValve.ratio;
  const impact = noLoad * Math.sqrt(stiffness * stemInertia(train));
  let next = 0;
  const y = new Float64Array(5);
  runChain(train, {
    ...whole,
    tolerance,
    watch: (step, equations, t, h, share) => {
      for (; next < points; next++) {
        const time = (horizon * (next + 0.5)) / points;
        if (time > t + share * h) return;
        step.along((time - t) / h, y);
        equations.torques(y);
        rows.angle[next] = (y[1] ?? 0) / openingValve.travel;
        rows.speed[next] = (y[3] ?? 0) / noLoad;
        rows.torque[next] = (equations.torque[0] ?? 0) / impact;
      }
    },
  });
  return rows;
}

function farthest(a: Trajectory, b: Trajectory): string {
  const of = (key: keyof Trajectory) =>
    a[key].reduce((worst, value, j) => Math.max(worst, Math.abs(value - (b[key][j] ?? 0))), 0);
  const digits = (value: number) => value.toExponential(0);
  return `angle within ${digits(of("angle"))} of travel, speed ${digits(of("speed"))} of no load, torque ${digits(of("torque"))} of impact`;
}

/** Tolerances of a step at which the whole trajectory is within 1e-4 and the opening time within 1e-5. */
const forTrajectory = 1e-6;
const forTime = 3e-3;
const damped = 0.05;
const slipping = 0.02;

export const compliantOpening: Bench = {
  name: "one compliant opening",
  budget: { kind: "at most", value: 1e-3, setWhere: budgetMachine },
  run: () => {
    const train = benchChain(damped);
    const worst = farthest(trajectory(train, forTrajectory), trajectory(train, converged));
    return {
      value: timeOfCall(() => runChain(train, { ...whole, tolerance: forTrajectory }).end),
      unit: "s",
      accuracy: `whole trajectory with wind-up: ${worst}`,
    };
  },
};

export const compliantTime: Bench = {
  name: "compliant opening time alone",
  budget: { kind: "at most", value: 0.2e-3, setWhere: budgetMachine },
  run: () => {
    const train = benchChain(damped);
    const time = (tolerance: number) =>
      runChain(train, { ...order, endsAtStop: true, tolerance }).arrival ?? Number.NaN;
    const error = Math.abs(time(forTime) / time(converged) - 1);
    return {
      value: timeOfCall(() => time(forTime)),
      unit: "s",
      accuracy: `opening time within ${error.toExponential(0)} of converged`,
    };
  },
};

/** No budget: a ball that sticks and slips thirty times is at least six times the work. */
export const compliantSlipping: Bench = {
  name: "compliant opening in stick and slip",
  budget: { kind: "none" },
  run: () => {
    const train = benchChain(slipping);
    const { steps, events, arrival } = runChain(train, { ...whole, tolerance: forTrajectory });
    const reference = runChain(train, { ...whole, tolerance: converged });
    const error = Math.abs((arrival ?? Number.NaN) / (reference.arrival ?? Number.NaN) - 1);
    return {
      value: timeOfCall(() => runChain(train, { ...whole, tolerance: forTrajectory }).end),
      unit: "s",
      accuracy: `${steps} steps, ${events} events (converged ${reference.events}), opening time within ${error.toExponential(0)}`,
    };
  },
};
