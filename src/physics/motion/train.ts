/**
 * The rigid drive train: motor, gears and ball as one rotor, and the load it turns.
 *
 * All speeds and torques below are at the stem. With s the sense of motion, N the total ratio and a
 * regime r (forward: motor drives the load; backward: the load drives the motor),
 *
 *   theta' = w
 *   J_r w' = K_r (k i - b N w) - s D_r - s F(theta, w) - H(theta) - B w
 *   L i'   = u V - R i - k N w            full voltage of sense u, R with supply resistance
 *
 *   F(theta, w) = f(theta) + (e(theta) + E) exp(-(w/w_s)^2)
 *
 * K is the stem torque per motor torque, J the inertia with every rotor reflected, D the drive's own
 * speed-independent friction, H the fluid's torque (positive towards closed), f running friction,
 * e what breakaway adds to it, E what dwell adds to that until the ball has first moved.
 * Which regime holds follows from the torque that passes the gears; see docs/theory/motion.md.
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

/** What the gears make of the motor in one regime, at the stem. */
export interface Regime {
  /** Stem torque per motor torque, K [-]. */
  readonly gain: number;
  /** Inertia at the stem, ball included, every rotor weighted as the regime passes it on, J. */
  readonly inertia: Inertia;
  /** Speed-independent friction of motor and gears at the stem, D. */
  readonly friction: Torque;
}

/** Friction and fluid torque at equally spaced angles from closed (0) to wide open. */
export interface AngleLoad {
  /** Distance of the angles. */
  readonly step: Angle;
  /** Number of angles, at least 2. */
  readonly count: number;
  /**
   * Interleaved nodes, 6 numbers each: f, df, e, de, H, dH with slopes per radian [N m, N m/rad].
   * Made by `angleLoad`.
   */
  readonly nodes: Float64Array;
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
  readonly backward: Regime;
  /** The gears without loss: gain N, all inertia and no-load torque passed unweighted. */
  readonly lossless: Regime;
  /** Ball, stem and coupling about the stem axis. */
  readonly loadInertia: Inertia;
  /** Viscous resistance at the stem, B. */
  readonly damping: AngularDamping;
  /** Speed over which breakaway falls to running friction, at the stem. */
  readonly stribeckSpeed: AngularSpeed;
  /** What dwell adds to the breakaway friction at the starting angle until the ball first moves, E. */
  readonly dwellTorque: Torque;
  readonly travel: Angle;
  /** Share of speed kept at the end stop, 0 <= restitution < 1 [-]. */
  readonly restitution: number;
  readonly load: AngleLoad;
}
