/** What the cold does to the opening by way of the seats' preload: the nominal opening with it as it is, and with all of it kept. */
import type { Dossier } from "../dossier/index.js";
import { timeDefinitions } from "../physics/motion/index.js";
import { breakawayTorque } from "./margin.js";
import { isAnswerable, planFor } from "./plan.js";
import { flowMark, strokeOf } from "./strokes.js";
import { turningInputsOf } from "./turningInputs.js";
import { ValveSample } from "./valveSample.js";

/** One preload with what follows from it, nominal. */
export interface CoupledOpening {
  /** At the temperature of the valve [N]. */
  readonly preload_N: number;
  /** Breakaway torque from closed [N m]. */
  readonly breakaway_Nm: number;
  /** By the definition of the limit; undefined for a drive that does not open [s]. */
  readonly time_s: number | undefined;
}

/** The opening of a cold valve, with the preload left at its temperature, with all of it, and with none. */
export interface ColdCoupling {
  readonly left: CoupledOpening;
  readonly kept: CoupledOpening;
  readonly lost: CoupledOpening;
}

/** A ratio that changes the preload by less is none [-]. */
const noChange = 1e-3;

/**
 * @param dossier with its defaults applied;  @param definition of the opening time, an id of `timeDefinitions`
 * @returns       undefined where the opening is not known, or the preload is that at ambient
 * Refuses        an unknown case
 */
export function coldCoupling(dossier: Dossier, caseId: string, definition: string): ColdCoupling | undefined {
  const plan = planFor(dossier, caseId);
  if (!isAnswerable(plan, "motion")) return undefined;
  const sample = new ValveSample(plan);
  const place = timeDefinitions.findIndex(({ id }) => id === definition);
  const { seatPreload, seatPreloadColdRatio } = plan.slots;
  const opened = (ratio: number | undefined, share = 1): CoupledOpening => {
    sample.values.set(plan.space.nominal);
    if (ratio !== undefined) sample.values[seatPreloadColdRatio] = ratio;
    sample.values[seatPreload] = sample.at(seatPreload) * share;
    sample.updateFlow();
    sample.updateTorque();
    const train = sample.train();
    const { stroke, times } = strokeOf(plan, sample, train, "opening", flowMark(sample, "opening"));
    const time = times[place] ?? Number.NaN;
    return {
      preload_N: turningInputsOf(plan, sample.values).seatPreload,
      breakaway_Nm: breakawayTorque(sample),
      time_s: stroke.outcome === "arrived" && time > 0 ? time : undefined,
    };
  };
  const left = opened(undefined);
  const kept = opened(1);
  if (Math.abs(left.preload_N - kept.preload_N) <= noChange * kept.preload_N) return undefined;
  return { left, kept, lost: opened(undefined, 0) };
}
