/**
 * A schedule of the opening for a wanted history of the flow in one case (docs/theory/schedule.md): the installed
 * characteristic turned round, kept within what the drive can do at the slow end of its band, and followed by the
 * position loops at the nominal values and at samples of the band.
 */
import { type Dossier, isFaulty } from "../dossier/index.js";
import { flowIntoChamber, type InstalledSystem } from "../physics/flow/index.js";
import { followingController, type LoopGains, runStroke, StrokePath } from "../physics/motion/index.js";
import {
  type DriveLimits,
  type FlowTable,
  flowAtOpening,
  historyOf,
  historyThrough,
  openingForFlow,
  type Schedule,
  scheduleOf as scheduleWithin,
  type WantedHistory,
} from "../physics/schedule/index.js";
import type { Angle, Declared, PressureDifference, Time, Torque } from "../quantity/index.js";
import { Gatherer, type Slot } from "./gather.js";
import { joinedSpace } from "./joinedSpace.js";
import { type OwnFigures, ownFigures, type Sampling, usualProbability } from "./ownBand.js";
import { isAnswerable, type Plan, planFor } from "./plan.js";
import {
  type FollowedSchedule,
  type OutOfReach,
  type ScheduleAnswer,
  scheduleFigures,
} from "./scheduleAnswer.js";
import { limitsOf, slowEnd } from "./scheduleLimits.js";
import { withoutUnread } from "./surge.js";
import { openings, ValveSample } from "./valveSample.js";

/** Openings of the table that the characteristic is turned round with: every quarter of a degree of a quarter turn. */
const tableOpenings = 361;
/** More rows than this are a slip of the pen. */
const mostRows = 20_000;
/** Samples that the slow end of the drive is taken from: two of them are slower at each opening where 95 % is wanted. */
const samplesForLimits = 40;
/** Rows in which the acceleration may change where nobody says so. */
const usualJerkRows = 4;
/** Of a step of the motion: between two samples of the loops a step is short anyway; errors stand to 1e-4 of themselves. */
const tolerance = 1e-2;

/** What a schedule is made from, SI. */
interface Wish {
  readonly history: WantedHistory;
  readonly step: number;
  readonly jerkTime: number;
  readonly isProportional: boolean;
  readonly speedShare: number;
  readonly torqueShare: number;
  readonly leastAngle: number;
  readonly largestAngle: number;
  readonly gains: LoopGains;
  readonly motorTemperature: Slot;
}

/**
 * Makes the schedule of a case and follows it.
 * @param dossier  with its defaults applied
 * @param sampling of the band that the limits are the slow end of
 * @param followed samples that follow the schedule beside the nominal one, the first ones of those; each takes as long as
 *                 a hundred strokes
 * Refuses        an unknown case
 */
export function scheduleOf(
  dossier: Dossier,
  caseId: string,
  sampling: Sampling,
  followed: number,
): ScheduleAnswer {
  const plan = planFor(dossier, caseId);
  const gather = new Gatherer<"schedule">((path) => isFaulty(dossier, path));
  const isWanted = dossier.valve.schedule !== undefined || isFaulty(dossier, "schedule");
  const wish = isWanted ? wishOf(dossier, plan, gather) : undefined;
  const missing = isWanted
    ? [...new Set([...plan.missing.flow, ...plan.missing.motion, ...gather.missingFor("schedule")])]
    : [];
  const space = withoutUnread(joinedSpace(plan.space, gather.space([], [])));
  const nothing: ScheduleAnswer = {
    isWanted,
    unfit: plan.medium.kind === "liquid" ? undefined : "a case in which liquid flows",
    missing,
    stuck: undefined,
    followed: undefined,
    figures: ownFigures(space, scheduleFigures, { ...sampling, samples: 0 }, () => ({})),
  };
  if (wish === undefined || plan.medium.kind !== "liquid" || missing.length > 0) return nothing;
  if (!isAnswerable(plan, "motion")) return nothing;
  const run = new ScheduleRun(plan, wish);
  const { limits, count } = run.limitsOver(
    // As many whatever else is drawn: the schedule is the same wherever it is asked for.
    (each) => ownFigures(space, [], { ...sampling, least: samplesForLimits, most: samplesForLimits }, each),
    space.nominal,
  );
  run.take(space.nominal);
  const table = run.table();
  const made = run.made(table, limits);
  if ("stuckAt" in made) return { ...nothing, stuck: made };
  const { schedule, outOfReach } = made;
  let nominal: Followed | undefined;
  const few = { ...sampling, samples: followed, least: followed };
  const figures: OwnFigures = ownFigures(space, scheduleFigures, few, (values) => {
    run.take(values);
    // The last call is at the nominal values.
    nominal = run.follow(schedule, table);
    return nominal.errors;
  });
  if (nominal === undefined) return nothing;
  return {
    ...nothing,
    figures,
    followed: {
      schedule,
      step_s: wish.step,
      table,
      dutyFlow_kg_s: run.dutyFlow,
      limits,
      limitSamples: count,
      history: nominal.history(),
      worstAngle_s: nominal.worstAngle * wish.step,
      worstFlow_s: nominal.worstFlow * wish.step,
      outOfReach,
    },
  };
}

function wishOf(dossier: Dossier, plan: Plan, gather: Gatherer<"schedule">): Wish | undefined {
  const { schedule = {}, duty, drive } = dossier.valve;
  const need = (path: string, value: Declared | undefined) => {
    gather.need("schedule", path, value);
    return value?.value ?? Number.NaN;
  };
  const may = (path: string, value: Declared | undefined, other: number) => {
    if (value === undefined) gather.lackFaulty("schedule", path);
    return value?.value ?? other;
  };
  need("duty.mass_flow", duty?.mass_flow);
  const step = need("schedule.step", schedule.step);
  const speedShare = need("schedule.speed_share", schedule.speed_share);
  const torqueShare = need("schedule.torque_share", schedule.torque_share);
  if (schedule.back_pressure === undefined) gather.lack("schedule", "schedule.back_pressure");
  const history = wantedHistory(dossier, gather);
  if (history !== undefined && history.duration / step > mostRows)
    gather.lack("schedule", `schedule.step: at most ${mostRows} rows`);
  const { hold = {}, command = {} } = drive ?? {};
  const gain = (field: "sample_time" | "position_gain" | "speed_bandwidth") => {
    const value = command[field] ?? (isFaulty(dossier, `drive.command.${field}`) ? undefined : hold[field]);
    if (value === undefined) gather.lack("schedule", `drive.command.${field}, or drive.hold.${field}`);
    return value?.value ?? Number.NaN;
  };
  const travel = plan.space.nominal[plan.slots.travel] ?? Number.NaN;
  const gains: LoopGains = {
    sampleTime: gain("sample_time") as Time,
    positionGain: gain("position_gain"),
    speedBandwidth: gain("speed_bandwidth"),
  };
  return history === undefined
    ? undefined
    : {
        history,
        step,
        jerkTime: may("schedule.jerk_time", schedule.jerk_time, usualJerkRows * step),
        isProportional: schedule.back_pressure === "proportional",
        speedShare,
        torqueShare,
        leastAngle: may("schedule.least_angle", schedule.least_angle, 0),
        largestAngle: may("schedule.largest_angle", schedule.largest_angle, travel),
        gains,
        motorTemperature: gather.may("schedule", "schedule.motor_temperature", schedule.motor_temperature),
      };
}

/** The history as moves or as points; what it lacks is noted. */
function wantedHistory(dossier: Dossier, gather: Gatherer<"schedule">): WantedHistory | undefined {
  const { start, moves, points } = dossier.valve.schedule ?? {};
  const lack = (path: string) => gather.lack("schedule", path);
  const faulty = ["schedule.moves", "schedule.points"].filter((path) => isFaulty(dossier, path));
  faulty.forEach(lack);
  if (faulty.length > 0) return undefined;
  if ((moves === undefined) === (points === undefined)) {
    lack("schedule.moves or schedule.points, one of them");
    return undefined;
  }
  const given = (path: string, value: Declared | undefined) => {
    if (value === undefined) lack(path);
    return value?.value ?? Number.NaN;
  };
  if (points !== undefined) {
    const times = points.map(({ time }, j) => given(`schedule.points[${j}].time`, time));
    const flows = points.map(({ flow }, j) => given(`schedule.points[${j}].flow`, flow));
    if (points.length < 2) lack("schedule.points: two or more");
    return gather.missingFor("schedule").length > 0 ? undefined : historyThrough(times, flows);
  }
  const first = given("schedule.start", start);
  const rows = (moves ?? []).map(({ to, within, shape, hold }, j) => {
    const path = `schedule.moves[${j}]`;
    if (shape === undefined) lack(`${path}.shape`);
    if (hold === undefined) gather.lackFaulty("schedule", `${path}.hold`);
    return {
      to: given(`${path}.to`, to),
      within: shape === "step" ? 0 : given(`${path}.within`, within),
      shape: shape ?? "ramp",
      hold: hold?.value ?? 0,
    };
  });
  if (rows.length === 0) lack("schedule.moves: one or more");
  return gather.missingFor("schedule").length > 0 ? undefined : historyOf(first, rows);
}

/** One sample that follows the schedule. */
interface Followed {
  readonly errors: Readonly<Record<string, number>>;
  readonly worstAngle: number;
  readonly worstFlow: number;
  readonly history: () => FollowedSchedule["history"];
}

class ScheduleRun {
  private readonly sample: ValveSample;

  constructor(
    private readonly plan: Plan,
    private readonly wish: Wish,
  ) {
    this.sample = new ValveSample(plan);
  }

  /** Probability with which the drive shall have what the schedule asks for. */
  private get chance(): number {
    const wanted = this.plan.dossier.valve.duty?.probability?.value ?? usualProbability;
    return wanted > 0 && wanted < 1 ? wanted : usualProbability;
  }

  get dutyFlow(): number {
    return this.plan.space.nominal[this.plan.slots.massFlow] ?? Number.NaN;
  }

  /** Takes the values of a sample: flow and torque over the openings, with the back pressure that goes with the flow. */
  take(values: Float64Array): void {
    const { sample, plan, wish } = this;
    sample.values.set(values.subarray(0, sample.values.length));
    if (wish.motorTemperature >= 0)
      sample.values[plan.slots.motorTemperature] =
        values[sample.values.length + wish.motorTemperature] ?? Number.NaN;
    sample.updateFlow();
    const { system } = sample;
    if (system !== undefined && wish.isProportional) this.putChamber(system);
    sample.updateTorque();
  }

  /** What the chamber adds for each kg/s [Pa s/kg], and the line without it. */
  private chamberOf(system: InstalledSystem): { readonly slope: number; readonly line: InstalledSystem } {
    if (!this.wish.isProportional) return { slope: 0, line: system };
    const back = this.sample.at(this.plan.slots.backPressure);
    const open = { ...system, backPressure: 0 as InstalledSystem["backPressure"] };
    return { slope: back / this.dutyFlow, line: open };
  }

  private putChamber(system: InstalledSystem): void {
    const { sample } = this;
    const { slope, line } = this.chamberOf(system);
    for (let j = 0; j < openings; j++) {
      const W = flowIntoChamber(line, slope, sample.coefficient[j] ?? 0, sample.recovery[j] ?? 1);
      const inlet = line.supplyPressure - line.upstream * W * W;
      sample.massFlow[j] = W;
      sample.inlet[j] = inlet;
      sample.drop[j] = (inlet - line.downstream * W * W - slope * W) as PressureDifference;
    }
  }

  /** Flow of the present sample against opening, finer than its grid. */
  table(): FlowTable {
    const { sample } = this;
    const { system } = sample;
    const travel = sample.at(this.plan.slots.travel);
    const angle = Float64Array.from({ length: tableOpenings }, (_, j) => (travel * j) / (tableOpenings - 1));
    if (system === undefined) return { angle, flow: new Float64Array(tableOpenings) };
    const { slope, line } = this.chamberOf(system);
    const flow = angle.map((at) => {
      const { coefficient, recovery } = sample.openingAt(at);
      return flowIntoChamber(line, slope, coefficient[0] ?? 0, recovery[0] ?? 1);
    });
    return { angle, flow };
  }

  /** The drive's limits at the slow end of the samples. */
  limitsOver(
    overSamples: (each: (values: Float64Array) => Record<string, number>) => OwnFigures,
    nominal: Float64Array,
  ): { readonly limits: DriveLimits; readonly count: number } {
    const { wish } = this;
    const found: Omit<DriveLimits, "speedShare">[] = [];
    const { count } = overSamples((values) => {
      this.take(values);
      found.push(limitsOf(this.sample, this.sample.train(), wish.torqueShare));
      return {};
    });
    this.take(nominal);
    const atNominal = limitsOf(this.sample, this.sample.train(), wish.torqueShare);
    const limits = slowEnd(found.slice(0, count), atNominal, this.chance);
    return { limits: { ...limits, speedShare: wish.speedShare }, count };
  }

  /** The schedule, and what of the history no opening gives. */
  made(table: FlowTable, limits: DriveLimits) {
    const { wish, dutyFlow } = this;
    const { history, step } = wish;
    const lowest = wish.leastAngle;
    const highest = Math.min(wish.largestAngle, table.angle.at(-1) ?? Number.NaN);
    const opening = (share: number) => {
      const found = openingForFlow(table, share * dutyFlow);
      return Math.min(Math.max(found ?? highest, lowest), highest);
    };
    const schedule = scheduleWithin(
      (t) => opening(history.at(t)),
      history.duration,
      step,
      limits,
      wish.jerkTime,
    );
    if ("stuckAt" in schedule) return schedule;
    const most = flowAtOpening(table, highest) / dutyFlow;
    const least = flowAtOpening(table, lowest) / dutyFlow;
    const rows = Math.ceil(history.duration / step) + 1;
    let beyond = 0;
    for (let k = 0; k < rows; k++) {
      const wanted = history.at(k * step);
      if (wanted > most * (1 + rounding) || wanted < least * (1 - rounding)) beyond++;
    }
    const outOfReach: OutOfReach = { most, least, share: beyond / rows };
    return { schedule, outOfReach };
  }

  /** The present sample along a schedule. */
  follow(schedule: Schedule, nominalTable: FlowTable): Followed {
    const { sample, wish, dutyFlow } = this;
    const { angle, lead } = schedule;
    const { step, history } = wish;
    const n = angle.length;
    const train = sample.train();
    const start = angle[0] ?? Number.NaN;
    const path = new StrokePath();
    const end = (n - 1) * step;
    // Powered and led from before the first row: nothing is dead. Only a ball that stands closed has stood.
    const live = {
      ...train,
      deadTime: 0 as Time,
      dwellTorque: start === 0 ? train.dwellTorque : (0 as Torque),
    };
    runStroke(live, {
      sense: 1,
      start: start as Angle,
      horizon: end as Time,
      marks: new Float64Array(0),
      controller: followingController(live, wish.gains, end as Time, pointAt(angle, step)),
      isWhole: true,
      tolerance,
      path,
      buffers: sample.strokeBuffers,
    });
    const times = Float64Array.from({ length: n }, (_, k) => k * step);
    const column = () => new Float64Array(n);
    const [at, speed, current] = [column(), column(), column()];
    path.sample(times, at, speed, current);
    const table: FlowTable = { angle: sample.angles, flow: sample.massFlow };
    const wanted = times.map((time) => history.at(time - lead));
    const flow = at.map((value) => flowAtOpening(table, value) / dutyFlow);
    const ofAngle = errorsOf(at, angle);
    const ofFlow = errorsOf(flow, wanted);
    return {
      errors: {
        angle: ofAngle.most,
        "angle-rms": ofAngle.rms,
        flow: ofFlow.most,
        "flow-rms": ofFlow.rms,
      },
      worstAngle: ofAngle.worst,
      worstFlow: ofFlow.worst,
      history: () => ({
        time_s: [...times],
        scheduled_rad: [...angle],
        angle_rad: [...at],
        wanted: [...wanted],
        scheduledFlow: Array.from(angle, (value) => flowAtOpening(nominalTable, value) / dutyFlow),
        flow: [...flow],
        current_A: [...current],
      }),
    };
  }
}

/** A flow that is missed by less is not [-]. */
const rounding = 1e-6;

/** Angle, speed and acceleration of the rows at any time: straight between them, at rest after the last. */
function pointAt(angle: Float64Array, step: number) {
  const last = angle.length - 1;
  const at = (k: number) => angle[Math.min(Math.max(k, 0), last)] ?? Number.NaN;
  return (time: number) => {
    const k = Math.floor(time / step + 1e-9);
    const speed = (at(k + 1) - at(k)) / step;
    return {
      angle: at(k) + speed * (time - k * step),
      speed,
      acceleration: (at(k + 1) - 2 * at(k) + at(k - 1)) / (step * step),
    };
  };
}

function errorsOf(got: Float64Array, wanted: Float64Array) {
  let most = 0;
  let worst = 0;
  let squares = 0;
  for (let k = 0; k < got.length; k++) {
    const error = Math.abs((got[k] ?? Number.NaN) - (wanted[k] ?? Number.NaN));
    squares += error * error;
    if (!(error > most)) continue;
    most = error;
    worst = k;
  }
  return { most, worst, rms: Math.sqrt(squares / got.length) };
}
