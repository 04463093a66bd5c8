/**
 * Gear stages in series between motor and stem.
 *
 * Stage j has ratio n_j, efficiencies, inertia J_j and a torque T_j that turns it unloaded, both at
 * its input. Counted at the motor, a torque behind stage j is divided by n_j g_j, with
 *
 *   forward   g = eta          the gears take their share of what the motor gives
 *   starting  g = eta_0        the same from rest, where a worm's sliding teeth pass on less
 *   backward  g = 1/eta_back   the load must also overcome the gears
 *   lossless  g = 1
 *
 * so that, inwards from the stem, with v_j the speed of stage j's input over the stem's (v_1 = N),
 *
 *   share    c = 1 / prod (n_j g_j)                   motor torque per torque at the stem
 *   inertia  I = c J_load + J_motor N + sum c_j J_j v_j     motor torque per acceleration of the stem
 *   friction D = T_motor + sum c_j T_j                c_j the share ahead of stage j, c_1 = 1
 *
 * A train that locks itself has c = 0 backward: no load at the stem reaches the motor.
 * Derived in docs/theory/drive.md.
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
  /** Share of power passed on as the stage starts from rest under load, 0 < eta_0 <= eta. */
  readonly startingEfficiency: number;
  /** Share of power passed back when the load drives, 0 <= eta_back <= 1; 0 locks itself. */
  readonly backEfficiency: number;
  /** Torque at the input that turns the stage unloaded, >= 0. */
  readonly noLoadTorque: Torque;
  /** Inertia at the input, >= 0. */
  readonly inertia: Inertia;
}

/** What the gears make of motor and load in one regime, counted at the motor. */
export interface GearRegime {
  /** Motor torque per torque at the stem, c [-]. */
  readonly loadShare: number;
  /** Motor torque per acceleration of the stem, ball, stages and rotor included, I [kg m2]. */
  readonly inertia: Inertia;
  /** Speed-independent friction of motor and stages, D [N m]. */
  readonly friction: Torque;
}

export interface GearTrain {
  /** Motor speed over stem speed, N [-]. */
  readonly ratio: number;
  readonly forward: GearRegime;
  /** From rest, as the motor breaks the load away. */
  readonly starting: GearRegime;
  readonly backward: GearRegime;
  readonly lossless: GearRegime;
}

/**
 * Back-driving efficiency of a stage that loses the same both ways.
 *
 *   eta_back = 2 - 1/eta, not below 0
 *
 * @param efficiency  forward, 0 < eta <= 1 [-]
 * @returns           eta_back; 0 (locks itself) for eta <= 0.5 [-]
 * Valid for          friction proportional to the load; a stage that turns by itself under vibration
 *                    is not covered.
 * Source             [niemann-winter-1983], from memory
 */
export function backEfficiency(efficiency: number): number {
  return Math.max(2 - 1 / efficiency, 0);
}

/**
 * Brings motor and load together at the motor.
 * @param rotorInertia   of the motor, > 0 [kg m2];  @param motorFriction  speed-independent, at its shaft, >= 0 [N m]
 * @param loadInertia    ball, stem and coupling, >= 0 [kg m2];  @param stages  from motor to stem, none for direct drive
 * Source                statics of gears in series [leonhard-2001]; docs/theory/drive.md
 */
export function gearTrain(
  rotorInertia: Inertia,
  motorFriction: Torque,
  loadInertia: Inertia,
  stages: readonly GearStage[],
): GearTrain {
  let ratio = 1;
  for (const stage of stages) ratio *= stage.ratio;
  const regime = (lossOf: (stage: GearStage) => number): GearRegime => {
    let speed = 1;
    let loadShare = 1;
    let inertia: number = loadInertia;
    let friction = 0;
    for (let j = stages.length - 1; j >= 0; j--) {
      const stage = stages[j];
      if (stage === undefined) continue;
      const passed = lossOf(stage) / stage.ratio;
      speed *= stage.ratio;
      loadShare *= passed;
      inertia = inertia * passed + stage.inertia * speed;
      friction = friction * passed + stage.noLoadTorque;
    }
    return {
      loadShare,
      inertia: (inertia + rotorInertia * speed) as Inertia,
      friction: (friction + motorFriction) as Torque,
    };
  };
  return {
    ratio,
    forward: regime((stage) => 1 / stage.efficiency),
    starting: regime((stage) => 1 / stage.startingEfficiency),
    backward: regime((stage) => stage.backEfficiency),
    lossless: regime(() => 1),
  };
}

/** Whether no load at the stem can turn the motor: one stage that passes nothing back is enough. */
export function isSelfLocking(stages: readonly GearStage[]): boolean {
  return stages.some((stage) => stage.backEfficiency <= 0);
}

/**
 * Factor on the first stage's ratio that just lets the drive break away, everything else kept.
 *
 *   x = (c T_load + sum_(j>1) c_j T_j) / (T_motor - T_f - T_1)
 *
 * @param motorTorque    greatest electromagnetic torque at standstill [N m]
 * @param motorFriction  of the motor alone, T_f >= 0 [N m]
 * @param loadTorque     breakaway torque at the stem [N m]
 * @param stages         from motor to stem
 * @returns              factor > 0, or undefined if the motor cannot turn its own first stage
 * Derived in docs/theory/drive.md.
 */
export function lowestRatioFactor(
  motorTorque: Torque,
  motorFriction: Torque,
  loadTorque: Torque,
  stages: readonly GearStage[],
): number | undefined {
  const { starting } = gearTrain(0 as Inertia, 0 as Torque, 0 as Inertia, stages);
  const first = stages[0]?.noLoadTorque ?? 0;
  const left = motorTorque - motorFriction - first;
  return left > 0 ? (starting.loadShare * loadTorque + starting.friction - first) / left : undefined;
}

/**
 * Ratio of greatest load acceleration at a constant motor torque.
 *
 *   N = T_L/(eta T_m) + sqrt((T_L/(eta T_m))^2 + J_L/(eta J_m))
 *
 * Without load torque and loss it is sqrt(J_L/J_m): equal reflected inertia.
 *
 * @param loadTorque   constant, at the stem, >= 0 [N m];  @param motorTorque  constant, > 0 [N m]
 * @param efficiency   of the gears, 0 < eta <= 1 [-]
 * @param loadInertia  at the stem, >= 0 [kg m2];  @param motorInertia  > 0 [kg m2]
 * @returns            ratio [-]
 * Valid for           one stage or a train of one efficiency, speed far below the no-load speed.
 * Source              d(alpha_L)/dN = 0 for alpha_L = (eta N T_m - T_L)/(J_L + eta N^2 J_m), docs/theory/drive.md
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
