/**
 * How the engine starts and stops in one case, with a small band of its own (docs/theory/start.md): this valve with the
 * motion of question 3, the other as declared, both propellants on their way to a chamber that burns.
 */
import { type Dossier, isFaulty } from "../dossier/index.js";
import { Refusal } from "../fault/index.js";
import { type EngineRun, followEngine } from "../physics/start/index.js";
import type { Time } from "../quantity/index.js";
import { Gatherer } from "./gather.js";
import type { InputSpace } from "./inputs.js";
import { joinedSpace } from "./joinedSpace.js";
import type { LiquidFit } from "./liquidFit.js";
import { ownFigures, type Sampling } from "./ownBand.js";
import { isAnswerable, type Plan, planFor } from "./plan.js";
import {
  type FailedStart,
  offsetsTried,
  type StartAnswer,
  type StartRuns,
  startIds,
  startPoints,
  type TriedOffset,
} from "./startAnswer.js";
import { type EngineMotion, StartEngine } from "./startEngine.js";
import { withoutUnread } from "./surge.js";
import { type Motion, ValveMotions } from "./surgeMotion.js";
import { ValveSample } from "./valveSample.js";

/** Step of what is drawn, of a sample, and of the offsets that are tried [s]. */
const steps = { drawn: 1e-3, sample: 2e-3, offset: 4e-3 } as const;
/** Other offsets are tried in one of so many samples: each costs as much as a start. */
const offsetEvery = 3;
/** Points of this valve's motion. */
const motionPoints = 121;
/** A run goes on so long after the later valve stands still [s]. */
const afterMotion = 0.06;
/** Instants at which the power is lost, and how much slower a slow valve is [-]. */
const powerLosses = 8;
const slowerBy = 3;
/** Samples: as many as show the wanted probability, and no more. */
const mostSamples = 24;

/** Starts and stops the engine of a case. Refuses an unknown case. */
export function startOf(dossier: Dossier, caseId: string, sampling: Sampling): StartAnswer {
  const plan = planFor(dossier, caseId);
  const gather = new Gatherer<string>((path) => isFaulty(dossier, path));
  const engine = new StartEngine(dossier, plan, gather);
  const missing = [...new Set([...plan.missing.motion, ...gather.missingFor("start")])];
  const space = withoutUnread(joinedSpace(plan.space, gather.space([], [])));
  const nothing = (unfit: string | undefined): StartAnswer => ({
    unfit,
    missing,
    side: engine.side,
    figures: ownFigures(space, startIds, { ...sampling, samples: 0 }, () => ({})),
    runs: undefined,
    offsets: [],
    times: [],
  });
  if (plan.medium.kind !== "liquid" || plan.medium.fit.fluid !== dossier.valve.duty?.fluid)
    return nothing("a case in which the propellant of the duty flows");
  if (missing.length > 0 || !isAnswerable(plan, "motion")) return nothing(undefined);
  try {
    const starts = new Starts(plan, engine, space);
    const runs = starts.nominal();
    const times = Array.from({ length: startPoints }, (_, k) => (starts.until * k) / (startPoints - 1));
    const figures = ownFigures(space, startIds, { ...sampling, most: mostSamples }, (values) =>
      starts.figures(values, times),
    );
    return { ...nothing(undefined), figures, runs, times, offsets: starts.tried(figures.samples) };
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return nothing(thrown.faults.map(({ found }) => found).join("; "));
  }
}

class Starts {
  private readonly sample: ValveSample;
  private readonly values: Float64Array;
  private readonly motions: ValveMotions;
  private readonly partnerLiquid: LiquidFit;
  private readonly offsets: number[] = [];
  /** Vectors of values whose figures were asked for. */
  private taken = 0;
  /** Of the nominal start [s]. */
  until = 0;

  constructor(
    private readonly plan: Plan,
    private readonly engine: StartEngine,
    private readonly space: InputSpace,
  ) {
    this.sample = new ValveSample(plan);
    this.motions = new ValveMotions(plan, this.sample);
    this.values = Float64Array.from(space.nominal);
    this.partnerLiquid = engine.partnerLiquid();
  }

  nominal(): StartRuns {
    this.take(this.space.nominal);
    const opening = this.motions.motion("opening", motionPoints);
    const closing = this.motions.motion("closing", motionPoints);
    const [ownAt, partnerAt] = this.engine.commands(this.own, "opening");
    for (let k = -offsetsTried.around; k <= offsetsTried.around; k++)
      this.offsets.push(k * offsetsTried.apart_s);
    const partner = this.engine.partnerTrace(this.own, "opening");
    this.until = this.endOf(opening, "opening", 0);
    const run = (motion: Omit<EngineMotion, "own">) =>
      this.follow({ ...motion, own: motion.sense === "opening" ? opening : closing }, steps.drawn, true);
    const start = run({ sense: "opening" });
    const losses = Array.from({ length: powerLosses }, (_, k): FailedStart => {
      const at = ((this.until - afterMotion) * (k + 1)) / (powerLosses + 1);
      return {
        words: `power lost at ${(1000 * at).toFixed(0)} ms, both stand`,
        run: run({ sense: "opening", stopsAt: at }),
      };
    });
    const stop = run({ sense: "closing" });
    const ownIsOxidiser = this.engine.side === "oxidiser";
    const standing = ({ oxidiser, fuel }: EngineRun) => ({
      own: (ownIsOxidiser ? oxidiser : fuel).standing,
      partner: (ownIsOxidiser ? fuel : oxidiser).standing,
    });
    return {
      start,
      stop,
      own: { trace: opening, offset_s: ownAt },
      partner: { trace: partner, offset_s: partnerAt },
      failed: [
        { words: "this valve stays shut", run: run({ sense: "opening", standing: "own" }) },
        { words: "the other valve stays shut", run: run({ sense: "opening", standing: "partner" }) },
        {
          words: `this valve takes ${slowerBy} times as long`,
          run: run({ sense: "opening", ownSlower: slowerBy }),
        },
        {
          words: `the other valve takes ${slowerBy} times as long`,
          run: run({ sense: "opening", partnerSlower: slowerBy }),
        },
        ...losses,
      ],
      dribble: standing(stop),
    };
  }

  figures(values: Float64Array, times: readonly number[]): Readonly<Record<string, number>> {
    this.take(values);
    const opening = this.motions.motion("opening", motionPoints);
    const closing = this.motions.motion("closing", motionPoints);
    const start = this.follow({ sense: "opening", own: opening }, steps.sample, true);
    const stop = this.follow({ sense: "closing", own: closing }, steps.sample, false);
    const isOxidiser = this.engine.side === "oxidiser";
    const { oxidiser, fuel } = start;
    const [own, partner] = isOxidiser ? [oxidiser, fuel] : [fuel, oxidiser];
    const late = Number.POSITIVE_INFINITY;
    const fill = ({ arrives, flows }: typeof own) =>
      arrives === undefined || flows === undefined ? late : arrives - flows;
    const lit = start.ignites !== undefined;
    const figures: Record<string, number> = {
      lead: difference(oxidiser.arrives, fuel.arrives),
      "fill:own": fill(own),
      "fill:partner": fill(partner),
      box: this.inBox(start),
      unburnt: start.unburnt,
      burnt: start.burntAtOnce,
      ignites: start.ignites ?? late,
      rises: start.rises ?? late,
      pressure: start.pressure,
      stop: difference(stop.fuel.falls, stop.oxidiser.falls),
      "injector:own": lit ? own.injectorShare : 0,
      "injector:partner": lit ? partner.injectorShare : 0,
    };
    const isTried = this.taken++ % offsetEvery === 0;
    this.offsets.forEach((more, k) => {
      if (!isTried) return;
      figures[`offset:${k}`] = this.isInside(
        this.follow({ sense: "opening", own: opening, moreOffset: more }, steps.offset, false),
      );
    });
    const { trace } = start;
    if (trace !== undefined)
      times.forEach((t, k) => {
        const at = Math.min(lowerPlace(trace.time, t), trace.time.length - 1);
        figures[`p:${k}`] = trace.pressure[at] ?? Number.NaN;
        figures[`ox:${k}`] = trace.oxidiser[at] ?? Number.NaN;
        figures[`fu:${k}`] = trace.fuel[at] ?? Number.NaN;
      });
    return figures;
  }

  /** Share of the samples that keep all three limits at each offset. */
  tried(samples: Readonly<Record<string, Float64Array>>): readonly TriedOffset[] {
    const declared = this.declaredOffset();
    return this.offsets.flatMap((more, k) => {
      const boxes = (samples[`offset:${k}`] ?? new Float64Array(0)).filter((one) => !Number.isNaN(one));
      if (boxes.length === 0) return [];
      const inside = boxes.reduce((sum, one) => sum + (one === 1 ? 1 : 0), 0) / boxes.length;
      return [{ offset_s: declared + more, inside }];
    });
  }

  private declaredOffset(): number {
    this.take(this.space.nominal);
    return this.engine.offset(this.own, "opening");
  }

  /** The worse of the two distances to the box; 0 where it does not light, NaN without a box. */
  private inBox({ ignites, leastRatio, mostRatio }: EngineRun): number {
    const { limits } = this.engine;
    if (limits.leastRatio === undefined || limits.mostRatio === undefined) return Number.NaN;
    return ignites === undefined ? 0 : Math.min(leastRatio / limits.leastRatio, limits.mostRatio / mostRatio);
  }

  /** 1 where a start keeps box, lead and unburnt mass, else 0; NaN where one of these limits is not known. */
  private isInside(run: EngineRun): number {
    const { leastLead, mostLead, unburnt } = this.engine.limits;
    const box = this.inBox(run);
    if (Number.isNaN(box) || leastLead === undefined || mostLead === undefined || unburnt === undefined)
      return Number.NaN;
    const lead = difference(run.oxidiser.arrives, run.fuel.arrives);
    return box >= 1 && lead >= leastLead && lead <= mostLead && run.unburnt <= unburnt ? 1 : 0;
  }

  private follow(motion: EngineMotion, step: number, records: boolean): EngineRun {
    const engine = this.engine.build(this.sample, this.own, this.partnerLiquid, motion);
    const until = this.endOf(
      motion.own,
      motion.sense,
      motion.moreOffset ?? 0,
      motion.ownSlower,
      motion.partnerSlower,
    );
    return followEngine(engine, {
      step: step as Time,
      until: until as Time,
      from: motion.sense === "opening" ? "empty" : "burning",
      records,
    });
  }

  private endOf(
    own: Pick<Motion, "start" | "end">,
    sense: EngineMotion["sense"],
    more: number,
    ownSlower = 1,
    partnerSlower = 1,
  ): number {
    const [ownAt, partnerAt] = this.engine.commands(this.own, sense, more);
    const ownEnd = ownAt + own.start + ownSlower * (own.end - own.start);
    return Math.max(ownEnd, partnerAt + this.engine.partnerEnd(this.own, sense, partnerSlower)) + afterMotion;
  }

  private readonly own = (slot: number): number =>
    slot < 0 ? Number.NaN : (this.values[this.plan.space.nominal.length + slot] ?? Number.NaN);

  private take(values: Float64Array): void {
    this.values.set(values);
    this.sample.values.set(this.values.subarray(0, this.plan.space.nominal.length));
    this.sample.updateFlow();
    this.motions.takeSteady();
  }
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

/** First less second, where one that does not come is late without end; NaN where neither comes. */
function difference(first: number | undefined, second: number | undefined): number {
  return (first ?? Number.POSITIVE_INFINITY) - (second ?? Number.POSITIVE_INFINITY);
}
