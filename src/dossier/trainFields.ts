/** Fields about what yields between motor and ball: stiffness, backlash, damping, and the end stop. */
import type { Bounds } from "../quantity/index.js";
import { choice, quantity, section } from "./field.js";

const positive: Bounds = { minExclusive: 0 };
const notNegative: Bounds = { min: 0 };
const damping: Bounds = {
  min: 0,
  max: 1,
  because: "It is a share of the damping with which nothing swings any more.",
};
const restitution: Bounds = {
  min: 0,
  maxExclusive: 1,
  because: "A stop gives back less speed than it takes.",
};

/** Of a stage of `drive.stages`. */
export const stageStiffness = quantity(
  "angular stiffness",
  positive,
  "Torsional stiffness at the stage's output, input held; data sheets give it per arcmin.",
  "3 N m/arcmin",
);

/** Of `valve.stem`. */
export const stemStiffness = quantity(
  "angular stiffness",
  positive,
  "Torque per twist between coupling and ball; left out: from the sections of the stem, where each has its length.",
  "1400 N m/rad +/- 10 %",
);

/** `drive.coupling`. */
export const couplingFields = section(
  {
    stiffness: quantity("angular stiffness", positive, "Its torsional stiffness.", "2500 N m/rad +/- 15 %"),
    inertia: quantity(
      "inertia",
      positive,
      "The part of `valve.inertia` that turns on the gear's side of its spring; needed with a stop at the gear output, left out otherwise: all turns with the ball.",
      "60 g cm2",
    ),
    backlash: quantity(
      "angle",
      notNegative,
      "Its backlash, from flank to flank; 0 deg for none.",
      "5 arcmin",
    ),
    rated_torque: quantity("torque", positive, "Torque it bears on and on.", "30 N m"),
    momentary_torque: quantity("torque", positive, "Torque it bears for a moment.", "60 N m"),
  },
  "Coupling between the last stage and the stem.",
);

/** `drive.twist_damping`. */
export const twistDamping = quantity(
  "ratio",
  damping,
  "Damping of stages, coupling and stem in twist, as a share of the critical one; left out: none, the greatest torques.",
  "{ from: 0.01, to: 0.06 }",
);

/** `drive.stop`. */
export const stopFields = section(
  {
    at: choice(
      ["stem", "gear output"],
      "What the stop holds: `stem`, the ball and stem; `gear output`, the shaft ahead of the coupling. Left out: the stem.",
    ),
    stiffness: quantity(
      "angular stiffness",
      positive,
      "Torque per angle of the stop and what carries it; left out: a stop that does not yield, the hardest.",
      "8000 N m/rad",
    ),
    damping_ratio: quantity(
      "ratio",
      damping,
      "Damping of a stop with a stiffness, as a share of the critical one for the part that meets it (ball and stem, or the coupling's half at the gear); left out: from `restitution`, or none.",
      "0.2",
    ),
    restitution: quantity(
      "ratio",
      restitution,
      "Share of the speed that the stop gives back; left out: `drive.stop_restitution`.",
      "0.3",
    ),
    momentary_torque: quantity("torque", positive, "Torque that the stop bears for a moment.", "120 N m"),
  },
  "End stops of the travel.",
);
