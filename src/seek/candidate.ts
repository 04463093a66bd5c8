/**
 * One candidate through the three sieves:
 *   1 bounds   what parts and closed forms say: mounting, size, mass, price, flow, margins of gears and stem,
 *              torque margin, and whether it can open in time at all; what fails here would fail at the end too
 *   2 nominal  one opening and one closing with the nominal values
 *   3 band     the same at every sample
 * It is dropped where two limits are broken; one that breaks a single limit is followed to the end, for what
 * it would give if that limit were relaxed.
 */
import { availableMotorTorque } from "../physics/drive/index.js";
import type { RigidTrain } from "../physics/motion/index.js";
import {
  columnIndex,
  type DriveValues,
  fillDriveFigures,
  rowWidth,
  type SupplyValues,
  trainOf,
  turningMargins,
} from "../predict/index.js";
import type { AngularDamping, AngularSpeed, Resistance } from "../quantity/index.js";
import { cannotBreakAway, leastOpeningTime } from "./bounds.js";
import {
  type Criteria,
  type Criterion,
  type CriterionId,
  isMet,
  type Standing,
  standingOf,
} from "./criteria.js";
import { type Choice, choiceAt } from "./space.js";
import type { BuildColumns, MotorTable, OptionTable, SeekTables, StageTable, ValveState } from "./tables.js";

export type Sieve = "bounds" | "nominal" | "band";

/** A limit that a candidate does not meet. Numbers are SI, null where there is none. */
export interface Miss {
  readonly id: CriterionId;
  readonly kind: "fails" | "not known";
  /** The sieve that found it. */
  readonly sieve: Sieve;
  readonly nominal: number | null;
  /** The limit that it would meet with the wanted probability. */
  readonly needed: number | null;
  readonly probability: number | null;
  /** Fields that are missing, as far as one can say. */
  readonly needs?: readonly string[];
}

/** A figure of a candidate that came to the band. */
export interface CandidateFigure {
  readonly nominal: number | null;
  readonly low: number | null;
  readonly high: number | null;
  readonly probability: number;
}

/** What became of a candidate. Plain data: JSON gives back the same bits. */
export interface CandidateResult {
  readonly index: number;
  /** The last sieve that it came to. */
  readonly sieve: Sieve;
  /** None: it meets every limit. */
  readonly misses: readonly Miss[];
  /** By criterion, and `mass`, `cost` and `standstill` whether limited or not; only of the band. */
  readonly figures?: Readonly<Partial<Record<FigureId, CandidateFigure>>>;
}

export type FigureId = CriterionId;

/** A limit beyond which a candidate is dropped: one broken limit is followed, two are not. */
const missesFollowed = 1;

/** What is shown of a candidate whether or not it is limited. */
const alwaysShown: readonly CriterionId[] = ["mass", "cost", "length", "current"];

export interface EvaluatorOptions {
  /** Follows every candidate to the band, whatever the sieves before it say: the slow way that proves them. */
  readonly exhaustive?: boolean;
}

/** Evaluates candidates; one object for many, it allocates its columns once. */
export class Evaluator {
  private readonly columns = new Map<CriterionId, Float64Array>();
  private readonly row = new Float64Array(rowWidth);
  private readonly byId: ReadonlyMap<CriterionId, Criterion>;
  private readonly rowPlaces: readonly (readonly [CriterionId, number])[];

  constructor(
    private readonly tables: SeekTables,
    private readonly criteria: Criteria,
    private readonly stemCapacity: number,
    private readonly options: EvaluatorOptions = {},
  ) {
    this.byId = new Map(criteria.list.map((criterion) => [criterion.id, criterion]));
    this.rowPlaces = rowCriteria.flatMap((id) => {
      const column = criteria.columns[id];
      return column === undefined ? [] : [[id, columnIndex(column)] as const];
    });
  }

  evaluate(index: number): CandidateResult {
    const { tables } = this;
    const choice = choiceAt(tables.space, index);
    const parts = this.partsOf(choice);
    const lacking = [...tables.missing, ...parts.flatMap(({ needs }) => needs)];
    const motor = tables.motors[choice.motor];
    const states = lacking.length > 0 ? [] : tables.statesOf(choice.valve, choice.command);
    if (motor === undefined || states.length === 0)
      return { index, sieve: "bounds", misses: [notSimulated(lacking)] };
    const misses = new Map<CriterionId, Miss>();
    this.judgeBuild(choice, misses);
    if (this.isDropped(misses)) return this.dropped(index, "bounds", misses);
    const drives = this.drivesOf(choice);
    const trains = drives.map((drive, i) => trainOf(loadOf(states, i), drive));
    this.judgeStatics(choice, drives, trains, states, misses);
    if (this.isDropped(misses)) return this.dropped(index, "bounds", misses);
    this.judgeReach(trains, states, misses);
    if (this.isDropped(misses)) return this.dropped(index, "bounds", misses);
    if (!this.judgeMargins(trains, states, misses)) return this.dropped(index, "bounds", misses);
    this.stroke(0, trains, drives, states, motor);
    for (const [id] of this.rowPlaces) this.missNominal(id, misses);
    if (this.isDropped(misses)) return this.dropped(index, "nominal", misses);
    for (let i = 1; i < trains.length; i++) this.stroke(i, trains, drives, states, motor);
    return this.finished(index, misses);
  }

  private isDropped(misses: ReadonlyMap<CriterionId, Miss>): boolean {
    return this.options.exhaustive !== true && misses.size > missesFollowed;
  }

  private dropped(index: number, sieve: Sieve, misses: ReadonlyMap<CriterionId, Miss>): CandidateResult {
    return { index, sieve, misses: [...misses.values()] };
  }

  private finished(index: number, before: ReadonlyMap<CriterionId, Miss>): CandidateResult {
    const misses: Miss[] = [];
    const figures: Partial<Record<FigureId, CandidateFigure>> = {};
    for (const id of new Set([...this.byId.keys(), ...alwaysShown])) {
      const criterion = this.byId.get(id) ?? unlimited(id);
      const standing = standingOf(criterion, this.column(id), this.criteria.wanted);
      figures[id] = figureOf(standing);
      if (standing.verdict === "meets" || !this.byId.has(id)) continue;
      misses.push(missOf(id, before.get(id)?.sieve ?? "band", standing));
    }
    return { index, sieve: "band", misses, figures };
  }

  /** The values of a figure, nominal first. */
  private column(id: CriterionId): Float64Array {
    const known = this.columns.get(id);
    if (known !== undefined) return known;
    const made = new Float64Array(this.tables.samples + 1).fill(Number.NaN);
    this.columns.set(id, made);
    return made;
  }

  private partsOf({ valve, motor, battery, stages, command }: Choice): readonly OptionTable<unknown>[] {
    const { tables } = this;
    return [
      tables.valves[valve],
      tables.motors[motor],
      ...this.chainOf(stages),
      tables.batteries[battery],
      tables.drivers[command],
    ].filter((table) => table !== undefined);
  }

  private chainOf(stages: readonly number[] | undefined): readonly StageTable[] {
    if (stages === undefined) return this.tables.declaredChain;
    return stages.flatMap((option, place) => this.tables.stages[option]?.[place] ?? []);
  }

  /** Mounting, size, mass and price. */
  private judgeBuild(choice: Choice, misses: Map<CriterionId, Miss>): void {
    const { tables } = this;
    const drive = [tables.motors[choice.motor], ...this.chainOf(choice.stages)].flatMap((table) =>
      table === undefined ? [] : [table.build],
    );
    const valve = tables.valves[choice.valve]?.build;
    const battery = tables.batteries[choice.battery]?.build;
    const all = [
      ...(valve === undefined ? [] : [valve]),
      ...drive,
      ...(battery === undefined ? [] : [battery]),
    ];
    const { mounting } = this.criteria;
    if (mounting !== undefined)
      this.column("mounting").fill(
        valve?.mounting === undefined ? Number.NaN : Number(valve.mounting === mounting),
      );
    largest(drive, "frame", this.column("frame"));
    largest(drive, "diameter", this.column("diameter"));
    sum(drive, "length", this.column("length"));
    sum(all, "mass", this.column("mass"));
    sum(drive, "mass", this.column("drive-mass"));
    sum(all, "cost", this.column("cost"));
    for (const id of ["mounting", "frame", "diameter", "length", "mass", "drive-mass", "cost"] as const)
      this.miss(id, misses);
  }

  private drivesOf(choice: Choice): readonly DriveValues[] {
    const { tables } = this;
    const chain = this.chainOf(choice.stages);
    const motors = tables.motors[choice.motor]?.values ?? [];
    const supplies: readonly SupplyValues[] = tables.batteries[choice.battery]?.values ?? [];
    const drivers = tables.drivers[choice.command]?.values ?? [];
    return motors.flatMap((motor, i) => {
      const supply = supplies[i];
      const driver = drivers[i];
      if (supply === undefined || driver === undefined) return [];
      return [{ motor, supply, driver, stages: chain.flatMap(({ values }) => values[i] ?? []) }];
    });
  }

  /** Flow of the valve, and what the locked drive does to stages and stem, slow. */
  private judgeStatics(
    choice: Choice,
    drives: readonly DriveValues[],
    trains: readonly RigidTrain[],
    states: readonly ValveState[],
    misses: Map<CriterionId, Miss>,
  ): void {
    const chain = this.chainOf(choice.stages);
    const gears = this.column("gear-margin");
    const stem = this.column("stem-margin");
    const drop = this.column("valve-drop");
    const dropPlace = columnIndex("valve-drop");
    // What the stem bears is known of the declared valve alone.
    const capacity =
      this.tables.space.valves[choice.valve]?.part === undefined ? this.stemCapacity : Number.NaN;
    trains.forEach((train, i) => {
      let torque = lockedMotorTorque(train);
      let least = Number.POSITIVE_INFINITY;
      drives[i]?.stages.forEach(({ ratio, efficiency, noLoadTorque }, j) => {
        torque = Math.max(torque - noLoadTorque, 0) * ratio * efficiency;
        const bears = chain[j]?.momentary[i] ?? Number.NaN;
        least = Math.min(least, marginOver(bears, torque));
      });
      gears[i] = Math.min(least, unlimitedMargin);
      stem[i] = marginOver(capacity, torque);
      drop[i] = states[i]?.row[dropPlace] ?? Number.NaN;
    });
    for (const id of ["valve-drop", "gear-margin", "stem-margin"] as const) this.miss(id, misses);
  }

  /** Whether it can open in time at all. */
  private judgeReach(
    trains: readonly RigidTrain[],
    states: readonly ValveState[],
    misses: Map<CriterionId, Miss>,
  ): void {
    const criterion = this.byId.get("opening-time");
    if (criterion === undefined) return;
    const { wanted, opening } = this.criteria;
    let late = 0;
    let nominal = true;
    trains.forEach((train, i) => {
      const state = states[i];
      if (state === undefined) return;
      const least = cannotBreakAway(train, state)
        ? Number.POSITIVE_INFINITY
        : leastOpeningTime(train, state, opening);
      if (least <= (criterion.most ?? Number.POSITIVE_INFINITY) && least < Number.POSITIVE_INFINITY) return;
      if (i === 0) nominal = false;
      else late++;
    });
    const samples = trains.length - 1;
    const atMost = samples === 0 ? Number(nominal) : (samples - late) / samples;
    if (nominal && atMost >= wanted) return;
    misses.set("opening-time", {
      id: "opening-time",
      kind: "fails",
      sieve: "bounds",
      nominal: null,
      needed: null,
      probability: atMost,
    });
  }

  /**
   * The torque margin, a closed form too. First of the nominal values: most fail there.
   * @returns whether the candidate goes on
   */
  private judgeMargins(
    trains: readonly RigidTrain[],
    states: readonly ValveState[],
    misses: Map<CriterionId, Miss>,
  ): boolean {
    const criterion = this.byId.get("torque-margin");
    if (criterion === undefined) return true;
    const column = this.column("torque-margin");
    const isEcss = this.criteria.columns["torque-margin"] === "motorisation-margin";
    const fill = (i: number) => {
      const train = trains[i];
      const state = states[i];
      if (train === undefined || state === undefined) return;
      const margins = turningMargins(state.sample, train);
      column[i] = isEcss ? margins.ecss : margins.nasa;
    };
    fill(0);
    const nominal = column[0] ?? Number.NaN;
    if (!isMet(criterion, nominal) && this.options.exhaustive !== true && misses.size >= missesFollowed) {
      misses.set("torque-margin", {
        id: "torque-margin",
        kind: Number.isNaN(nominal) ? "not known" : "fails",
        sieve: "bounds",
        nominal: numberOf(nominal),
        needed: null,
        probability: null,
      });
      return false;
    }
    for (let i = 1; i < trains.length; i++) fill(i);
    this.miss("torque-margin", misses);
    return !this.isDropped(misses);
  }

  /** Opening and closing of one sample, into the columns. */
  private stroke(
    i: number,
    trains: readonly RigidTrain[],
    drives: readonly DriveValues[],
    states: readonly ValveState[],
    motor: MotorTable,
  ): void {
    const train = trains[i];
    const drive = drives[i];
    const state = states[i];
    if (train === undefined || drive === undefined || state === undefined) return;
    this.row.fill(Number.NaN);
    fillDriveFigures(state.sample, train, drive.motor, this.row);
    for (const [id, place] of this.rowPlaces) {
      const value = this.row[place] ?? Number.NaN;
      this.column(id)[i] = id === "winding" ? motor.windingLimit - value : value;
    }
  }

  /** Notes a limit that is not met, by the nominal value and the samples. */
  private miss(id: CriterionId, misses: Map<CriterionId, Miss>): void {
    const criterion = this.byId.get(id);
    if (criterion === undefined) return;
    const standing = standingOf(criterion, this.column(id), this.criteria.wanted);
    if (standing.verdict !== "meets") misses.set(id, missOf(id, "bounds", standing));
  }

  /** Notes a limit that is not met at the nominal values. */
  private missNominal(id: CriterionId, misses: Map<CriterionId, Miss>): void {
    const criterion = this.byId.get(id);
    const nominal = this.column(id)[0] ?? Number.NaN;
    if (criterion === undefined || misses.has(id) || isMet(criterion, nominal)) return;
    misses.set(id, {
      id,
      kind: Number.isNaN(nominal) && criterion.absent === "not known" ? "not known" : "fails",
      sieve: "nominal",
      nominal: numberOf(nominal),
      needed: null,
      probability: null,
    });
  }
}

/** Figures that the strokes give; the torque margin comes before them. */
const rowCriteria: readonly CriterionId[] = ["opening-time", "closing-time", "current", "voltage", "winding"];

/** Stands for a margin without limit [-]. */
const unlimitedMargin = 1e6;

/** Margin of what a part bears over a torque, less one; not a number where it is not known what it bears [-]. */
function marginOver(bears: number, torque: number): number {
  if (Number.isNaN(bears)) return Number.NaN;
  return torque > 0 ? Math.min(bears / torque - 1, unlimitedMargin) : unlimitedMargin;
}

function loadOf(states: readonly ValveState[], i: number): ValveState["load"] {
  const state = states[i];
  if (state === undefined) throw new Error(`the valve has no sample ${i}`);
  return state.load;
}

/** Torque of the motor at standstill, less its own friction [N m]. */
function lockedMotorTorque(train: RigidTrain): number {
  const totalResistance = (train.resistance + train.supplyResistance) as Resistance;
  return Math.max(
    availableMotorTorque(
      {
        openCircuitVoltage: train.openCircuitVoltage,
        totalResistance,
        currentLimit: train.currentLimit,
        torqueConstant: train.torqueConstant,
        frictionTorque: train.motorFriction,
        damping: 0 as AngularDamping,
      },
      0 as AngularSpeed,
    ),
    0,
  );
}

function sum(builds: readonly BuildColumns[], name: "mass" | "cost" | "length", out: Float64Array): void {
  out.fill(builds.length === 0 ? Number.NaN : 0);
  for (const build of builds)
    for (let i = 0; i < out.length; i++) out[i] = (out[i] ?? 0) + (build[name][i] ?? Number.NaN);
}

function largest(builds: readonly BuildColumns[], name: "frame" | "diameter", out: Float64Array): void {
  out.fill(builds.length === 0 ? Number.NaN : 0);
  for (const build of builds)
    for (let i = 0; i < out.length; i++) out[i] = Math.max(out[i] ?? 0, build[name][i] ?? Number.NaN);
}

function unlimited(id: CriterionId): Criterion {
  return { id, name: id, dimension: "ratio", field: "", most: Number.POSITIVE_INFINITY, absent: "not known" };
}

function numberOf(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}

function missOf(id: CriterionId, sieve: Sieve, standing: Standing): Miss {
  return {
    id,
    kind: standing.verdict === "not known" ? "not known" : "fails",
    sieve,
    nominal: numberOf(standing.nominal),
    needed: numberOf(standing.needed),
    probability: standing.verdict === "not known" ? null : standing.probability,
  };
}

function figureOf({ nominal, low, high, probability }: Standing): CandidateFigure {
  return { nominal: numberOf(nominal), low: numberOf(low), high: numberOf(high), probability };
}

function notSimulated(needs: readonly string[]): Miss {
  return {
    id: "opening-time",
    kind: "not known",
    sieve: "bounds",
    nominal: null,
    needed: null,
    probability: null,
    needs: needs.length > 0 ? needs : ["values that one valve can have together"],
  };
}
