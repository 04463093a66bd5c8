/**
 * What each option brings, worked out once: a motor, a stage at each place of a chain, a battery and a
 * command at every sample, and a valve with its flow, its torque and its load at every sample. A candidate
 * is then put together of numbers, without reading or planning a dossier again.
 *
 * Each option is read from the dossier with this option in place and the first of every other kind beside
 * it; what a section holds depends on that section and the conditions alone.
 */
import { applyDefaults, type Dossier, withParts } from "../dossier/index.js";
import { type Fault, Refusal } from "../fault/index.js";
import type { GearStage } from "../physics/drive/index.js";
import {
  breakawayTorque,
  type DriverValues,
  driverValues,
  fillRow,
  flowMark,
  type LoadValues,
  type MotorValues,
  motorValues,
  openings,
  type Plan,
  planFor,
  rowWidth,
  type SupplyValues,
  supplyValues,
  ValveSample,
} from "../predict/index.js";
import type { Declared } from "../quantity/index.js";
import { Draws } from "./draws.js";
import { type Choice, partsOf, type SeekSpace } from "./space.js";

/** What of a part a limit may be held against, at every sample; not numbers where not known. */
export interface BuildColumns {
  readonly mass: Float64Array;
  readonly cost: Float64Array;
  readonly length: Float64Array;
  readonly diameter: Float64Array;
  readonly frame: Float64Array;
  readonly mounting: string | undefined;
}

/** An option that can be simulated, or what it lacks for that. */
export interface OptionTable<T> {
  readonly values: readonly T[];
  /** Fields that are missing, as paths inside the valve file; none where the option can be tried. */
  readonly needs: readonly string[];
  readonly build: BuildColumns;
}

export interface StageTable extends OptionTable<GearStage> {
  readonly momentary: Float64Array;
}

export interface MotorTable extends OptionTable<MotorValues> {
  /** Highest winding temperature allowed; not a number where it is not known [K]. */
  readonly windingLimit: number;
}

/** A valve under a command at one sample: the nominal ones first. */
export interface ValveState {
  readonly sample: ValveSample;
  readonly load: LoadValues;
  /** Every figure of a row; those of the flow are the valve's own. */
  readonly row: Float64Array;
  /** Breakaway torque from closed [N m]. */
  readonly breakaway: number;
  /** Travelled angle of the flow event on opening, if there is flow [rad]. */
  readonly mark: number | undefined;
  /** Least running friction with the torque of the flow, over the openings [N m]. */
  readonly leastLoad: number;
}

const noBuild = (samples: number): BuildColumns => {
  const nothing = new Float64Array(samples + 1).fill(Number.NaN);
  return {
    mass: nothing,
    cost: nothing,
    length: nothing,
    diameter: nothing,
    frame: nothing,
    mounting: undefined,
  };
};

type Build = {
  readonly [K in "mass" | "cost" | "length" | "diameter" | "frame"]?: Declared | undefined;
} & { readonly mounting?: string | undefined };
const builtFields = ["mass", "cost", "length", "diameter", "frame"] as const;

/** Where a section lacks something of the matter of motion. */
const within = (missing: readonly string[], at: string) =>
  missing.filter((path) => path === at || path.startsWith(`${at}.`) || path.startsWith(`${at}[`));

export class SeekTables {
  readonly draws: Draws;
  readonly motors: readonly MotorTable[];
  readonly batteries: readonly OptionTable<SupplyValues>[];
  /** By place in `stages` of the space, then by place in the chain. */
  readonly stages: readonly (readonly StageTable[])[];
  readonly declaredChain: readonly StageTable[];
  readonly drivers: readonly OptionTable<DriverValues>[];
  readonly valves: readonly OptionTable<undefined>[];
  /** Fields without which no candidate can be simulated, whatever is tried. */
  readonly missing: readonly string[];
  private readonly states = new Map<string, readonly ValveState[]>();
  private readonly valvePlans: readonly (readonly (Plan | readonly Fault[])[])[];

  constructor(
    private readonly declared: Dossier,
    readonly caseId: string,
    readonly space: SeekSpace,
    seed: number,
    readonly samples: number,
  ) {
    this.draws = new Draws(seed, samples);
    const first: Choice = { valve: 0, motor: 0, stages: this.firstChain(), battery: 0, command: 0 };
    const planned = (choice: Choice) => this.planOf(choice);
    const motors = space.motors.map((_, motor) => planned({ ...first, motor }));
    const batteries = space.batteries.map((_, battery) => planned({ ...first, battery }));
    const chain = space.hasDeclaredChain ? planned({ ...first, stages: undefined }) : undefined;
    const stages = space.stages.map((_, place) =>
      planned({ ...first, stages: Array.from({ length: space.mostStages }, () => place) }),
    );
    const commands = space.commands.map((_, command) => planned({ ...first, command }));
    const valves = space.valves.map((_, valve) =>
      space.commands.map((_, command) => planned({ ...first, valve, command })),
    );
    const all = [
      ...motors,
      ...batteries,
      ...(chain === undefined ? [] : [chain]),
      ...stages,
      ...commands,
      ...valves.flat(),
    ];
    for (const plan of all) if (isPlan(plan)) this.draws.admit(plan.space.inputs.map(({ path }) => path));
    this.draws.admit(ownPaths(Math.max(space.mostStages, space.declaredLength)));
    this.valvePlans = valves;
    const samplesOf = (plan: Plan) => this.samplesOf(plan);
    this.motors = motors.map((plan) => ({
      ...this.option(
        plan,
        "drive.motor",
        (file) => file.drive?.motor?.build,
        (found) => samplesOf(found).map(motorValues),
      ),
      windingLimit:
        (isPlan(plan) ? plan.dossier.valve.drive?.motor?.winding_limit?.value : undefined) ?? Number.NaN,
    }));
    this.batteries = batteries.map((plan) =>
      this.option(
        plan,
        "drive.supply",
        (file) => file.drive?.supply?.build,
        (found) => samplesOf(found).map(supplyValues),
      ),
    );
    this.drivers = commands.map((plan) => this.driver(plan));
    this.stages = stages.map((plan) =>
      Array.from({ length: space.mostStages }, (_, j) => this.stage(plan, j)),
    );
    this.declaredChain =
      chain === undefined ? [] : Array.from({ length: space.declaredLength }, (_, j) => this.stage(chain, j));
    this.valves = valves.map(([plan]) =>
      this.option(
        plan ?? [],
        "valve",
        (file) => file.valve?.build,
        () => [],
      ),
    );
    this.missing = this.commonMissing(all);
  }

  /** The chain that the other options are read beside: as declared, or of the first tried stage. */
  private firstChain(): readonly number[] | undefined {
    return this.space.hasDeclaredChain
      ? undefined
      : Array.from({ length: this.space.leastStages || 1 }, () => 0);
  }

  private planOf(choice: Choice): Plan | readonly Fault[] {
    const parts = partsOf(this.space, choice);
    try {
      const { dossier } = applyDefaults(withParts(this.declared, parts), this.caseId);
      return planFor(dossier, this.caseId);
    } catch (thrown) {
      if (!(thrown instanceof Refusal)) throw thrown;
      return thrown.faults;
    }
  }

  private samplesOf(plan: Plan): readonly ValveSample[] {
    return Array.from({ length: this.samples + 1 }, (_, i) => {
      const sample = new ValveSample(plan);
      sample.values.set(this.draws.values(plan.space, i));
      return sample;
    });
  }

  private option<T>(
    plan: Plan | readonly Fault[],
    at: string,
    buildOf: (file: Dossier["valve"]) => Build | undefined,
    values: (plan: Plan) => readonly T[],
  ): OptionTable<T> {
    if (!isPlan(plan))
      return { values: [], needs: plan.map(({ found }) => found), build: noBuild(this.samples) };
    const needs = within(plan.missing.motion, at);
    const build = this.build(at, buildOf(plan.dossier.valve));
    return { values: needs.length > 0 ? [] : values(plan), needs, build };
  }

  /** A command, with the driver that carries it out. */
  private driver(plan: Plan | readonly Fault[]): OptionTable<DriverValues> {
    const option = this.option(
      plan,
      "drive.command",
      () => undefined,
      (found) => this.samplesOf(found).map(driverValues),
    );
    const needs = isPlan(plan) ? within(plan.missing.motion, "drive.driver") : [];
    return { ...option, needs: [...option.needs, ...needs] };
  }

  private stage(plan: Plan | readonly Fault[], place: number): StageTable {
    const at = `drive.stages[${place}]`;
    const fields = isPlan(plan) ? plan.dossier.valve.drive?.stages?.[place] : undefined;
    const option = this.option(
      plan,
      at,
      () => fields?.build,
      (found) => this.samplesOf(found).flatMap((sample) => sample.stages()[place] ?? []),
    );
    return { ...option, momentary: this.draws.column(`${at}.momentary_torque`, fields?.momentary_torque) };
  }

  private build(at: string, build: Build | undefined): BuildColumns {
    const column = (name: (typeof builtFields)[number]) =>
      this.draws.column(`${at}.build.${name}`, build?.[name]);
    return {
      mass: column("mass"),
      cost: column("cost"),
      length: column("length"),
      diameter: column("diameter"),
      frame: column("frame"),
      mounting: build?.mounting,
    };
  }

  /** What every plan lacks that no option of a section gives. */
  private commonMissing(plans: readonly (Plan | readonly Fault[])[]): readonly string[] {
    const found = plans.filter(isPlan);
    const first = found[0];
    if (first === undefined)
      return plans.flatMap((plan) => (isPlan(plan) ? [] : plan.map(({ found: text }) => text)));
    return first.missing.motion.filter((path) => !/^(valve|drive)\b/.test(path));
  }

  /** The states of a valve under a command; made when they are first asked for. None where it cannot be simulated. */
  statesOf(valve: number, command: number): readonly ValveState[] {
    const key = `${valve} ${command}`;
    const known = this.states.get(key);
    if (known !== undefined) return known;
    const plan = this.valvePlans[valve]?.[command];
    const made = plan === undefined || !isPlan(plan) ? [] : this.statesIn(plan);
    this.states.set(key, made);
    return made;
  }

  /** Why a valve cannot be simulated. */
  valveNeeds(valve: number): readonly string[] {
    return this.valves[valve]?.needs ?? [];
  }

  private statesIn(plan: Plan): readonly ValveState[] {
    if (within(plan.missing.motion, "valve").length > 0) return [];
    const states: ValveState[] = [];
    try {
      for (const sample of this.samplesOf(plan)) {
        const row = new Float64Array(rowWidth);
        fillRow(sample, row, { openingOnly: false });
        let leastLoad = Number.POSITIVE_INFINITY;
        for (let j = 0; j < openings; j++)
          leastLoad = Math.min(leastLoad, (sample.running[j] ?? 0) + (sample.fluidTorque[j] ?? 0));
        states.push({
          sample,
          load: sample.loadValues(),
          row,
          breakaway: breakawayTorque(sample),
          mark: flowMark(sample, "opening"),
          leastLoad,
        });
      }
    } catch (thrown) {
      // A sample that no valve can be: then the options' spreads contradict each other.
      if (!(thrown instanceof Refusal)) throw thrown;
      return [];
    }
    return states;
  }
}

function isPlan(plan: Plan | readonly Fault[]): plan is Plan {
  return "space" in plan;
}

/** Paths of what is drawn beside the inputs of the strokes. */
function ownPaths(stages: number): readonly string[] {
  const sections = [
    "valve",
    "drive.motor",
    "drive.supply",
    ...Array.from({ length: stages }, (_, j) => `drive.stages[${j}]`),
  ];
  return [
    ...sections.flatMap((at) => builtFields.map((name) => `${at}.build.${name}`)),
    ...Array.from({ length: stages }, (_, j) => `drive.stages[${j}].momentary_torque`),
  ];
}
