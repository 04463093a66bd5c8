/**
 * Strength of what carries the torque, in one case, with a small band of its own (docs/theory/strength.md):
 * sections and joints of the stem, coupling, gear stages and stop, each by the torque that it bears held
 * against the torques of locked rotor, jam and strokes; life and flaw of the stem; and the current limits
 * with which both margin and strength hold.
 */
import { type Dossier, type StrengthFactors, withValues } from "../dossier/index.js";
import { type Notice, Refusal } from "../fault/index.js";
import { standstillCurrent } from "../physics/drive/index.js";
import type { Current, Resistance, Temperature, Voltage } from "../quantity/index.js";
import { type Solid, solidProperty } from "../substance/index.js";
import {
  largestCurrent,
  leastCurrent,
  type MarginKind,
  marginAt,
  shortCircuitCurrent,
} from "./currentWindow.js";
import type { HeatAnswer } from "./heat.js";
import type { InputSpace } from "./inputs.js";
import { joinedSpace } from "./joinedSpace.js";
import { phaseFaults } from "./margin.js";
import { type OwnFigures, ownFigures, type Sampling } from "./ownBand.js";
import type { OfValues, PathValues } from "./pathGatherer.js";
import { bearingId, type PathJoint } from "./pathJoints.js";
import type { PathSection } from "./pathSections.js";
import { isAnswerable, type Plan, planFor } from "./plan.js";
import { type ShockAnswer, shockFigure, shockOf } from "./shock.js";
import {
  capacityFigure,
  everyLoad,
  flawFigure,
  type LoadId,
  largestCurrentFigure,
  leastCurrentFigure,
  leastFlawFigure,
  leastLifeFigure,
  lifeFigure,
  marginFigure,
  type PathElement,
  roomFigure,
  type TorquePath,
  torquePath,
  useFigure,
} from "./torquePath.js";
import { openings, ValveSample } from "./valveSample.js";

/** A material somewhere on the path, at its temperature there. */
export interface PathMaterial {
  readonly part: string;
  readonly path: string;
  readonly material: Solid;
  /** NaN where it is not known; then `needs` says what is lacking. */
  readonly temperature_K: number;
  readonly needs: readonly string[];
  readonly justification: string | undefined;
}

/** Curves against the current limit, at the nominal values. */
export interface CurrentCurves {
  readonly current_A: readonly number[];
  readonly torqueMargin: readonly number[];
  /** Least margin of strength with the rotor locked. */
  readonly strengthMargin: readonly number[];
  readonly shortCircuit_A: number;
}

/**
 * What carries the torque. Figures: `capacityFigure` [N m], `marginFigure` over all known loads and
 * `useFigure`, torque of a load over capacity [-]; `life` of each section, factor on Goodman's line, and `flaw`,
 * toughness over stress intensity with the factor [-]; `least current`, `largest current` [A].
 */
export interface StrengthAnswer {
  /** Whether anything of sections or joints is declared. */
  readonly isDeclared: boolean;
  readonly factors: StrengthFactors;
  readonly elements: readonly PathElement[];
  readonly sections: readonly PathSection[];
  readonly joints: readonly PathJoint[];
  /** Fields that a load lacks. */
  readonly loadNeeds: Readonly<Record<LoadId, readonly string[]>>;
  /** Missing fields by matter: `fatigueId`, `crackId`, and `current`. */
  readonly missing: Readonly<Record<string, readonly string[]>>;
  readonly materials: readonly PathMaterial[];
  /** Where a strength is followed beyond its data. */
  readonly notices: readonly Notice[];
  readonly figures: OwnFigures;
  readonly curves: CurrentCurves | undefined;
  readonly currentLimit_A: number | undefined;
  /**
   * Where jam and strokes overload a part at the nominal values: the largest current limit at which they do
   * not, and that part. A smaller limit leaves neither more speed nor more torque.
   */
  readonly peaks: { readonly largest_A: number; readonly part: string } | undefined;
  /** Why the values of the case cannot be followed. */
  readonly unfit: string | undefined;
}

/** As many as the shock has: a sample of the one belongs to a sample of the other. */
const mostSamples = 64;
const curvePoints = 33;

/** Follows the strength of a case. @param heat, shock  of the same case and sampling.  Refuses an unknown case */
export function strengthOf(
  dossier: Dossier,
  caseId: string,
  heat: HeatAnswer,
  shock: ShockAnswer,
  sampling: Sampling,
): StrengthAnswer {
  const plan = planFor(dossier, caseId);
  const path = torquePath(dossier, caseId, plan, heat);
  const loadNeeds = needsOfLoads(plan, shock);
  const current = needsOfCurrent(dossier, plan, path.elements);
  const space = joinedSpace(padded(plan.space, shock), path.own);
  const loads = new PathLoads(
    plan,
    space,
    path,
    shock,
    loadNeeds,
    current.length > 0 ? undefined : ruleOf(dossier),
  );
  const ids = path.figures;
  const common = {
    isDeclared: path.sections.length + path.joints.length > 0,
    factors: path.factors,
    elements: path.elements,
    sections: path.sections,
    joints: path.joints,
    loadNeeds,
    missing: { ...path.missing, current },
    currentLimit_A: dossier.valve.drive?.driver?.current_limit?.value,
  };
  try {
    const figures = ownFigures(space, ids, { ...sampling, most: mostSamples }, (values) =>
      loads.figures(values),
    );
    const materials = loads.materials();
    return {
      ...common,
      figures,
      materials,
      notices: extrapolated(materials),
      curves: loads.curves(),
      peaks: current.length > 0 ? undefined : bornePeaks(dossier, caseId, sampling, path.elements, figures),
      unfit: undefined,
    };
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return {
      ...common,
      figures: ownFigures(space, ids, { ...sampling, samples: 0 }, () => ({})),
      materials: [],
      notices: [],
      curves: undefined,
      peaks: undefined,
      unfit: thrown.faults.map(({ found }) => found).join("; "),
    };
  }
}

function extrapolated(materials: readonly PathMaterial[]): readonly Notice[] {
  const all = materials
    .filter(({ temperature_K }) => !Number.isNaN(temperature_K))
    .flatMap(({ material, temperature_K }) =>
      (["yield_strength", "ultimate_strength"] as const).flatMap((quantity) =>
        material.file[quantity] === undefined
          ? []
          : solidProperty(material, quantity, temperature_K as Temperature).notices,
      ),
    );
  return all.filter(({ text }, n) => all.findIndex((other) => other.text === text) === n);
}

/** The inputs of the shock between those of the plan and the path's own: each keeps its coordinate, so that samples belong together. */
function padded(space: InputSpace, { figures: { paths } }: ShockAnswer): InputSpace {
  const further = paths.slice(space.inputs.length).map((path) => ({ path, members: [] }));
  return { ...space, inputs: [...space.inputs, ...further] };
}

function ruleOf(dossier: Dossier): MarginKind | undefined {
  switch (dossier.valve.duty?.margin_rule) {
    case "nasa-std-5017a":
      return "nasa";
    case "ecss-e-st-33-01c":
      return "ecss";
    case undefined:
      return undefined;
  }
}

function needsOfLoads(plan: Plan, shock: ShockAnswer): Readonly<Record<LoadId, readonly string[]>> {
  const ofShock = [
    ...shock.missing,
    ...(shock.unfit === undefined ? [] : [`a case whose shock can be followed: ${shock.unfit}`]),
  ];
  return {
    "locked rotor": plan.missing.drive,
    jammed: ofShock,
    opening: ofShock,
    closing: ofShock,
    turning: [...new Set([...plan.missing.torque, ...plan.missing.drive])],
  };
}

/** What margin and strength together need: the rule, its speed, and what each loaded part bears. */
function needsOfCurrent(dossier: Dossier, plan: Plan, elements: readonly PathElement[]): readonly string[] {
  const { duty, valve } = dossier.valve;
  return [
    ...new Set([
      ...(duty?.margin_rule === undefined ? ["duty.margin_rule"] : []),
      ...(duty?.open_within?.time === undefined ? ["duty.open_within.time"] : []),
      ...phaseFaults(dossier),
      ...plan.missing.motion,
      ...((valve?.stem?.sections ?? []).length === 0
        ? ["valve.stem.sections: each section from ball to gearbox, where it is weakest"]
        : []),
      ...elements.filter(isStatic).flatMap(({ missing }) => missing),
    ]),
  ];
}

/** Runs of the nominal train by which the current is found that jam and strokes still leave borne. */
const peakHalvings = 6;
const peakLoads = ["jammed", "opening", "closing"] as const;

/** @returns undefined where jam and strokes overload nothing, or are not known */
function bornePeaks(
  dossier: Dossier,
  caseId: string,
  sampling: Sampling,
  elements: readonly PathElement[],
  { nominal }: OwnFigures,
): StrengthAnswer["peaks"] {
  const limit = dossier.valve.drive?.driver?.current_limit;
  const loads = elements.flatMap((element) =>
    peakLoads.flatMap((load) =>
      element.loads.includes(load)
        ? [{ element, load, use: nominal[useFigure(element.id, load)] ?? Number.NaN }]
        : [],
    ),
  );
  const worst = loads.filter(({ use }) => use > 1).toSorted((a, b) => b.use - a.use)[0];
  if (worst === undefined || limit === undefined) return undefined;
  const isBorne = (value: number) => {
    const changed = withValues(dossier, new Map([[limitPath, { ...limit, value, law: { kind: "exact" } }]]));
    const { events } = shockOf(changed, caseId, { ...sampling, samples: 0 });
    return loads.every(({ element: { id, carries }, load }) => {
      const peaks = events.find((event) => event.id === load)?.peaks ?? [];
      const torque = peaks.find(({ element }) => element === carries)?.nominal_Nm ?? 0;
      const capacity = nominal[capacityFigure(id)] ?? Number.NaN;
      return Number.isNaN(capacity) || torque <= capacity;
    });
  };
  let low = 0;
  let high: number = limit.value;
  for (let n = 0; n < peakHalvings; n++) {
    const middle = 0.5 * (low + high);
    if (isBorne(middle)) low = middle;
    else high = middle;
  }
  return { largest_A: low, part: worst.element.name };
}

const limitPath = "drive.driver.current_limit";

const noStage = { ratio: 1, efficiency: 1, noLoadTorque: 0 } as const;

/** Whether the torque of the locked rotor loads it, wherever it goes on to. */
function isStatic({ loads, kind }: PathElement): boolean {
  return kind !== "stop" && loads.includes("locked rotor");
}

/** The loads of one sample after the other, held against what the path bears. */
class PathLoads {
  private readonly sample: ValveSample;
  private index = 0;
  /** Torque of each element over that of the motor, gears driving: prod n_j eta_j up to it. */
  private readonly shares = new Map<string, number>();
  /** Greatest slow torque of a stroke at the output of each stage [N m]. */
  private readonly turning = new Map<string, number>();
  /** Motor torque of the locked rotor [N m], and the greatest slow torque of a stroke at the stem [N m]. */
  private lockedMotor = Number.NaN;
  private slowest = Number.NaN;

  constructor(
    private readonly plan: Plan,
    private readonly space: InputSpace,
    private readonly path: TorquePath,
    private readonly shock: ShockAnswer,
    private readonly needs: Readonly<Record<LoadId, readonly string[]>>,
    private readonly rule: MarginKind | undefined,
  ) {
    this.sample = new ValveSample(plan);
  }

  /** Figures of a sample; its shock is that of the same number, or the nominal one. */
  figures(values: Float64Array): Readonly<Record<string, number>> {
    const i = values === this.space.nominal ? -1 : this.index++;
    const reading = this.take(values);
    const found: Record<string, number> = {};
    const torque = (element: string, load: LoadId) => this.torque(element, load, i);
    for (const element of this.path.elements) {
      const capacity = element.missing.length > 0 ? Number.NaN : this.capacity(element, reading);
      found[capacityFigure(element.id)] = capacity;
      let least = Number.POSITIVE_INFINITY;
      for (const load of element.loads) {
        const use = torque(element.carries, load) / capacity;
        found[useFigure(element.id, load)] = use;
        if (!Number.isNaN(use)) least = Math.min(least, 1 / use - 1);
      }
      found[marginFigure(element.id)] = Number.isFinite(least) ? least : Number.NaN;
    }
    const [opening, closing] = [torque("valve.stem", "opening"), torque("valve.stem", "closing")];
    const worst = Math.max(
      ...everyLoad.map((load) => torque("valve.stem", load)).filter((one) => !Number.isNaN(one)),
    );
    this.path.sections.forEach((section, j) => {
      found[lifeFigure(j)] = section.fatigue(reading, opening, closing);
      found[flawFigure(j)] = Number.isFinite(worst) ? section.crack(reading, worst) : Number.NaN;
    });
    const leastOf = (figure: (j: number) => string) =>
      Math.min(...this.path.sections.map((_, j) => found[figure(j)] ?? Number.NaN));
    found[leastLifeFigure] = leastOf(lifeFigure);
    found[leastFlawFigure] = leastOf(flawFigure);
    if (this.rule !== undefined) this.fillCurrents(found, this.rule);
    return found;
  }

  /** Materials of sections and joints, at the nominal values. */
  materials(): readonly PathMaterial[] {
    const reading = this.take(this.space.nominal);
    const at = (id: string, temperature: OfValues) => {
      const temperature_K = temperature(reading);
      const needs = this.path.elements.find((element) => element.id === id)?.missing ?? [];
      return { temperature_K, needs: Number.isNaN(temperature_K) ? needs : [] };
    };
    return [
      ...this.path.sections.flatMap(({ id, name, path, material, temperature, justification }) =>
        material === undefined ? [] : [{ part: name, path, material, justification, ...at(id, temperature) }],
      ),
      ...this.path.joints.flatMap(({ name, path, materials, temperature, justification }, j) =>
        materials.map(({ part, material }) => ({
          part: `${name}, ${part}`,
          path,
          material,
          justification,
          ...at(bearingId(j), temperature),
        })),
      ),
    ];
  }

  curves(): CurrentCurves | undefined {
    const { rule, sample } = this;
    if (rule === undefined) return undefined;
    const reading = this.take(this.space.nominal);
    const train = sample.train();
    const shortCircuit_A = shortCircuitCurrent(train);
    const current_A = Array.from({ length: curvePoints }, (_, n) => (shortCircuit_A * (n + 1)) / curvePoints);
    const loaded = this.loaded((element) => this.capacity(element, reading));
    return {
      current_A,
      torqueMargin: current_A.map((limit) => marginAt(sample, train, rule, limit)),
      strengthMargin: current_A.map(
        (limit) =>
          Math.min(
            ...loaded.map(
              ({ capacity_Nm, torquePerAmpere }) =>
                capacity_Nm / (torquePerAmpere * Math.min(limit, shortCircuit_A)),
            ),
          ) - 1,
      ),
      shortCircuit_A,
    };
  }

  /** Sets the sample to a vector of values. */
  private take(values: Float64Array): PathValues {
    const { sample, plan, path, space } = this;
    const planned = plan.space.nominal.length;
    sample.values.set(values.subarray(0, planned));
    if (isAnswerable(plan, "torque")) {
      sample.updateFlow();
      sample.updateTorque();
    }
    if (isAnswerable(plan, "drive")) {
      this.fillShares();
      this.lockedMotor = this.lockedMotorTorque();
      this.slowest = this.slowTorque();
      this.fillTurning();
    }
    const own = space.nominal.length - path.own.nominal.length;
    return {
      planned: (slot) => (slot < 0 ? Number.NaN : (values[slot] ?? Number.NaN)),
      own: (slot) => (slot < 0 ? Number.NaN : (values[own + slot] ?? Number.NaN)),
    };
  }

  private capacity({ id }: PathElement, reading: PathValues): number {
    return this.path.capacities.get(id)?.(reading) ?? Number.NaN;
  }

  /** Torque of a load in an element; NaN where it is not known. */
  private torque(element: string, load: LoadId, i: number): number {
    if (this.needs[load].length > 0) return Number.NaN;
    switch (load) {
      case "locked rotor":
        return this.lockedMotor * this.share(element);
      case "turning":
        return this.turning.get(element) ?? this.slowest;
      default: {
        const figure = shockFigure(load, element);
        if (i >= 0) return this.shock.figures.samples[figure]?.[i] ?? Number.NaN;
        const event = this.shock.events.find(({ id }) => id === load);
        return event?.peaks.find((peak) => peak.element === element)?.nominal_Nm ?? Number.NaN;
      }
    }
  }

  private share(element: string): number {
    return this.shares.get(element) ?? this.shares.get("") ?? Number.NaN;
  }

  private fillShares(): void {
    let share = 1;
    this.sample.stages().forEach(({ ratio, efficiency }, j) => {
      share *= ratio * efficiency;
      this.shares.set(`drive.stages[${j}]`, share);
    });
    this.shares.set("", share);
  }

  /** From the stem inwards: what a stage gives, the one before it gives over ratio and efficiency, and its drag. */
  private fillTurning(): void {
    let torque = this.slowest;
    const stages = this.sample.stages();
    for (let j = stages.length - 1; j >= 0; j--) {
      this.turning.set(`drive.stages[${j}]`, torque);
      const { ratio, efficiency, noLoadTorque } = stages[j] ?? noStage;
      torque = torque / (ratio * efficiency) + noLoadTorque;
    }
  }

  /** The rotor is held: greatest steady current, no friction that helps the parts [N m]. */
  private lockedMotorTorque(): number {
    const { sample, plan } = this;
    const current = standstillCurrent(
      sample.at(plan.slots.openCircuitVoltage) as Voltage,
      (sample.windingResistance() + sample.supplyResistance()) as Resistance,
      sample.at(plan.slots.currentLimit) as Current,
    );
    return sample.torqueConstant() * current;
  }

  /** Greatest slow torque of a stroke, in either sense [N m]. */
  private slowTorque(): number {
    const { sample } = this;
    let greatest = 0;
    for (let j = 0; j < openings; j++)
      greatest = Math.max(greatest, (sample.running[j] ?? 0) + Math.abs(sample.fluidTorque[j] ?? 0));
    return greatest;
  }

  /** What the standstill torque loads, by what each part bears. */
  private loaded(capacityOf: (element: PathElement) => number) {
    const constant = this.sample.torqueConstant();
    return this.path.elements.filter(isStatic).map((element) => ({
      capacity_Nm: capacityOf(element),
      torquePerAmpere: constant * this.share(element.carries),
    }));
  }

  private fillCurrents(found: Record<string, number>, rule: MarginKind): void {
    const { sample, plan } = this;
    const train = sample.train();
    const least = leastCurrent(sample, train, rule);
    const largest = largestCurrent(
      this.loaded(({ id }) => found[capacityFigure(id)] ?? Number.NaN),
      shortCircuitCurrent(train),
    );
    const limit = sample.at(plan.slots.currentLimit);
    found[leastCurrentFigure] = least;
    found[largestCurrentFigure] = largest;
    found[roomFigure] = Math.min(limit - least, largest - limit);
  }
}
