/**
 * Other commands of a start: other offsets of the two commands, and valves led at an even speed of their balls in a longer
 * time. Each is told with the share of the samples that keep lead, mixture ratio and unburnt mass.
 *
 * Before it lights neither side knows of the other: an offset moves the lead by itself, and where that leaves its limits
 * nothing is to be followed.
 */
import type { EngineRun } from "../physics/start/index.js";
import { ownProbability } from "./ownBand.js";
import { ledTried, offsetsTried, type TriedStart } from "./startAnswer.js";
import type { EngineMotion, EngineSample, StartEngine } from "./startEngine.js";

type Limits = StartEngine["limits"];

/** A command that is tried, and how it is told. */
interface Trial {
  readonly words: string;
  readonly offset_s: number;
  readonly motion: EngineMotion;
}

/** Offsets that are proposed are whole such times [s]. */
const commandTick = 1e-3;

export class TriedStarts {
  private readonly limits: Limits;
  private offsets: readonly Trial[] = [];
  private led: readonly Trial[] = [];

  /** @param follow  an engine of a sample through an opening */
  constructor(
    private readonly engine: StartEngine,
    private readonly follow: (taken: EngineSample, motion: EngineMotion) => EngineRun,
  ) {
    this.limits = engine.limits;
  }

  /** Lays down what is tried, from the nominal start and its lead. */
  aim(nominal: EngineSample, lead: number): void {
    const { offset, own, partner } = nominal;
    this.offsets = Array.from({ length: 2 * offsetsTried.around + 1 }, (_, k): Trial => {
      const moreOffset = (k - offsetsTried.around) * offsetsTried.apart_s;
      return {
        words: "both as they move",
        offset_s: offset + moreOffset,
        motion: { sense: "opening", moreOffset },
      };
    });
    const wanted = middleOf(this.limits) ?? lead;
    const timeOf = ({ valve }: EngineSample["own"], factor: number) =>
      Math.round((factor * (valve.end - valve.start)) / ledTried.rounded_s) * ledTried.rounded_s;
    this.led = ledTried.factors.flatMap((factor) => {
      const ownLed = timeOf(own, factor);
      const partnerLed = timeOf(partner, factor);
      const [mine, other] = [ownLed, partnerLed].map((time) => `${(1000 * time).toFixed(0)} ms`);
      return (
        [
          [`this valve led in ${mine}`, { ownLed }],
          [`the other valve led in ${other}`, { partnerLed }],
          [`this valve led in ${mine}, the other in ${other}`, { ownLed, partnerLed }],
        ] as const
      ).map(([words, how]): Trial => {
        const led = { sense: "opening", ...how } as const;
        const ideal = offset + this.shift(leadOf(this.follow(nominal, led)) - wanted);
        const offset_s = Math.round(ideal / commandTick) * commandTick;
        return { words, offset_s, motion: { ...led, moreOffset: offset_s - offset } };
      });
    });
  }

  /** 1 where a trial keeps all three limits in a sample, else 0; none where a limit is not known. @param start as declared */
  figures(taken: EngineSample, start: EngineRun): Readonly<Record<string, number>> {
    const { leastLead, mostLead } = this.limits;
    const figures: Record<string, number> = {};
    if (leastLead === undefined || mostLead === undefined) return figures;
    const lead = leadOf(start);
    this.offsets.forEach(({ motion }, k) => {
      const moved = lead - this.shift(motion.moreOffset ?? 0);
      figures[`offset:${k}`] =
        moved >= leastLead && moved <= mostLead ? isInside(this.limits, this.follow(taken, motion)) : 0;
    });
    this.led.forEach(({ motion }, k) => {
      figures[`led:${k}`] = isInside(this.limits, this.follow(taken, motion));
    });
    return figures;
  }

  answer(samples: Readonly<Record<string, Float64Array>>) {
    const told = (trials: readonly Trial[], id: string) =>
      trials.flatMap(({ words, offset_s }, k): readonly TriedStart[] => {
        const inside = (samples[`${id}:${k}`] ?? new Float64Array(0)).filter((one) => !Number.isNaN(one));
        const share = ownProbability(inside, { least: 1 });
        return share === undefined ? [] : [{ words, offset_s, inside: share }];
      });
    return { offsets: told(this.offsets, "offset"), led: told(this.led, "led") };
  }

  /** What a later command of the other valve takes off the lead, and the other way round [s]. */
  private shift(time: number): number {
    return this.engine.side === "oxidiser" ? time : -time;
  }
}

/** Oxidiser after fuel at the injector; late without end where one does not come, NaN where neither does [s]. */
export function leadOf({ oxidiser, fuel }: EngineRun): number {
  return (oxidiser.arrives ?? Number.POSITIVE_INFINITY) - (fuel.arrives ?? Number.POSITIVE_INFINITY);
}

/** The worse of the two distances to the box; 0 where it does not light, NaN without a box [-]. */
export function shareOfBox(limits: Limits, { ignites, leastRatio, mostRatio }: EngineRun): number {
  if (limits.leastRatio === undefined || limits.mostRatio === undefined) return Number.NaN;
  return ignites === undefined ? 0 : Math.min(leastRatio / limits.leastRatio, limits.mostRatio / mostRatio);
}

/** 1 where a start keeps box, lead and unburnt mass, else 0; NaN where one of these limits is not known. */
function isInside(limits: Limits, run: EngineRun): number {
  const { leastLead, mostLead, unburnt } = limits;
  const box = shareOfBox(limits, run);
  if (Number.isNaN(box) || leastLead === undefined || mostLead === undefined || unburnt === undefined)
    return Number.NaN;
  const lead = leadOf(run);
  return box >= 1 && lead >= leastLead && lead <= mostLead && run.unburnt <= unburnt ? 1 : 0;
}

function middleOf({ leastLead, mostLead }: Limits): number | undefined {
  return leastLead === undefined || mostLead === undefined ? undefined : 0.5 * (leastLead + mostLead);
}
