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
import { Reads } from "./reads.js";
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

/** What was worked out of earlier states of a dossier, with what each answer read; one for each number of samples. */
export class OwnMemory {
  private least = Number.NaN;
  private readonly made = new Map<OwnName, Made>();

  /** Makes it one of small bands of at least so many samples: another number makes other bands. */
  take(least: number): this {
    if (least !== this.least) this.made.clear();
    this.least = least;
    return this;
  }

  get(name: OwnName): Made | undefined {
    return this.made.get(name);
  }

  set(name: OwnName, made: Made): void {
    this.made.set(name, made);
  }
}

/** An answer, what it read, and the answers that it used. */
interface Made {
  readonly value: unknown;
  readonly reads: Reads;
  readonly uses: ReadonlyMap<OwnName, unknown>;
}

export class OwnAnswers {
  private readonly sampling: Sampling;
  private readonly memory: OwnMemory | undefined;
  private readonly now = new Map<OwnName, unknown>();
  /** Answers used by those that are being worked out, the innermost last. */
  private readonly using: Map<OwnName, unknown>[] = [];

  /**
   * @param sampling seed of their small bands, the samples of the strokes' band, and what to do before each sample
   * @param memory   of the same case and sampling: what an edit has not moved is taken from it
   */
  constructor(
    private readonly dossier: Dossier,
    private readonly caseId: string,
    { seed, samples, breath }: Pick<Sampling, "seed" | "samples" | "breath">,
    memory?: OwnMemory,
  ) {
    const wanted = dossier.valve.duty?.probability?.value ?? Number.NaN;
    const least = samplesToShow(wanted);
    this.sampling = { seed, samples, least, ...(breath === undefined ? {} : { breath }) };
    this.memory = memory?.take(least);
  }

  /** Refuses an unknown case, as the others do. */
  get cold(): ColdAnswer {
    return this.once("cold", (dossier) => coldOf(dossier, this.caseId, this.sampling));
  }

  get coolDown(): CoolDownAnswer {
    return this.once("coolDown", (dossier) => coolDownOf(dossier, this.caseId, this.sampling));
  }

  get heat(): HeatAnswer {
    return this.once("heat", (dossier) => heatOf(dossier, this.caseId, this.sampling));
  }

  get trapped(): TrappedAnswer {
    return this.once("trapped", (dossier) => trappedOf(dossier, this.caseId, this.sampling));
  }

  get boundary(): BoundaryAnswer {
    return this.once("boundary", (dossier) =>
      boundaryOf(dossier, this.caseId, this.trapped, this.sampling, () => this.surge),
    );
  }

  get oxygen(): OxygenAnswer {
    return this.once("oxygen", (dossier) => oxygenOf(dossier, this.caseId, this.sampling));
  }

  get holding(): HoldingAnswer {
    return this.once("holding", (dossier) => holdingOf(dossier, this.caseId, this.sampling));
  }

  /** Followed at the nominal values alone. */
  get schedule(): ScheduleAnswer {
    return this.once("schedule", (dossier) => scheduleOf(dossier, this.caseId, this.sampling, 0));
  }

  /** Followed at samples too. @param samples how many of them */
  scheduleFollowedBy(samples: number): ScheduleAnswer {
    return scheduleOf(this.dossier, this.caseId, this.sampling, samples);
  }

  get shock(): ShockAnswer {
    return this.once("shock", (dossier) => shockOf(dossier, this.caseId, this.sampling));
  }

  get strength(): StrengthAnswer {
    return this.once("strength", (dossier) =>
      strengthOf(dossier, this.caseId, this.heat, this.shock, this.sampling),
    );
  }

  /** @param definition of the opening time, an id of `timeDefinitions` */
  coupling(definition: string): ColdCoupling | undefined {
    return coldCoupling(this.dossier, this.caseId, definition);
  }

  get surge(): SurgeAnswer {
    return this.once("surge", (dossier) => surgeOf(dossier, this.caseId, this.sampling));
  }

  private once<N extends OwnName>(name: N, make: (dossier: Dossier) => OwnAnswers[N]): OwnAnswers[N] {
    if (!this.now.has(name)) this.now.set(name, this.remembered(name) ?? this.made(name, make));
    // Written under this name by the same getter.
    const value = this.now.get(name) as OwnAnswers[N];
    this.using.at(-1)?.set(name, value);
    return value;
  }

  /** The answer to an earlier state, where nothing that it rests on has changed. */
  private remembered(name: OwnName): unknown {
    const made = this.memory?.get(name);
    if (made?.reads.hold(this.dossier) !== true) return undefined;
    return [...made.uses].every(([used, value]) => this[used] === value) ? made.value : undefined;
  }

  private made(name: OwnName, make: (dossier: Dossier) => unknown): unknown {
    if (this.memory === undefined) return make(this.dossier);
    const reads = new Reads(this.dossier);
    const uses = new Map<OwnName, unknown>();
    this.using.push(uses);
    try {
      const value = make(reads.dossier);
      this.memory.set(name, { value, reads, uses });
      return value;
    } finally {
      this.using.pop();
    }
  }

  get start(): StartAnswer {
    return this.once("start", (dossier) => startOf(dossier, this.caseId, this.sampling));
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
] as const;

type OwnName = (typeof inOrder)[number] | "shock";
