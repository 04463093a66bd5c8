/**
 * The rigid drive train: motor, gears and ball as one rotor, and the load it turns.
 *
 * Angle and speed are the stem's, torques of the load are at the stem, and the equation of motion is
 * counted at the motor. With s the sense of motion, N the total ratio and r the regime of the gears
 * (forward: the motor drives the load; backward: the load drives the motor),
 *
 *   theta' = w
 *   I_r w' = k i - b N w - s D_r - c_r (s F(theta, w) + H(theta) + B w)
 *   L i'   = u V - R i - k N w            full voltage of sense u, R with supply resistance
 *
 *   F(theta, w) = f(theta) + (e(theta) + E) exp(-(w/w_s)^2)
 *
 * c is the motor torque per torque at the stem, I the motor torque per acceleration of the stem, D
 * the drive's own speed-independent friction, H the fluid's torque (positive towards closed), f
 * running friction, e what breakaway adds to it, E what dwell adds to that until the ball has moved
 * and come to rest again. Of the two regimes that one holds which accelerates the ball less:
 *
 *   s w' = min over r of (s w')_r
 *
 * Derived in docs/theory/motion.md.
 *
 * Sources: motor and reflection textbook statics [leonhard-2001]; speed-dependent friction
 * [armstrong-helouvry-1994, sec. 2]; exponent 2 is the Gaussian form.
 */
import type {
  Angle,
  AngularDamping,
  AngularSpeed,
  Current,
  Inductance,
  Inertia,
  Resistance,
  Time,
  Torque,
  TorqueConstant,
  Voltage,
} from "../../quantity/index.js";

/** What the gears make of motor and load in one regime, counted at the motor. */
export interface Regime {
  /** Motor torque per torque at the stem, c >= 0 [-]; 0 backward where the gears lock themselves. */
  readonly loadShare: number;
  /** Motor torque per acceleration of the stem, ball and every rotor included, I > 0. */
  readonly inertia: Inertia;
  /** Speed-independent friction of motor and gears, D >= 0. */
  readonly friction: Torque;
}

/** Friction and fluid torque over the travel as smooth curves; made by `angleLoad`. */
export interface AngleLoad {
  /** Distance of the nodes. */
  readonly step: Angle;
  /** Number of nodes, at least 2: closed (0) to wide open. */
  readonly count: number;
  /**
   * count + 1 rows of 3 curves of 4 coefficients: friction f, excess e, fluid torque H [N m], each
   * y + x (m + x (q + x r)) with x in steps from the row's node. The first and last row carry on
   * straight beyond the ends, for the stages of a step that reach past a stop.
   */
  readonly rows: Float64Array;
}

/** One rigid train at given conditions. */
export interface RigidTrain {
  readonly resistance: Resistance;
  readonly inductance: Inductance;
  readonly torqueConstant: TorqueConstant;
  /** Speed-proportional loss of the motor at its own shaft, b. */
  readonly motorDamping: AngularDamping;
  /** Friction of the motor alone at its own shaft. */
  readonly motorFriction: Torque;
  readonly openCircuitVoltage: Voltage;
  /** Battery, cable and connectors. */
  readonly supplyResistance: Resistance;
  /** Infinity where the driver does not limit. */
  readonly currentLimit: Current;
  readonly deadTime: Time;
  /** Motor speed over stem speed, N. */
  readonly ratio: number;
  readonly forward: Regime;
  /** Forward from rest: what the drive must overcome to break the load away. */
  readonly starting: Regime;
  readonly backward: Regime;
  /** The gears without loss: all torque, inertia and no-load torque passed unweighted. */
  readonly lossless: Regime;
  /** Viscous resistance at the stem, B. */
  readonly damping: AngularDamping;
  /** Speed over which breakaway falls to running friction, at the stem. */
  readonly stribeckSpeed: AngularSpeed;
  /** What dwell adds to the breakaway friction until the ball has moved and come to rest again, E. */
  readonly dwellTorque: Torque;
  readonly travel: Angle;
  /** Share of speed kept at the end stop, 0 <= restitution < 1 [-]. */
  readonly restitution: number;
  readonly load: AngleLoad;
}
