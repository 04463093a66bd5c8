/** One rigid opening by the product's engine, on the valve of the reference loop. */
import { gearTrain } from "../src/physics/drive/index.js";
import { angleLoad, type RigidTrain, runStroke, StrokeBuffers } from "../src/physics/motion/index.js";
import type { Angle, Inertia, Resistance, Time, Torque, Voltage } from "../src/quantity/index.js";
import type { Bench } from "./bench.js";
import { convergedOpeningTime, openingValve, rk4, runningTorque } from "./rk4.js";
import { timeOfCall } from "./timing.js";

/** Nodes of the torque curve, as many as a predicted valve has: every 1.5 degrees. */
const nodes = 61;

/** The valve of the reference as a train of the product; back-driving does not occur on it. */
export function benchTrain(): RigidTrain {
  const v = openingValve;
  const running = Float64Array.from({ length: nodes }, (_, j) => runningTorque((v.travel * j) / (nodes - 1)));
  const stage = {
    ratio: v.ratio,
    efficiency: v.efficiency,
    startingEfficiency: v.efficiency,
    backEfficiency: v.efficiency,
    noLoadTorque: 0 as Torque,
    inertia: 0 as Inertia,
  };
  return {
    resistance: v.resistance as Resistance,
    inductance: v.inductance as RigidTrain["inductance"],
    torqueConstant: v.torqueConstant as RigidTrain["torqueConstant"],
    motorDamping: 0 as RigidTrain["motorDamping"],
    motorFriction: 0 as Torque,
    openCircuitVoltage: v.voltage as Voltage,
    supplyResistance: 0 as Resistance,
    currentLimit: Number.POSITIVE_INFINITY as RigidTrain["currentLimit"],
    deadTime: 0 as Time,
    // The reference counts the rotor as N^2 J without the gears' loss: so does a rotor behind them.
    ...gearTrain(0 as Inertia, 0 as Torque, (v.ratio ** 2 * v.motorInertia + v.valveInertia) as Inertia, [
      stage,
    ]),
    damping: 0 as RigidTrain["damping"],
    stribeckSpeed: v.stribeckSpeed as RigidTrain["stribeckSpeed"],
    dwellTorque: 0 as Torque,
    travel: v.travel as Angle,
    restitution: 0,
    load: angleLoad(
      v.travel as Angle,
      running,
      running.map((torque) => torque * (v.breakawayRatio - 1)),
      new Float64Array(nodes),
    ),
  };
}

const order = {
  sense: 1,
  start: 0 as Angle,
  horizon: 5 as Time,
  marks: Float64Array.of(0.1 * openingValve.travel, 0.9 * openingValve.travel),
  // Used again by every stroke, as by the samples of a band.
  buffers: new StrokeBuffers(),
} as const;

export const opening: Bench = {
  name: "one rigid opening",
  budget: { kind: "ratio at most", value: 1 / 8, reference: rk4.name },
  run: () => {
    const train = benchTrain();
    const time = (tolerance?: number) =>
      runStroke(train, tolerance === undefined ? order : { ...order, tolerance }).arrival ?? Number.NaN;
    const own = Math.abs(time() / time(1e-10) - 1);
    const other = Math.abs(time(1e-10) / convergedOpeningTime() - 1);
    return {
      value: timeOfCall(() => time()),
      unit: "s",
      accuracy: `opening time within ${own.toExponential(0)} of its own converged one, that within ${other.toExponential(0)} of the reference's`,
    };
  },
};
