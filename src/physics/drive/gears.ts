/**
 * Gear stages in series between motor and stem.
 *
 * Stage j has ratio n_j, efficiency eta_j when the motor drives, and a torque at its input that turns
 * it unloaded. A torque that enters stage j reaches the stem multiplied by G_j, the product of n g over
 * the stages j..last, with
 *
 *   forward   g = eta          the gears take their share of what the motor gives
 *   backward  g = 1/eta_back   the load must also overcome the gears; eta_back = 2 - 1/eta
 *   lossless  g = 1
 *
 * so that at the stem, with v_j the speed of stage j's input over the stem's (v_1 = N),
 *
 *   gain = G_1,   inertia = J_load + J_motor N G_1 + sum J_j v_j G_j,   friction = T_motor G_1 + sum T_j G_j.
 *
 * Derived in docs/theory/motion.md. eta_back: [niemann-winter-1983], same loss both ways.
 *
 * To add a kind of stage: give it ratio, efficiencies, no-load torque and inertia as below, from its
 * own file and inputs, and one line in index.ts.
 */
import type { Inertia, Torque } from "../../quantity/index.js";

export interface GearStage {
  /** Input speed over output speed, > 0. */
  readonly ratio: number;
  /** Share of power passed on when the motor drives, 0 < eta <= 1. */
  readonly efficiency: number;
  /** Share of power passed back when the load drives, 0 <= eta_back <= 1; 0 locks itself. */
  readonly backEfficiency: number;
  /** Torque at the input that turns the stage unloaded. */
  readonly noLoadTorque: Torque;
  /** Inertia at the input. */
  readonly inertia: Inertia;
}

/** What one regime makes of motor and gears at the stem. */
export interface GearRegime {
  readonly gain: number;
  readonly inertia: Inertia;
  readonly friction: Torque;
}

export interface GearTrain {
  /** Motor speed over stem speed. */
  readonly ratio: number;
  readonly forward: GearRegime;
  readonly backward: GearRegime;
  readonly lossless: GearRegime;
}

/**
 * A self-locking train would need an infinite torque to be driven back. It is given this back
 * efficiency instead: any load then stops it within a fraction of a millisecond.
 */
const selfLockingFloor = 0.01;

/** Back-driving efficiency of a stage with the same loss both ways, 2 - 1/eta, not below 0 [-] [niemann-winter-1983]. */
export function backEfficiency(efficiency: number): number {
  return Math.max(2 - 1 / efficiency, 0);
}

/**
 * Brings motor and stages to the stem.
 * @param rotorInertia of the motor [kg m2];  @param motorFriction speed-independent, at its shaft [N m]
 * @param loadInertia ball, stem and coupling [kg m2];  @param stages from motor to stem, none for direct drive
 */
export function gearTrain(
  rotorInertia: Inertia,
  motorFriction: Torque,
  loadInertia: Inertia,
  stages: readonly GearStage[],
): GearTrain {
  let ratio = 1;
  for (const stage of stages) ratio *= stage.ratio;
  const regime = (share: (stage: GearStage) => number): GearRegime => {
    let gain = 1;
    let speed = 1;
    let inertia: number = loadInertia;
    let friction = 0;
    for (let j = stages.length - 1; j >= 0; j--) {
      const stage = stages[j];
      if (stage === undefined) continue;
      gain *= stage.ratio * share(stage);
      speed *= stage.ratio;
      inertia += stage.inertia * speed * gain;
      friction += stage.noLoadTorque * gain;
    }
    return {
      gain,
      inertia: (inertia + rotorInertia * speed * gain) as Inertia,
      friction: (friction + motorFriction * gain) as Torque,
    };
  };
  return {
    ratio,
    forward: regime((stage) => stage.efficiency),
    backward: regime((stage) => 1 / Math.max(stage.backEfficiency, selfLockingFloor)),
    lossless: regime(() => 1),
  };
}

/** Whether no load at the stem can turn the motor. */
export function isSelfLocking(stages: readonly GearStage[]): boolean {
  return stages.some((stage) => stage.backEfficiency <= 0);
}

/**
 * Factor on the first stage's ratio that just lets the drive break away, everything else kept.
 *
 *   x = (T_load + later no-load torques at the stem) / (G_1 (T_motor - T_f - T_1))
 *
 * @param motorTorque greatest electromagnetic torque at standstill [N m]
 * @param loadTorque  breakaway torque at the stem [N m]
 * @returns factor > 0, or undefined if the motor cannot turn its own first stage. Derived in docs/theory/motion.md.
 */
export function lowestRatioFactor(
  motorTorque: Torque,
  motorFriction: Torque,
  loadTorque: Torque,
  stages: readonly GearStage[],
): number | undefined {
  const train = gearTrain(0 as Inertia, 0 as Torque, 0 as Inertia, stages);
  const first = stages[0]?.noLoadTorque ?? 0;
  const perRatio = train.forward.gain * (motorTorque - motorFriction - first);
  if (perRatio <= 0) return undefined;
  const later = train.forward.friction - train.forward.gain * first;
  return (loadTorque + later) / perRatio;
}

/**
 * Ratio of greatest load acceleration at a constant motor torque.
 *
 *   N = T_L/(eta T_m) + sqrt((T_L/(eta T_m))^2 + J_L/(eta J_m))
 *
 * Without load torque and loss it is sqrt(J_L/J_m): equal reflected inertia.
 * Source: d(alpha_L)/dN = 0 for alpha_L = (eta N T_m - T_L)/(J_L + eta N^2 J_m), docs/theory/motion.md.
 */
export function optimumRatio(
  loadTorque: Torque,
  motorTorque: Torque,
  efficiency: number,
  loadInertia: Inertia,
  motorInertia: Inertia,
): number {
  const ratio = loadTorque / (efficiency * motorTorque);
  return ratio + Math.sqrt(ratio * ratio + loadInertia / (efficiency * motorInertia));
}
