/** The plane of motor speed and torque: what current limit and voltage allow, and the path of the opening in it. */
import type { Figure, Mark } from "../picture/index.js";
import type { MotorCurve, StrokeHistory } from "../predict/index.js";
import type { Context } from "./context.js";
import { inUnit } from "./inUnit.js";
import { quantityWords } from "./words.js";

/** The path, and the two bounds, reach this far beyond what is needed to see them [-]. */
const beyond = 1.15;

/**
 * Torque of the motor's current, k i, against its speed, before its own friction; none where nothing moves it.
 *
 *   by the current limit  T = k i_lim,   by the voltage  T = k (V - k w)/R
 *
 * Source [leonhard-2001]; R with battery and cable, so that the voltage is that of the open circuit.
 */
export function motorFigure(context: Context, stroke: StrokeHistory): readonly Figure[] {
  const motor = context.prediction.nominal.drive?.motor;
  if (motor === undefined) return [];
  const speed = stroke.speed_rad_s.map((w) => motor.ratio * w);
  const torque = stroke.current_A.map((i) => motor.torqueConstant_Nm_A * i);
  const [fastest, strongest] = [Math.max(0, ...speed), Math.max(0, ...torque)];
  const byLimit =
    motor.currentLimit_A === undefined ? undefined : motor.torqueConstant_Nm_A * motor.currentLimit_A;
  const atRest = byVoltage(motor, 0);
  const end = Math.max(motor.noLoadSpeed_rad_s, beyond * fastest);
  return [
    {
      kind: "plot",
      id: "opening-motor",
      title: "Motor torque against motor speed, opening",
      words: `Torque of the motor's current, before its own friction, against its speed: the opening reaches ${quantityWords(fastest, "angular speed", "rpm")} and ${quantityWords(strongest, "torque")}. ${
        byLimit === undefined
          ? "The driver's current limit is not known."
          : `The current limit allows ${quantityWords(byLimit, "torque")}`
      }${byLimit === undefined ? " The" : ", the"} voltage ${quantityWords(atRest, "torque")} at rest and none from ${quantityWords(motor.noLoadSpeed_rad_s, "angular speed", "rpm")} on; while the current falls, the winding's inductance carries it a little past the voltage's line.`,
      x: { label: "Motor speed", unit: "rpm", range: [0, inRpm([end])[0] ?? 0] },
      y: {
        label: "Motor torque",
        unit: "N m",
        range: [Math.min(0, ...torque), reach(strongest, byLimit, atRest)],
      },
      marks: [...bounds(motor, byLimit, end), ...path(speed, torque)],
    },
  ];
}

/** Torque that the voltage allows at a speed, k (V - k w)/R [N m]. */
function byVoltage(
  { torqueConstant_Nm_A: k, openCircuitVoltage_V: V, resistance_Ohm: R }: MotorCurve,
  w: number,
) {
  return (k * (V - k * w)) / R;
}

const inRpm = (speeds: readonly number[]) => inUnit(speeds, "angular speed", "rpm");

/** The path and the lower of the two bounds are seen; what the voltage allows at rest can lie far above both. */
function reach(strongest: number, byLimit: number | undefined, atRest: number): number {
  return beyond * Math.max(strongest, Math.min(byLimit ?? Number.POSITIVE_INFINITY, atRest));
}

/** The two bounds, each where it is the lower one drawn as available, and as a thin line where the other rules. */
function bounds(motor: MotorCurve, byLimit: number | undefined, end: number): readonly Mark[] {
  const ends = [0, motor.noLoadSpeed_rad_s];
  const voltage: Mark = {
    kind: "line",
    role: "available",
    label: "by the voltage",
    x: inRpm(ends),
    y: ends.map((w) => byVoltage(motor, w)),
  };
  if (byLimit === undefined) return [voltage];
  return [
    voltage,
    {
      kind: "line",
      role: "available",
      label: "by the current limit",
      x: inRpm([0, end]),
      y: [byLimit, byLimit],
    },
  ];
}

/** The opening from its command to its end. */
function path(speed: readonly number[], torque: readonly number[]): readonly Mark[] {
  return [
    { kind: "line", role: "prediction", label: "path of the opening", x: inRpm(speed), y: torque },
    {
      kind: "points",
      role: "prediction",
      label: "end of the opening",
      x: inRpm(speed.slice(-1)),
      y: torque.slice(-1),
    },
  ];
}
