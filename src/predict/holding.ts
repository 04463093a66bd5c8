/**
 * Holding a part opening in one case (docs/theory/hold.md): whether the gears hold it without power, how far the
 * ball runs on once power is lost in motion, and how surely a position can be set. A small band of its own over the
 * inputs of the strokes and the stiffnesses of the train.
 */
import { type Dossier, isFaulty } from "../dossier/index.js";
import {
  backDriveTorque,
  type CoastingTrain,
  coastAngle,
  type ElasticLink,
  positionUncertainty,
  stiffnessAtStem,
  turningShare,
} from "../physics/hold/index.js";
import { loadAt, type RigidTrain, StrokePath } from "../physics/motion/index.js";
import type { Angle, AngularSpeed, Torque } from "../quantity/index.js";
import { Gatherer, type Slot } from "./gather.js";
import { type HuntingAnswer, huntingAt } from "./hunting.js";
import type { InputSpace } from "./inputs.js";
import { joinedSpace } from "./joinedSpace.js";
import { lowestFlow } from "./operating.js";
import { type OwnFigures, ownFigures, type Sampling } from "./ownBand.js";
import { isAnswerable, type Plan, planFor } from "./plan.js";
import { type Sense, strokeOf } from "./strokes.js";
import { openings, ValveSample } from "./valveSample.js";

/** What holds against what turns, over the openings, nominal. */
export interface HoldingCurve {
  readonly angle_rad: readonly number[];
  /** Fluid torque towards closed, friction of the ball in motion, and what the gears resist with beside it [N m]. */
  readonly fluid_Nm: readonly number[];
  readonly friction_Nm: readonly number[];
  readonly gears_Nm: number;
}

export const holdingFigures = ["hold", "closes", "opens", "coast", "position", "accuracy"] as const;
export type HoldingFigure = (typeof holdingFigures)[number];

/** Figures: `hold` what turns over what holds at the worst operating opening [-]; `closes` and `opens` the same in that sense at the
 * opening that holds most [-]; `coast` the farthest run after a loss of power in motion [rad]; `position` uncertainty [rad]
 * and `accuracy`, the flow it stands for over the duty's [-]. */
export interface HoldingAnswer {
  readonly figures: OwnFigures;
  readonly missing: Readonly<Record<HoldingFigure, readonly string[]>>;
  readonly curve: HoldingCurve | undefined;
  /** A stage passes nothing back, nominal. */
  readonly locksItself: boolean;
  /** Under the loop that holds a set point; undefined where none is declared. */
  readonly loop: HuntingAnswer | undefined;
  /** Of the wind-up, the play and the sensor, nominal [rad]. */
  readonly parts: { readonly windUp: number; readonly backlash: number; readonly sensor: number } | undefined;
}

/**
 * Follows a case.
 * @param dossier with its defaults applied
 * Refuses        an unknown case
 */
export function holdingOf(dossier: Dossier, caseId: string, options: Sampling): HoldingAnswer {
  const plan = planFor(dossier, caseId);
  const elastic = gatherElastic(dossier, plan);
  const missing = missingOf(dossier, plan, elastic.missing);
  const space = joinedSpace(plan.space, elastic.space);
  const sample = new ValveSample(plan);
  const known = (figure: HoldingFigure) => missing[figure].length === 0;
  const figures = ownFigures(space, holdingFigures, options, (values) => {
    sample.values.set(values.subarray(0, sample.values.length));
    return figuresOf(sample, known, (slot) => values[sample.values.length + slot] ?? Number.NaN, elastic);
  });
  const isKnown = known("hold");
  if (isKnown) setNominal(sample);
  return {
    figures,
    missing,
    curve: isKnown ? curveOf(sample) : undefined,
    locksItself: isKnown && sample.train().backward.loadShare <= 0,
    loop: hasLoop(dossier) ? huntingAt(dossier, caseId, isKnown ? placesOf(sample) : undefined) : undefined,
    parts: known("position") ? partsOf(sample, elastic) : undefined,
  };
}

/** Whether anything says how a set point is held. */
function hasLoop({ valve: { drive } }: Dossier): boolean {
  return drive?.hold !== undefined || (drive?.command?.kind ?? "full") !== "full";
}

/** The opening of the lowest flow to be held, and one of the grid before it. */
function placesOf(sample: ValveSample): { readonly target: number; readonly start: number } | undefined {
  const [first] = operating(sample);
  if (first === undefined || first === 0) return undefined;
  return { target: sample.angles[first] ?? Number.NaN, start: sample.angles[first - 1] ?? Number.NaN };
}

function setNominal(sample: ValveSample): void {
  sample.values.set(sample.plan.space.nominal);
  sample.updateFlow();
  sample.updateTorque();
}

/** The stiffnesses of the train, from motor to stem. */
interface Elastic {
  readonly space: InputSpace;
  readonly missing: readonly string[];
  /** Slots of the stages in their order, of the coupling where there is one, and of the stem. */
  readonly stages: readonly Slot[];
  readonly rest: readonly Slot[];
}

function gatherElastic({ valve: file }: Dossier, plan: Plan): Elastic {
  const gather = new Gatherer<"stiffness">((path) => isFaulty(plan.dossier, path));
  const { stages = [], coupling } = file.drive ?? {};
  const inStages = stages.map(({ stiffness }, j) =>
    gather.need("stiffness", `drive.stages[${j}].stiffness`, stiffness),
  );
  const rest = [
    gather.need("stiffness", "drive.coupling.stiffness", coupling?.stiffness),
    gather.need("stiffness", "valve.stem.stiffness", file.valve?.stem?.stiffness),
  ];
  return { space: gather.space([], []), missing: gather.missingFor("stiffness"), stages: inStages, rest };
}

function missingOf(
  dossier: Dossier,
  plan: Plan,
  stiffness: readonly string[],
): Readonly<Record<HoldingFigure, readonly string[]>> {
  const { duty, drive } = dossier.valve;
  const lacks = (rows: Readonly<Record<string, unknown>>) =>
    Object.entries(rows).flatMap(([path, value]) => (value === undefined ? [path] : []));
  const { torque, drive: driven, motion } = plan.missing;
  const turning = [...new Set([...torque, ...driven, ...motion])];
  const throttled = lacks({
    "duty.throttle.lowest": duty?.throttle?.lowest,
    "duty.mass_flow": duty?.mass_flow,
  });
  const setting = [
    ...turning,
    ...stiffness,
    ...lacks({
      ...Object.fromEntries(
        (drive?.stages ?? []).map(({ backlash }, j) => [`drive.stages[${j}].backlash`, backlash]),
      ),
      "drive.coupling.backlash": drive?.coupling?.backlash,
      "drive.position_sensor.resolution": drive?.position_sensor?.resolution,
    }),
  ];
  return {
    hold: [...turning, ...throttled],
    closes: turning,
    opens: turning,
    coast: turning,
    position: setting,
    accuracy: [...setting, ...throttled],
  };
}

function figuresOf(
  sample: ValveSample,
  known: (figure: HoldingFigure) => boolean,
  stiffnessAt: (slot: Slot) => number,
  elastic: Elastic,
): Readonly<Record<string, number>> {
  if (!known("closes") || !isAnswerable(sample.plan, "motion")) return {};
  sample.updateFlow();
  sample.updateTorque();
  const train = sample.train();
  const gears = backDriveTorque(train.backward);
  return {
    hold: known("hold") ? mostTurning(sample, gears) : Number.NaN,
    closes: leastTurning(sample, gears, 1),
    opens: leastTurning(sample, gears, -1),
    coast: Math.max(farthest(sample, train, "opening"), farthest(sample, train, "closing")),
    ...(known("position") ? setting(sample, linksOf(sample, stiffnessAt, elastic), known("accuracy")) : {}),
  };
}

/** Most of what turns over what holds among the openings that operate. Friction counts as in motion: vibration takes away what rest adds. */
function mostTurning(sample: ValveSample, gears: number): number {
  let most = 0;
  for (const j of operating(sample))
    most = Math.max(most, turningShare(sample.fluidTorque[j] ?? 0, sample.running[j] ?? 0, gears));
  return most;
}

/** Least of what turns in a sense over what holds at any opening but the ends, friction as at rest; 0 where the fluid does not turn that way. */
function leastTurning(sample: ValveSample, gears: number, sense: 1 | -1): number {
  let least = Number.POSITIVE_INFINITY;
  for (let j = 1; j < openings - 1; j++) {
    const fluid = sample.fluidTorque[j] ?? 0;
    least = Math.min(least, sense * fluid > 0 ? turningShare(fluid, sample.breakaway[j] ?? 0, gears) : 0);
  }
  return least;
}

/** Places of the openings that pass at least the lowest flow. */
function operating(sample: ValveSample): readonly number[] {
  const lowest = lowestFlow(sample);
  return Array.from({ length: openings }, (_, j) => j).filter((j) => {
    const flow = Math.abs(sample.massFlow[j] ?? 0);
    return flow > 0 && flow >= lowest;
  });
}

/** Instants of a stroke at which power is lost. */
const instants = 8;
const path = new Float64Array(instants);
const buffers = () => new Float64Array(instants);

/** Farthest run after a loss of power at any of the instants of a stroke [rad]. */
function farthest(sample: ValveSample, train: RigidTrain, sense: Sense): number {
  const recorded = new StrokePath();
  const { stroke } = strokeOf(sample.plan, sample, train, sense, undefined, { path: recorded });
  const end = stroke.arrival ?? stroke.end;
  const times = path.map((_, k) => ((k + 1) * end) / (instants + 1));
  const [angle, speed, current] = [buffers(), buffers(), buffers()];
  recorded.sample(times, angle, speed, current);
  const coasting = coastingTrain(train);
  let most = 0;
  for (let k = 0; k < instants; k++)
    most = Math.max(most, coastAngle(coasting, angle[k] as Angle, speed[k] as AngularSpeed));
  return most;
}

function coastingTrain(train: RigidTrain): CoastingTrain {
  return {
    forward: train.forward,
    backward: train.backward,
    ratio: train.ratio,
    motorDamping: train.motorDamping,
    damping: train.damping,
    travel: train.travel,
    friction: (angle) => loadAt(train.load, "friction", angle as Angle),
    fluid: (angle) => loadAt(train.load, "fluid", angle as Angle),
  };
}

/** Links from motor to ball with their speeds over that of the stem. */
function linksOf(
  sample: ValveSample,
  stiffnessAt: (slot: Slot) => number,
  { stages, rest }: Elastic,
): readonly ElasticLink[] {
  let behind = 1;
  const inStages: ElasticLink[] = [];
  for (let j = stages.length - 1; j >= 0; j--) {
    inStages.push({ stiffness: stiffnessAt(stages[j] ?? -1), ratio: behind });
    behind *= sample.at(sample.plan.slots.stages[j]?.ratio ?? -1);
  }
  return [...inStages, ...rest.map((slot) => ({ stiffness: stiffnessAt(slot), ratio: 1 }))];
}

/** Play of the whole train at the stem [rad]. */
function backlashOf(sample: ValveSample): Angle {
  const { plan } = sample;
  const at = (slot: Slot) => sample.at(slot);
  let backlash = plan.dossier.valve.drive?.coupling?.backlash?.value ?? Number.NaN;
  let behind = 1;
  for (const stage of plan.slots.stages.toReversed()) {
    backlash += at(stage.backlash) / behind;
    behind *= at(stage.ratio);
  }
  return backlash as Angle;
}

/** Uncertainty of the position and of the flow at the worst operating opening. */
function setting(
  sample: ValveSample,
  links: readonly ElasticLink[],
  withFlow: boolean,
): Readonly<Record<string, number>> {
  const k = stiffnessAtStem(links);
  const { slots } = sample.plan;
  const backlash = backlashOf(sample);
  const sensor = sample.at(slots.sensorResolution) as Angle;
  const at = (j: number) => positionUncertainty(backlash, (sample.breakaway[j] ?? 0) as Torque, k, sensor);
  const places = operating(sample);
  const position = Math.max(...(places.length === 0 ? [openings - 1] : places).map(at));
  if (!withFlow) return { position };
  const wanted = sample.at(slots.massFlow);
  const change = places.map((j) => {
    const before = Math.max(j - 1, 0);
    const flow = Math.abs(Math.abs(sample.massFlow[j] ?? 0) - Math.abs(sample.massFlow[before] ?? 0));
    const angle = (sample.angles[j] ?? 0) - (sample.angles[before] ?? 0);
    return angle > 0 ? (flow / angle) * at(j) : 0;
  });
  return { position, accuracy: Math.max(...change) / wanted };
}

function curveOf(sample: ValveSample): HoldingCurve {
  return {
    angle_rad: [...sample.angles],
    fluid_Nm: [...sample.fluidTorque],
    friction_Nm: [...sample.running],
    gears_Nm: backDriveTorque(sample.train().backward),
  };
}

function partsOf(sample: ValveSample, elastic: Elastic) {
  const { nominal } = elastic.space;
  const k = stiffnessAtStem(linksOf(sample, (slot) => nominal[slot] ?? Number.NaN, elastic));
  const friction = Math.max(...operating(sample).map((j) => sample.breakaway[j] ?? 0));
  return {
    windUp: friction / k,
    backlash: backlashOf(sample),
    sensor: sample.at(sample.plan.slots.sensorResolution),
  };
}
