/**
 * What a contribution to the turning torque is, and what it may depend on.
 *
 * Every contribution is linear in the state of the valve, so that one evaluation serves the ledger,
 * and the sum of the factors serves the ten thousand openings of a band.
 */
import type {
  Angle,
  AngularDamping,
  AngularSpeed,
  Force,
  Length,
  PressureDifference,
  Torque,
} from "../../quantity/index.js";

/** A ball held by its seats: pressure pushes it onto the seat at the lower pressure. */
export interface FloatingSupport {
  readonly kind: "floating";
  /**
   * Share of the preload that the seat at the higher pressure keeps, 0 to 1 [-]. It falls to 0 when
   * the ball shifts by more than the preload deflection; 1 is the higher torque.
   */
  readonly preloadKept: number;
}

/** A ball held by trunnions, with seats pushed on by springs and by pressure. */
export interface TrunnionSupport {
  readonly kind: "trunnion";
  /** Radius of the seal of the seat ring in the body, at least the contact radius [m]. */
  readonly sealRadius: Length;
  /** Seats that pressure pushes on the ball: 1 as usual, 2 for seats of double piston effect. */
  readonly pressurisedSeats: 1 | 2;
  /** Journal diameter of the trunnions [m]. */
  readonly journalDiameter: Length;
  /** Friction coefficient of the trunnion bearings [-]. */
  readonly journalFriction: number;
}

/** Stem packing described by its geometry. */
export interface PackingRings {
  readonly kind: "rings";
  /** Friction coefficient of packing on stem [-]. */
  readonly friction: number;
  readonly stemDiameter: Length;
  /** Height of the packing set [m]. */
  readonly height: Length;
  /** Radial stress of the packing on the stem [Pa]. */
  readonly radialStress: PressureDifference;
}

/** Stem packing described by its measured running torque. */
export interface MeasuredPacking {
  readonly kind: "measured";
  readonly torque: Torque;
}

/** Collar that keeps the stem in the body against the pressure. */
export interface ThrustCollar {
  readonly friction: number;
  /** Diameter of the stem where it is sealed: pressure acts on this circle [m]. */
  readonly stemDiameter: Length;
  readonly outerRadius: Length;
  readonly innerRadius: Length;
  /** `new`: even pressure, the higher torque; `worn`: even wear. */
  readonly condition: "new" | "worn";
}

/** A journal bearing with a constant load. */
export interface JournalBearing {
  readonly name: string;
  readonly friction: number;
  readonly diameter: Length;
  readonly load: Force;
}

/** Torque coefficient C_T against opening from closed; positive closes the valve. */
export type TorqueCoefficientCurve = (angleFromClosed: Angle) => number;

/** Torque of the flow on the ball. */
export interface FlowOnBall {
  readonly boreDiameter: Length;
  /** Factor on the curve, for its uncertainty [-]. */
  readonly scale: number;
  readonly coefficient: TorqueCoefficientCurve;
}

/**
 * What the turning torque is made of, every value at the temperature of its own part. There are no
 * optional fields: what a valve does not have is said to be "none", what is excluded is zero.
 */
export interface TurningInputs {
  readonly ballRadius: Length;
  /** Radius of the contact circle of seat on ball [m]. */
  readonly seatContactRadius: Length;
  /** Running friction coefficient of seat on ball [-]. */
  readonly seatFriction: number;
  /** Axial preload of each of the two seats [N]. */
  readonly seatPreload: Force;
  readonly support: FloatingSupport | TrunnionSupport;
  readonly packing: PackingRings | MeasuredPacking | "none";
  readonly thrustCollar: ThrustCollar | "none";
  /** Bearings beside the trunnions. */
  readonly bearings: readonly JournalBearing[];
  readonly flowOnBall: FlowOnBall | "none";
  /** Declared extra friction of ice or stiff grease; zero excludes it [N m]. */
  readonly iceTorque: Torque;
  /** Speed-proportional resistance at the stem [N m s/rad]. */
  readonly viscousDamping: AngularDamping;
  /** Breakaway over running friction without dwell, of each pair of surfaces. */
  readonly breakawayRatio: BreakawayRatios;
  /** Growth of breakaway by standing under load, >= 1 [-]. */
  readonly dwellFactor: number;
  /** How breakaway falls to running friction with speed; "none": at once. */
  readonly stribeck: StribeckFall | "none";
}

/** Breakaway over running friction without dwell, >= 1 each [-]. */
export interface BreakawayRatios {
  readonly seat: number;
  readonly packing: number;
  readonly collar: number;
  /** Of the trunnions and of any other journal. */
  readonly bearing: number;
}

/** Fall of friction from breakaway to running with speed. */
export interface StribeckFall {
  /** Speed at which the excess has fallen to 1/e, > 0 [rad/s]. */
  readonly speed: AngularSpeed;
  /** Exponent of the fall, > 0; 1 or 2 in use [-]. */
  readonly exponent: number;
}

/** State of the valve that the turning torque depends on. */
export interface TurningState {
  /** Opening from closed [rad]. */
  readonly angle: Angle;
  /** Pressure drop across the valve at that opening, of either sign [Pa]. */
  readonly valveDrop: PressureDifference;
  /** Pressure in the body above that around the stem [Pa]; below zero it puts no load on the collar. */
  readonly bodyGaugePressure: PressureDifference;
}

/** Magnitude of a contribution as factors on the state; running values, without breakaway. */
export interface TermLoad {
  /** Independent of the state [N m]. */
  readonly constant: number;
  /** Per magnitude of the valve drop [m3]. */
  readonly perDrop: number;
  /** Per gauge pressure in the body, if above zero [m3]. */
  readonly perBodyPressure: number;
  /** Per product of torque coefficient C_T(angle) and magnitude of the valve drop [m3]. */
  readonly perCoefficientDrop: number;
  /** Per magnitude of the speed [N m s/rad]. */
  readonly perSpeed: number;
}

/** Nothing; a term states the factors it has: `{ ...noLoad, constant: T }`. */
export const noLoad: TermLoad = {
  constant: 0,
  perDrop: 0,
  perBodyPressure: 0,
  perCoefficientDrop: 0,
  perSpeed: 0,
};

/**
 * One contribution to the turning torque. To add one:
 *
 * 1. Write `src/physics/seat/<term>.ts`: the equation as a function of its own with source and
 *    validity, and a `TurningTerm` whose `load` evaluates it.
 * 2. `load` returns magnitudes as factors on the state and has no memory. What the term needs beyond
 *    `TurningInputs` becomes a required field there.
 * 3. `character` fixes the sense: "friction" and "viscous" oppose motion whatever its sense;
 *    "flow" acts towards closed where positive, so it resists opening and helps closing.
 * 4. `breakaway` says which breakaway ratio and whether the dwell factor multiply it at rest. Only
 *    friction may; "viscous" vanishes at rest.
 * 5. `marginClass` is the class of [nasa-std-5017a]: "known" for inertia, gravity, springs and
 *    pressure, "variable" for what changes with life and condition: friction, ice, wear.
 * 6. `motorisationClass` is the component of [ecss-e-st-33-01c] it is counted in.
 * 7. Put it into the list in `terms.ts`; it then appears in every ledger, sum and margin.
 * 8. Test it against a published value, and that zero friction makes it zero.
 */
export interface TurningTerm {
  /** Stable key, used in ledgers and effects. */
  readonly id: string;
  /** Name in the answer. */
  readonly name: string;
  readonly character: "friction" | "viscous" | "flow";
  readonly breakaway: { readonly ratio: keyof BreakawayRatios | "none"; readonly dwell: boolean };
  readonly marginClass: "known" | "variable";
  readonly motorisationClass: MotorisationClass;
  load(inputs: TurningInputs): TermLoad;
}

/** Resistive components of the motorisation rule. */
export type MotorisationClass =
  | "inertia"
  | "spring"
  | "magneticLosses"
  | "friction"
  | "hysteresis"
  | "other"
  | "adhesion";
