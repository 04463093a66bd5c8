/**
 * The compliant drive train: rotor, gear stages, coupling, stem and ball as bodies on springs with backlash.
 *
 * Each body turns at its own shaft, the ball last. Link l joins body l to body l + 1 by a gear of ratio n
 * (1 for a coupling or shaft) with a spring k and a damper c behind it, and backlash b:
 *
 *   twist     phi = theta_l / n - theta_(l+1)
 *   torque    tau = k (phi -/+ b/2) + c phi'      in contact, never pulling; 0 within the backlash
 *   input     m tau,   m = 1/(n eta) where the motor side drives, eta_back/n where it is driven
 *
 *   rotor     J w' = k_t i - b_m w - s C - m tau
 *   middle    J w' = tau_before - s C - m tau_behind
 *   ball      J w' = tau_before - s F(theta, w) - H(theta) - B w - tau_stop
 *   current   L i' = u V - R i - k_t w
 *
 *   F(theta, w) = f(theta) + (e(theta) + E) exp(-(w/w_s)^2)
 *
 * s is the sense of the body's own motion, C the friction at its shaft, and friction holds a body at rest until
 * what acts on it exceeds C and the loss of its mesh, or breakaway. Rigid, with the backlash taken up, these are
 * the equations of the rigid train. Derived in docs/theory/compliant.md.
 *
 * Sources: motor and gears in series [leonhard-2001]; backlash as dead zone with spring and damper
 * [nordin-gutman-2002]; speed-dependent friction [armstrong-helouvry-1994, sec. 2].
 */
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
} from "../../quantity/index.js";

/** A body at its own shaft. */
export interface Body {
  /** > 0. */
  readonly inertia: Inertia;
  /** Friction independent of speed and load: of the motor, and of the stage that the body drives unloaded; >= 0. */
  readonly friction: Torque;
}

/** What joins a body to the next one. */
export interface Link {
  /** Speed before it over speed behind it, > 0. */
  readonly ratio: number;
  /** Shares of power passed on in motion, from rest, and back; 1 for a shaft [-]. */
  readonly efficiency: number;
  readonly startingEfficiency: number;
  readonly backEfficiency: number;
  /** Torque at its output per twist there, > 0. */
  readonly stiffness: AngularStiffness;
  /** Torque at its output per speed of the twist, >= 0. */
  readonly damping: AngularDamping;
  /** Play at its output, from flank to flank, >= 0. */
  readonly backlash: Angle;
}

/** What ends the travel, at both ends alike. */
export type EndStop =
  /** Throws a share of the ball's speed back at one instant, 0 <= restitution < 1 [-]. */
  | { readonly kind: "hard"; readonly restitution: number }
  /** Spring and damper on a body at stem speed (the ball, or the gear's output), never pulling. */
  | {
      readonly kind: "soft";
      readonly body: number;
      readonly stiffness: AngularStiffness;
      readonly damping: AngularDamping;
    };

/** Friction and fluid torque over the travel as smooth curves, as the rigid train has them. */
export interface LoadCurves {
  /** Distance of the nodes. */
  readonly step: Angle;
  /** Number of nodes, at least 2: closed (0) to wide open. */
  readonly count: number;
  /**
   * count + 1 rows of 3 curves of 4 coefficients: friction f, excess e, fluid torque H [N m], each
   * y + x (m + x (q + x r)) with x in steps from the row's node; the outer rows carry on straight.
   */
  readonly rows: Float64Array;
}

/** One compliant train at given conditions. */
export interface CompliantTrain {
  readonly resistance: Resistance;
  readonly inductance: Inductance;
  readonly torqueConstant: TorqueConstant;
  /** Speed-proportional loss of the motor at its own shaft. */
  readonly motorDamping: AngularDamping;
  /** What of the rotor's friction is the motor's own. */
  readonly motorFriction: Torque;
  readonly openCircuitVoltage: Voltage;
  /** Battery, cable and connectors. */
  readonly supplyResistance: Resistance;
  /** Infinity where the driver does not limit. */
  readonly currentLimit: Current;
  readonly deadTime: Time;
  /** Rotor first, ball last: at least two. */
  readonly bodies: readonly Body[];
  /** One fewer than bodies; link l between bodies l and l + 1. */
  readonly links: readonly Link[];
  readonly stop: EndStop;
  /** Viscous resistance at the stem, B. */
  readonly damping: AngularDamping;
  /** Speed over which breakaway falls to running friction, at the stem. */
  readonly stribeckSpeed: AngularSpeed;
  /** What dwell adds to the breakaway friction until the ball has moved and come to rest again, E. */
  readonly dwellTorque: Torque;
  readonly travel: Angle;
  readonly load: LoadCurves;
  /** Battery current for a terminal power while the driver chops [W] -> [A]. */
  readonly batteryCurrent: (power: number) => number;
}
