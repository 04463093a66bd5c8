/**
 * What the drive can give at the stem, held against what turning the ball takes: at the start of
 * motion from rest and at the worst opening in motion, opening and closing.
 *
 * At the start the drive gives its standstill torque; in motion, that at the mean speed which the
 * time limit of that sense asks for. Within one sense the available torque is the same at every
 * opening, so the opening of the greatest factored demand has the least margin.
 */
import { type Dossier, isFaulty } from "../dossier/index.js";
import { availableMotorTorque } from "../physics/drive/index.js";
import type { RigidTrain } from "../physics/motion/index.js";
import { type MotorisationTorques, motorisationMargin, torqueMargin } from "../physics/seat/index.js";
import type { AngularSpeed, Resistance, Torque } from "../quantity/index.js";
import { closingDefinition, limitFaults, openingDefinition, wantedSpeed } from "./definition.js";
import { flowMark, type Sense } from "./strokes.js";
import { openings, type ValveSample } from "./valveSample.js";

/** Margins of one sample; each is torque over demand, less one. NaN where no speed is asked for [-]. */
export interface TurningMargins {
  /** Standstill torque over the breakaway torque from closed. */
  readonly breakaway: number;
  /** Torque at the wanted speed over running torque on opening, at the worst opening. */
  readonly running: number;
  /** Standstill torque over what closing takes without help of the flow, at the worst opening. */
  readonly closing: number;
  /** By the factors of [nasa-std-5017a], in both senses, at the worst opening. */
  readonly nasa: number;
  /** By the motorisation rule of [ecss-e-st-33-01c], in both senses, at the worst opening. */
  readonly ecss: number;
}

/** Stands for a margin without limit, where nothing or next to nothing resists [-]. */
export const unresisted = 1e6;

/**
 * Torque over demand less one, at most `unresisted`. A drive that gives none has the margin -1, however
 * far beyond its reach the speed is [-].
 */
function over(available: number, demand: number): number {
  return demand > 0 ? Math.min(given(available) / demand - 1, unresisted) : unresisted;
}

/** Torque that the drive gives in the sense of the motion: none where it would brake [N m]. */
function given(available: number): Torque {
  return Math.max(available, 0) as Torque;
}

/**
 * Greatest steady torque of the drive at the stem, after gear losses; at no speed, those of a start.
 *
 *   T = (k min(i_lim, (V - k N w)/R) - b N w - D) / c
 *
 * @param speed  of the stem, in the sense of the voltage [rad/s]
 * @returns      negative beyond the speed that the voltage can reach [N m]
 * Source        [leonhard-2001]; c and D of the gears in docs/theory/drive.md
 */
export function availableTorque(train: RigidTrain, speed: number): Torque {
  const gears = speed === 0 ? train.starting : train.forward;
  const motor = availableMotorTorque(
    {
      openCircuitVoltage: train.openCircuitVoltage,
      totalResistance: (train.resistance + train.supplyResistance) as Resistance,
      currentLimit: train.currentLimit,
      torqueConstant: train.torqueConstant,
      frictionTorque: gears.friction,
      damping: train.motorDamping,
    },
    (train.ratio * speed) as AngularSpeed,
  );
  return (motor / gears.loadShare) as Torque;
}

/** Breakaway torque from closed: friction at rest, what the dwell adds, and the flow [N m]. */
export function breakawayTorque(sample: ValveSample): Torque {
  return ((sample.breakaway[0] ?? 0) + sample.dwellTorqueAt(0) + (sample.fluidTorque[0] ?? 0)) as Torque;
}

/** Greatest running torque on opening, slow; what helps counts [N m]. */
export function greatestRunning(sample: ValveSample): Torque {
  let greatest = Number.NEGATIVE_INFINITY;
  for (let j = 0; j < openings; j++) {
    greatest = Math.max(greatest, (sample.running[j] ?? 0) + (sample.fluidTorque[j] ?? 0));
  }
  return greatest as Torque;
}

/**
 * Mean speed that the duty asks for in a sense. Without a closing limit closing is held against the
 * opening's.
 * @returns undefined without a limit, or with one that has a fault, or where the dead time takes all of it [rad/s]
 */
export function askedSpeed(sample: ValveSample, train: RigidTrain, sense: Sense): number | undefined {
  const { dossier } = sample.plan;
  if (limitFaults(dossier, sense).length > 0) return undefined;
  const { open_within, close_within } = dossier.valve.duty ?? {};
  const closing = sense === "closing" ? close_within?.time : undefined;
  const limit = closing ?? open_within?.time;
  if (limit === undefined) return undefined;
  const limited = closing === undefined ? "opening" : "closing";
  return wantedSpeed(
    limited === "closing" ? closingDefinition(dossier) : openingDefinition(dossier),
    limit.value,
    { travel: train.travel, deadTime: train.deadTime, flowMark: flowMark(sample, limited) },
  );
}

/** The programme phase, where it was entered with a fault: then nobody knows the factors of the rules. */
export function phaseFaults(dossier: Dossier): readonly string[] {
  const path = "duty.margin_phase";
  return dossier.valve.duty?.margin_phase === undefined && isFaulty(dossier, path) ? [path] : [];
}

/** All margins of a sample. */
export function turningMargins(sample: ValveSample, train: RigidTrain): TurningMargins {
  const standstill = availableTorque(train, 0);
  const speed = askedSpeed(sample, train, "opening");
  const running =
    speed === undefined
      ? Number.NaN
      : over(availableTorque(train, speed), greatestRunning(sample) + train.damping * speed);
  const hasFactors = phaseFaults(sample.plan.dossier).length === 0;
  let nasa = hasFactors ? unresisted : Number.NaN;
  let ecss = nasa;
  for (const sense of ["opening", "closing"] as const) {
    const wanted = askedSpeed(sample, train, sense);
    const moving = wanted === undefined ? (Number.NaN as Torque) : availableTorque(train, wanted);
    const viscous = wanted === undefined ? 0 : train.damping * wanted;
    const start = demandAtStart(sample, sense);
    const { friction, other } = sample.plan.rules.ecss.factors;
    nasa = Math.min(
      nasa,
      byNasa(sample, standstill, start),
      byNasa(sample, moving, demandInMotion(sample, sense, viscous, 1, 1)),
    );
    ecss = Math.min(
      ecss,
      byEcss(sample, train, standstill, start, train.starting),
      byEcss(sample, train, moving, demandInMotion(sample, sense, viscous, friction, other), train.forward),
    );
  }
  return {
    breakaway: over(standstill, breakawayTorque(sample)),
    running,
    closing: over(standstill, greatestClosing(sample)),
    nasa,
    ecss,
  };
}

/** The point that decides a margin. */
export interface WorstPoint {
  readonly sense: Sense;
  readonly angle_rad: number;
  /** 0 at the start of motion. */
  readonly speed_rad_s: number;
  readonly available_Nm: number;
  /** What resists there, before factors. */
  readonly demand_Nm: number;
}

/** Where the margin of a rule is least; undefined without a wanted speed or the factors of the rule. */
export function worstPoint(
  sample: ValveSample,
  train: RigidTrain,
  rule: "nasa" | "ecss",
): WorstPoint | undefined {
  if (phaseFaults(sample.plan.dossier).length > 0) return undefined;
  const { friction, other } = sample.plan.rules.ecss.factors;
  const factors = rule === "ecss" ? ([friction, other] as const) : ([1, 1] as const);
  let worst: WorstPoint | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const sense of ["opening", "closing"] as const) {
    const wanted = askedSpeed(sample, train, sense);
    if (wanted === undefined) return undefined;
    const points = [
      { speed: 0, demand: demandAtStart(sample, sense) },
      { speed: wanted, demand: demandInMotion(sample, sense, train.damping * wanted, ...factors) },
    ];
    for (const { speed, demand } of points) {
      const available = availableTorque(train, speed);
      const margin =
        rule === "nasa"
          ? byNasa(sample, available, demand)
          : byEcss(sample, train, available, demand, speed === 0 ? train.starting : train.forward);
      if (margin >= least) continue;
      least = margin;
      worst = {
        sense,
        angle_rad: demand.angle,
        speed_rad_s: speed,
        available_Nm: available,
        demand_Nm: demand.friction + demand.flow,
      };
    }
  }
  return worst;
}

/** What resists at one opening: friction, ice included, and the flow where it opposes; both >= 0 [N m]. */
interface Demand {
  /** Opening from closed [rad]. */
  readonly angle: number;
  readonly friction: number;
  readonly flow: number;
}

/** Torque of the flow against the motion; help earns no credit, for it can be absent [N m]. */
function opposing(sample: ValveSample, sense: Sense, j: number): number {
  const torque = sample.fluidTorque[j] ?? 0;
  return Math.max(sense === "opening" ? torque : -torque, 0);
}

/** The declared dwell is that of a valve that stood closed. */
function demandAtStart(sample: ValveSample, sense: Sense): Demand {
  const j = sense === "opening" ? 0 : openings - 1;
  const dwell = sense === "opening" ? sample.dwellTorqueAt(j) : 0;
  return {
    angle: sample.angles[j] ?? 0,
    friction: (sample.breakaway[j] ?? 0) + dwell,
    flow: opposing(sample, sense, j),
  };
}

/** The opening in motion at which the demand with these factors is greatest. */
function demandInMotion(
  sample: ValveSample,
  sense: Sense,
  viscous: number,
  frictionFactor: number,
  flowFactor: number,
): Demand {
  let worst: Demand = { angle: 0, friction: viscous, flow: 0 };
  let greatest = -1;
  for (let j = 0; j < openings; j++) {
    const friction = (sample.running[j] ?? 0) + viscous;
    const flow = opposing(sample, sense, j);
    const factored = frictionFactor * friction + flowFactor * flow;
    if (factored > greatest) {
      greatest = factored;
      worst = { angle: sample.angles[j] ?? 0, friction, flow };
    }
  }
  return worst;
}

function greatestClosing(sample: ValveSample): number {
  const start = demandAtStart(sample, "closing");
  const moving = demandInMotion(sample, "closing", 0, 1, 1);
  return Math.max(start.friction + start.flow, moving.friction + moving.flow);
}

/** Every contribution to the turning torque is of the variable class (physics/seat/terms.ts). */
function byNasa(sample: ValveSample, available: Torque, { friction, flow }: Demand): number {
  const { known, variable } = sample.plan.rules.nasa;
  const resisting = { known: 0 as Torque, variable: (friction + flow) as Torque };
  const { margin } = torqueMargin(given(available), resisting, { known, variable });
  return margin === undefined ? unresisted : Math.min(margin, unresisted);
}

/**
 * The motor's own friction and cogging is a component of the rule, so it is not taken off the torque
 * as well. No acceleration is asked for beyond the mean speed, and no torque is to be delivered.
 */
function byEcss(
  sample: ValveSample,
  train: RigidTrain,
  available: Torque,
  demand: Demand,
  gears: RigidTrain["forward"],
): number {
  const ice = Math.min(sample.at(sample.plan.slots.iceTorque), demand.friction);
  const magneticLosses = train.motorFriction / gears.loadShare;
  const torques: MotorisationTorques = {
    inertia: 0 as Torque,
    spring: 0 as Torque,
    magneticLosses: magneticLosses as Torque,
    friction: (demand.friction - ice) as Torque,
    hysteresis: 0 as Torque,
    other: demand.flow as Torque,
    adhesion: ice as Torque,
    dynamic: 0 as Torque,
    deliverable: 0 as Torque,
  };
  const { margin } = motorisationMargin(
    given(available + magneticLosses),
    torques,
    sample.plan.rules.ecss.factors,
  );
  return margin === undefined ? unresisted : Math.min(margin, unresisted);
}
