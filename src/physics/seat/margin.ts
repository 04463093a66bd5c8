/**
 * Torque margin by the two rules in use. The factors are data (data/margins), chosen by rule,
 * programme phase and whether a contribution was measured.
 *
 * A contribution that helps the motion earns no credit: the flow that closes a valve can be absent.
 */
import type { Torque } from "../../quantity/index.js";
import { requireNotNegative, requirePositive } from "../../quantity/index.js";
import type { MotorisationClass } from "./term.js";
import type { TurningContribution } from "./turning.js";

/** Factors of the torque margin in one programme phase. */
export interface MarginFactors {
  /** On known torques: inertia, gravity, springs, pressure, >= 1 [-]. */
  readonly known: number;
  /** On variable torques: friction, ice, wear, >= 1 [-]. */
  readonly variable: number;
}

/** Resisting torque by class. */
export interface ResistingTorque {
  readonly known: Torque;
  readonly variable: Torque;
}

/** Margin against one rule. */
export interface TorqueMargin {
  /** T_available / T_required - 1 [-]; undefined where nothing resists. */
  readonly margin: number | undefined;
  /** Factored resisting torque [N m]. */
  readonly required: Torque;
  /** True if the available torque reaches the factored one. */
  readonly holds: boolean;
}

/**
 * Torque margin with separate factors on known and variable torques.
 *
 *   TM = T_available / (FS_k T_k + FS_v T_v) - 1 >= 0
 *
 * @param available  torque of the drive at the stem after gear losses, at the speed, temperature and
 *                   voltage concerned [N m]
 * @param resisting  known and variable resisting torque, >= 0 [N m]
 * @param factors    FS_k and FS_v of the phase
 * Source            [nasa-std-5017a, clause number not known], [gsfc-std-7000], from memory.
 */
export function torqueMargin(
  available: Torque,
  resisting: ResistingTorque,
  factors: MarginFactors,
): TorqueMargin {
  requireNotNegative(resisting.known, "known resisting torque", "torque", "Give its magnitude.");
  requireNotNegative(resisting.variable, "variable resisting torque", "torque", "Give its magnitude.");
  requirePositive(factors.known, "factor on known torques", "ratio", "The rule multiplies by it.");
  requirePositive(factors.variable, "factor on variable torques", "ratio", "The rule multiplies by it.");
  return marginAgainst(available, factors.known * resisting.known + factors.variable * resisting.variable);
}

/** Sums the resisting contributions by margin class; those that help are left out. */
export function resistingTorque(contributions: readonly TurningContribution[]): ResistingTorque {
  let known = 0;
  let variable = 0;
  for (const { term, torque } of contributions) {
    if (torque <= 0) continue;
    if (term.marginClass === "known") known += torque;
    else variable += torque;
  }
  return { known: known as Torque, variable: variable as Torque };
}

/** Torques of the motorisation rule, all >= 0 [N m]. */
export type MotorisationTorques = Readonly<Record<MotorisationClass, Torque>> & {
  /** T_D: torque that accelerates the driven inertia where a speed is required. */
  readonly dynamic: Torque;
  /** T_L: output torque to be delivered. */
  readonly deliverable: Torque;
};

/** Factors of the motorisation rule. */
export type MotorisationFactors = Readonly<Record<MotorisationClass, number>> & {
  /** On the factored sum of the resistive components. */
  readonly overall: number;
  readonly dynamic: number;
  readonly deliverable: number;
};

const motorisationClasses: readonly MotorisationClass[] = [
  "inertia",
  "spring",
  "magneticLosses",
  "friction",
  "hysteresis",
  "other",
  "adhesion",
];

/**
 * Least torque of the actuator by the motorisation rule.
 *
 *   T_min = 2 (1.1 T_I + 1.2 T_S + 1.5 H_M + 3 F_R + 3 H_Y + 3 H_A + 3 H_D) + 1.25 T_D + T_L
 *
 * @param torques  components, >= 0 [N m]
 * @param factors  factors, theoretical or measured
 * @returns        T_min at the stem [N m]
 * Source          [ecss-e-st-33-01c, clause 4.7.5.3 and table 4-2], from memory.
 */
export function motorisationTorque(torques: MotorisationTorques, factors: MotorisationFactors): Torque {
  let resistive = 0;
  for (const name of motorisationClasses) {
    requireNotNegative(torques[name], `${name} torque`, "torque", "Give its magnitude.");
    resistive += factors[name] * torques[name];
  }
  requireNotNegative(torques.dynamic, "dynamic torque", "torque", "Give its magnitude.");
  requireNotNegative(torques.deliverable, "deliverable torque", "torque", "Give its magnitude.");
  return (factors.overall * resistive +
    factors.dynamic * torques.dynamic +
    factors.deliverable * torques.deliverable) as Torque;
}

/** The drive held against the motorisation rule. Arguments as `motorisationTorque`. */
export function motorisationMargin(
  available: Torque,
  torques: MotorisationTorques,
  factors: MotorisationFactors,
): TorqueMargin {
  return marginAgainst(available, motorisationTorque(torques, factors));
}

/**
 * Resisting contributions as motorisation components; those that help are left out.
 *
 * @param contributions  ledger of the turning torque
 * @param inertia        torque that accelerates the train, magnitude [N m]
 * @param magneticLosses cogging and magnetic drag of the motor, at the stem [N m]
 */
export function motorisationTorques(
  contributions: readonly TurningContribution[],
  inertia: Torque,
  magneticLosses: Torque,
): MotorisationTorques {
  const sum = (name: MotorisationClass): Torque => {
    let total = 0;
    for (const { term, torque } of contributions) {
      if (term.motorisationClass === name && torque > 0) total += torque;
    }
    return total as Torque;
  };
  return {
    inertia: (sum("inertia") + inertia) as Torque,
    spring: sum("spring"),
    magneticLosses: (sum("magneticLosses") + magneticLosses) as Torque,
    friction: sum("friction"),
    hysteresis: sum("hysteresis"),
    other: sum("other"),
    adhesion: sum("adhesion"),
    dynamic: 0 as Torque,
    deliverable: 0 as Torque,
  };
}

function marginAgainst(available: Torque, required: number): TorqueMargin {
  return {
    margin: required > 0 ? available / required - 1 : undefined,
    required: required as Torque,
    holds: available >= required,
  };
}
