/**
 * The answers of a case that do not come from its strokes: what the cold does, cool-down, heat, trapped
 * liquid. Each is worked out once, when it is first asked for; `workOut` does so ahead, while the strokes
 * run elsewhere.
 */
import type { Dossier } from "../dossier/index.js";
import { type BoundaryAnswer, boundaryOf } from "./boundary.js";
import { type ColdAnswer, coldOf } from "./cold.js";
import { type ColdCoupling, coldCoupling } from "./coldCoupling.js";
import { type CoolDownAnswer, coolDownOf } from "./coolDown.js";
import { type HeatAnswer, heatOf } from "./heat.js";
import { type HoldingAnswer, holdingOf } from "./holding.js";
import { type Sampling, samplesToShow } from "./ownBand.js";
import { type OxygenAnswer, oxygenOf } from "./oxygen.js";
import { type BlockRunner, type Prediction, type PredictionOptions, predict } from "./prediction.js";
import { scheduleOf } from "./schedule.js";
import type { ScheduleAnswer } from "./scheduleAnswer.js";
import { type ShockAnswer, shockOf } from "./shock.js";
import { startOf } from "./start.js";
import type { StartAnswer } from "./startAnswer.js";
import { type StrengthAnswer, strengthOf } from "./strength.js";
import { surgeOf } from "./surge.js";
import type { SurgeAnswer } from "./surgeAnswer.js";
import { type TrappedAnswer, trappedOf } from "./trapped.js";

/** What a shell adds to the work of a prediction. */
export interface Meanwhile {
  /** Between two answers: lets what waits for this thread go on. */
  readonly pause: () => Promise<void>;
  /** Called once the strokes are done, whatever is still to be worked out. */
  readonly onStrokes?: (prediction: Prediction, own: OwnAnswers) => void;
}

/** Predicts one case, and works out what does not come from the strokes while these run elsewhere. */
export async function predictWithOwn(
  dossier: Dossier,
  caseId: string,
  options: PredictionOptions,
  run: BlockRunner,
  meanwhile?: Meanwhile,
): Promise<{ readonly prediction: Prediction; readonly own: OwnAnswers }> {
  const own = new OwnAnswers(dossier, caseId, options);
  const predicting = predict(dossier, caseId, options, run).then((prediction) => {
    meanwhile?.onStrokes?.(prediction, own);
    return prediction;
  });
  // Who waits for the strokes gets them before anything else is begun.
  if (meanwhile?.onStrokes !== undefined) await predicting;
  const working = own.workOut(meanwhile?.pause);
  const [prediction] = await Promise.all([predicting, working]);
  return { prediction, own };
}

export class OwnAnswers {
  private readonly sampling: Sampling;
  private boundaryNow: BoundaryAnswer | undefined;
  private coldNow: ColdAnswer | undefined;
  private coolDownNow: CoolDownAnswer | undefined;
  private holdingNow: HoldingAnswer | undefined;
  private heatNow: HeatAnswer | undefined;
  private oxygenNow: OxygenAnswer | undefined;
  private scheduleNow: ScheduleAnswer | undefined;
  private shockNow: ShockAnswer | undefined;
  private startNow: StartAnswer | undefined;
  private strengthNow: StrengthAnswer | undefined;
  private surgeNow: SurgeAnswer | undefined;
  private trappedNow: TrappedAnswer | undefined;

  /** @param sampling seed of their small bands, and the samples of the strokes' band */
  constructor(
    private readonly dossier: Dossier,
    private readonly caseId: string,
    { seed, samples }: Pick<Sampling, "seed" | "samples">,
  ) {
    const wanted = dossier.valve.duty?.probability?.value ?? Number.NaN;
    this.sampling = { seed, samples, least: samplesToShow(wanted) };
  }

  /** Refuses an unknown case, as the others do. */
  get cold(): ColdAnswer {
    this.coldNow ??= coldOf(this.dossier, this.caseId, this.sampling);
    return this.coldNow;
  }

  get coolDown(): CoolDownAnswer {
    this.coolDownNow ??= coolDownOf(this.dossier, this.caseId, this.sampling);
    return this.coolDownNow;
  }

  get heat(): HeatAnswer {
    this.heatNow ??= heatOf(this.dossier, this.caseId, this.sampling);
    return this.heatNow;
  }

  get trapped(): TrappedAnswer {
    this.trappedNow ??= trappedOf(this.dossier, this.caseId, this.sampling);
    return this.trappedNow;
  }

  get boundary(): BoundaryAnswer {
    this.boundaryNow ??= boundaryOf(this.dossier, this.caseId, this.trapped, this.sampling, () => this.surge);
    return this.boundaryNow;
  }

  get oxygen(): OxygenAnswer {
    this.oxygenNow ??= oxygenOf(this.dossier, this.caseId, this.sampling);
    return this.oxygenNow;
  }

  get holding(): HoldingAnswer {
    this.holdingNow ??= holdingOf(this.dossier, this.caseId, this.sampling);
    return this.holdingNow;
  }

  /** Followed at the nominal values alone. */
  get schedule(): ScheduleAnswer {
    this.scheduleNow ??= scheduleOf(this.dossier, this.caseId, this.sampling, 0);
    return this.scheduleNow;
  }

  /** Followed at samples too. @param samples how many of them */
  scheduleFollowedBy(samples: number): ScheduleAnswer {
    return scheduleOf(this.dossier, this.caseId, this.sampling, samples);
  }

  get shock(): ShockAnswer {
    this.shockNow ??= shockOf(this.dossier, this.caseId, this.sampling);
    return this.shockNow;
  }

  get strength(): StrengthAnswer {
    this.strengthNow ??= strengthOf(this.dossier, this.caseId, this.heat, this.shock, this.sampling);
    return this.strengthNow;
  }

  /** @param definition of the opening time, an id of `timeDefinitions` */
  coupling(definition: string): ColdCoupling | undefined {
    return coldCoupling(this.dossier, this.caseId, definition);
  }

  get surge(): SurgeAnswer {
    this.surgeNow ??= surgeOf(this.dossier, this.caseId, this.sampling);
    return this.surgeNow;
  }

  get start(): StartAnswer {
    this.startNow ??= startOf(this.dossier, this.caseId, this.sampling);
    return this.startNow;
  }

  /** Works out all of them, with a pause between any two. */
  async workOut(pause: () => Promise<void> = async () => {}): Promise<void> {
    for (const answer of inOrder) {
      void this[answer];
      await pause();
    }
  }
}

/** In the order in which they build on each other. */
const inOrder = [
  "cold",
  "coolDown",
  "heat",
  "trapped",
  "boundary",
  "oxygen",
  "holding",
  "schedule",
  "strength",
  "surge",
  "start",
] as const satisfies readonly (keyof OwnAnswers)[];
