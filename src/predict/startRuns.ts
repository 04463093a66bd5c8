/** The starts and stops of one case: those at the nominal values, and the figures of a sample. */
import { type Engine, type EngineRun, followEngine } from "../physics/start/index.js";
import type { Time } from "../quantity/index.js";
import type { InputSpace } from "./inputs.js";
import type { LiquidFit } from "./liquidFit.js";
import type { Plan } from "./plan.js";
import { type FailedRun, type StartRuns, startPoints, timeFigures } from "./startAnswer.js";
import { commandsOf, type EngineMotion, type EngineSample, type StartEngine } from "./startEngine.js";
import { leadOf, shareOfBox, TriedStarts } from "./startTried.js";
import { ValveMotions } from "./surgeMotion.js";
import { ValveSample } from "./valveSample.js";

/** Step of what is drawn, of a sample, and of other commands that are tried: some hundredths of a motion [s]. */
const steps = { drawn: 1e-3, sample: 4e-3, tried: 8e-3 } as const;
/** A motion that hardly comes to its end is followed in so many steps. */
const mostSteps = 800;
/** Points of this valve's motion. */
const motionPoints = 121;
/** A run goes on so long after the later valve stands still [s]. */
const afterMotion = 0.06;
/** Instants at which the power is lost, and how much slower a slow valve is [-]. */
const powerLosses = 8;
const slowerBy = 3;
/** Names of the figures against time. */
const timeNames = timeFigures.map((id) => Array.from({ length: startPoints }, (_, k) => `${id}:${k}`));

/** A sample's engine with the motions of both senses. */
interface Taken {
  readonly opening: EngineSample;
  readonly closing: EngineSample;
}

export class Starts {
  private readonly sample: ValveSample;
  private readonly values: Float64Array;
  private readonly motions: ValveMotions;
  private readonly partnerLiquid: LiquidFit;
  private readonly others: TriedStarts;
  /** End of the nominal start [s]. */
  until = 0;

  constructor(
    private readonly plan: Plan,
    private readonly engine: StartEngine,
    private readonly space: InputSpace,
    private readonly known: { readonly stops: boolean; readonly aborts: boolean },
  ) {
    this.sample = new ValveSample(plan);
    this.motions = new ValveMotions(plan, this.sample);
    this.values = Float64Array.from(space.nominal);
    this.partnerLiquid = engine.partnerLiquid();
    this.others = new TriedStarts(engine, (taken, motion) => this.follow(taken, motion, steps.tried, false));
  }

  nominal(): StartRuns {
    const taken = this.take(this.space.nominal);
    const { opening, closing } = taken;
    const [ownAt, partnerAt] = commandsOf(opening);
    this.until = endOf(this.engine.commanded(opening, { sense: "opening" }));
    const run = (motion: EngineMotion, records = false) =>
      this.follow(motion.sense === "opening" ? opening : closing, motion, steps.drawn, records);
    const start = run({ sense: "opening" }, true);
    const stop = this.known.stops ? run({ sense: "closing" }, true) : undefined;
    const abort = this.aborted(closing, steps.drawn);
    this.others.aim(opening, leadOf(start));
    const isOwnOxidiser = this.engine.side === "oxidiser";
    return {
      start,
      stop,
      abort,
      unlit: run({ sense: "opening", unlit: true }),
      own: { trace: opening.own.valve, offset_s: ownAt },
      partner: { trace: opening.partner.valve, offset_s: partnerAt },
      failed: failures("opening", run, this.until - afterMotion, this.demanded),
      failedStops: this.known.stops
        ? failures(
            "closing",
            run,
            endOf(this.engine.commanded(closing, { sense: "closing" })) - afterMotion,
            this.demanded,
          )
        : [],
      dribble:
        stop === undefined
          ? undefined
          : isOwnOxidiser
            ? { own: stop.oxidiser.standing, partner: stop.fuel.standing }
            : { own: stop.fuel.standing, partner: stop.oxidiser.standing },
    };
  }

  figures(values: Float64Array, times: readonly number[]): Readonly<Record<string, number>> {
    const { opening, closing } = this.take(values);
    const start = this.follow(opening, { sense: "opening" }, steps.sample, true);
    const stop = this.known.stops
      ? this.follow(closing, { sense: "closing" }, steps.sample, false)
      : undefined;
    const abort = this.aborted(closing, steps.sample);
    const { oxidiser, fuel } = start;
    const [own, partner] = this.engine.side === "oxidiser" ? [oxidiser, fuel] : [fuel, oxidiser];
    const late = Number.POSITIVE_INFINITY;
    const fill = ({ arrives, flows }: typeof own) =>
      arrives === undefined || flows === undefined ? late : arrives - flows;
    const lit = start.ignites !== undefined;
    const figures: Record<string, number> = {
      lead: leadOf(start),
      "fill:own": fill(own),
      "fill:partner": fill(partner),
      box: shareOfBox(this.engine.limits, start) - 1,
      unburnt: lit ? start.unburnt : late,
      burnt: lit ? start.burntAtOnce : late,
      ignites: start.ignites ?? late,
      rises: start.rises ?? late,
      pressure: start.pressure,
      ...(stop === undefined ? {} : { stop: fuelAfter(stop) }),
      ...(abort === undefined ? {} : { abort: fuelAfter(abort) }),
      "injector:own": lit ? own.injectorShare : 0,
      "injector:partner": lit ? partner.injectorShare : 0,
      ...this.others.figures(opening, start),
    };
    const { trace } = start;
    if (trace !== undefined)
      [trace.pressure, trace.oxidiser, trace.fuel].forEach((column, j) => {
        times.forEach((t, k) => {
          const at = Math.min(lowerPlace(trace.time, t), trace.time.length - 1);
          figures[timeNames[j]?.[k] ?? ""] = column[at] ?? Number.NaN;
        });
      });
    return figures;
  }

  /** A stop by the commands of an abort; undefined where they are not known. */
  private aborted(closing: EngineSample, step: number): EngineRun | undefined {
    if (!this.known.aborts) return undefined;
    return this.follow({ ...closing, offset: closing.abortOffset }, { sense: "closing" }, step, false);
  }

  /** What other commands keep of the samples. */
  tried(samples: Readonly<Record<string, Float64Array>>) {
    return this.others.answer(samples);
  }

  private follow(taken: EngineSample, motion: EngineMotion, step: number, records: boolean): EngineRun {
    const engine = this.engine.commanded(taken, motion);
    const until = endOf(engine);
    return followEngine(engine, {
      step: Math.max(step, until / mostSteps) as Time,
      until: until as Time,
      from: motion.sense === "opening" ? "empty" : "burning",
      records,
    });
  }

  /** What this valve must do once power is lost, where that is another thing than to stand. */
  private get demanded(): string | undefined {
    const state = this.plan.dossier.valve.duty?.power_loss?.state;
    return state === "holds" ? undefined : state;
  }

  private readonly own = (slot: number): number =>
    slot < 0 ? Number.NaN : (this.values[this.plan.space.nominal.length + slot] ?? Number.NaN);

  private take(values: Float64Array): Taken {
    this.values.set(values);
    this.sample.values.set(this.values.subarray(0, this.plan.space.nominal.length));
    this.sample.updateFlow();
    this.motions.takeSteady();
    const taken = (sense: "opening" | "closing") => {
      const motion = this.motions.motion(sense, motionPoints);
      return this.engine.sampleOf(this.sample, this.own, this.partnerLiquid, sense, motion);
    };
    return { opening: taken("opening"), closing: taken("closing") };
  }
}

/** Fuel below a tenth of its flow after the oxidiser [s]. */
function fuelAfter({ fuel, oxidiser }: EngineRun): number {
  return (fuel.falls ?? Number.POSITIVE_INFINITY) - (oxidiser.falls ?? Number.POSITIVE_INFINITY);
}

/** A run is followed until both valves stand, and what is due to light then has lit [s]. */
function endOf({ oxidiser, fuel, ignition }: Engine): number {
  const stands = Math.max(oxidiser.offset + oxidiser.valve.end, fuel.offset + fuel.valve.end);
  const delay = Number.isFinite(ignition.delay) ? ignition.delay : 0;
  return (ignition.condition === "time" ? Math.max(stands, delay) : stands + delay) + afterMotion;
}

/** Runs in which something fails. @param until both valves stand from then on [s] */
function failures(
  sense: EngineMotion["sense"],
  run: (motion: EngineMotion) => EngineRun,
  until: number,
  demanded: string | undefined,
): readonly FailedRun[] {
  const other =
    demanded === undefined ? "" : `; not the state of duty.power_loss, in which this valve ${demanded}`;
  const stays = sense === "opening" ? "shut" : "open";
  const losses = Array.from({ length: powerLosses }, (_, k): FailedRun => {
    const at = (until * (k + 1)) / (powerLosses + 1);
    return {
      words: `power lost at ${(1000 * at).toFixed(0)} ms, both stand${other}`,
      run: run({ sense, stopsAt: at }),
    };
  });
  return [
    { words: `this valve stays ${stays}`, run: run({ sense, standing: "own" }) },
    { words: `the other valve stays ${stays}`, run: run({ sense, standing: "partner" }) },
    { words: `this valve takes ${slowerBy} times as long`, run: run({ sense, ownSlower: slowerBy }) },
    {
      words: `the other valve takes ${slowerBy} times as long`,
      run: run({ sense, partnerSlower: slowerBy }),
    },
    ...losses,
  ];
}

/** Index of the first time at or after one. */
function lowerPlace(times: readonly number[], t: number): number {
  let low = 0;
  let high = times.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((times[middle] ?? 0) < t) low = middle + 1;
    else high = middle;
  }
  return low;
}
