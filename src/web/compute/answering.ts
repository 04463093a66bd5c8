/** Answers of one state of a dossier, the quick ones first; runs in a worker. */
import { applyDefaults, conditionsOf, type Dossier, readDossier } from "../../dossier/index.js";
import { Refusal } from "../../fault/index.js";
import {
  type BlockRunner,
  type HistoryBand,
  historyBand,
  OwnAnswers,
  OwnMemory,
  type Prediction,
  planFor,
  predict,
  Reads,
  runBlock,
  type Sense,
} from "../../predict/index.js";
import { type Answer, answerBeside, answersOf, type Evidence, firstAnswers } from "../../question/index.js";
import type { Inputs, Reading, Texts } from "./protocol.js";
import { partsIn } from "./texts.js";
import { fieldValues } from "./written.js";

/**
 * Openings of the band: for the first look as many as can show a probability of 95 %, then those of
 * `coldturn check`, and a sharp one.
 */
export const bandSamples = { first: 72, usual: 512, sharp: 4096 } as const;
const seed = 1;

/** What was read, with its defaults. */
export interface Read {
  readonly given: Dossier;
  readonly filled: Dossier;
  readonly reading: Reading;
}

/** Reads the texts for a case; refuses what cannot be read at all. */
export function readTexts({ texts, caseId }: Pick<Inputs, "texts" | "caseId">): Read {
  const { dossier, faults, notices } = readDossier({
    valve: { path: "valve.yaml", text: texts["valve.yaml"] ?? "" },
    parts: partsIn(texts),
  });
  if (faults.length > 0 && dossier.places.size === 0) throw new Refusal(faults);
  conditionsOf(dossier, caseId);
  const { dossier: filled, defaults } = applyDefaults(dossier, caseId);
  const cases = (dossier.valve.cases ?? []).flatMap(({ id, description }) =>
    id === undefined ? [] : [{ id, words: description ?? id }],
  );
  return {
    given: dossier,
    filled,
    reading: {
      name: dossier.valve.name ?? "A valve without a name",
      cases: [{ id: "duty", words: "duty" }, ...cases],
      faults,
      notices,
      defaults,
      values: [],
    },
  };
}

/** The reading with the values of all fields, which the page needs a moment later than the answers. */
export function withValues({ given, filled, reading }: Read, texts: Texts): Reading {
  return { ...reading, values: fieldValues(texts["valve.yaml"] ?? "", given, filled) };
}

/** Openings between two looks at what waits: some ten milliseconds of work. */
const slice = 32;

/** Blocks in this thread, cut into slices with a breath between any two. */
function blocksHere(pause: () => Promise<void>): BlockRunner {
  return async (plan, blocks) => {
    const results = [];
    for (const { start, count, ...request } of blocks)
      for (let done = 0; done < count; done += slice) {
        if (results.length > 0) await pause();
        const part = { ...request, start: start + done, count: Math.min(slice, count - done) };
        results.push(runBlock(plan, part));
      }
    return results;
  };
}

/** How work gives way to what has come meanwhile. */
export interface Breaks {
  /** Lets a message come in; throws once the work is of no use any more. */
  readonly pause: () => Promise<void>;
  /** The same without waiting, as far as it can be known: called before each sample of a small band. */
  readonly breath: () => void;
}

/** The band of the histories of a stroke, as the texts predict it; undefined where they do not tell it. */
export function bandOfHistories(texts: Texts, caseId: string, sense: Sense): HistoryBand | undefined {
  try {
    const { filled } = readTexts({ texts, caseId });
    return historyBand(planFor(filled, caseId), sense, { seed, samples: bandSamples.first });
  } catch (thrown) {
    // The page says elsewhere what is wrong with its files.
    if (thrown instanceof Refusal) return undefined;
    throw thrown;
  }
}

/** Called with the answers of each stage. */
export type OnStage = (answers: readonly Answer[], samples: number, isLast: boolean) => void;

interface Kept {
  readonly reads: Reads;
  readonly prediction: Prediction;
}

/** Work for one case at a time; what an edit has not moved is kept from the state before. */
export class Answering {
  private caseId = "";
  private readonly predictions = new Map<string, Kept>();
  private readonly memories = new Map<number, OwnMemory>();

  /** @param breaks between the slices of thorough work */
  constructor(private readonly breaks: Breaks) {}

  /**
   * The first look: of the questions that the strokes answer, a first band; of any other, its nominal
   * values. Question 12 reads all others.
   *
   * @param focus  number of the question that is looked at
   * @param others whether those that the strokes answer are wanted beside it
   */
  async firstLook(
    { filled, caseId }: State,
    evidence: Evidence,
    focus: number,
    others: boolean,
  ): Promise<FirstLook> {
    const isBand = focus <= byStrokes;
    const samples = isBand ? bandSamples.first : 0;
    const own = this.own(filled, caseId, samples);
    const prediction = await this.predicted(filled, caseId, samples, 0, async () => {});
    if (focus === 12) return { answers: answersOf(prediction, evidence, own), samples };
    const first = others ? firstAnswers(prediction, evidence, own) : [];
    const isThere = others && isBand;
    return {
      answers: isThere ? first : [...first, answerBeside(prediction, evidence, own, focus)],
      samples,
    };
  }

  /**
   * Every answer, that which is looked at first; then the same from a sharper band.
   * @param until  the last band
   */
  async thorough(
    { filled, caseId }: State,
    evidence: Evidence,
    focus: number,
    onStage: OnStage,
    until: "usual" | "sharp" = "sharp",
  ): Promise<void> {
    const { pause, breath } = this.breaks;
    const { usual, sharp } = bandSamples;
    const own = this.own(filled, caseId, usual, breath);
    const prediction = await this.predicted(filled, caseId, usual, 0, pause);
    await pause();
    if (focus > byStrokes && focus < 12) {
      onStage([answerBeside(prediction, evidence, own, focus)], usual, false);
      await pause();
    }
    const begun = firstAnswers(prediction, evidence, own);
    onStage(begun, usual, false);
    await pause();
    await own.workOut(pause);
    onStage(answersOf(prediction, evidence, own, begun), usual, until === "usual");
    if (until === "usual") return;
    await pause();
    const sharper = await this.predicted(filled, caseId, sharp, effectSamples, pause);
    await pause();
    // What has a small band of its own keeps it: more samples would not move what is printed.
    onStage(answersOf(sharper, evidence, own), sharp, true);
  }

  private own(filled: Dossier, caseId: string, samples: number, breath?: () => void): OwnAnswers {
    this.forCase(caseId);
    const memory = this.memories.get(samples) ?? new OwnMemory();
    this.memories.set(samples, memory);
    const sampling = { seed, samples, ...(breath === undefined ? {} : { breath }) };
    return new OwnAnswers(filled, caseId, sampling, memory);
  }

  private async predicted(
    filled: Dossier,
    caseId: string,
    samples: number,
    effects: number,
    pause: () => Promise<void>,
  ): Promise<Prediction> {
    this.forCase(caseId);
    const key = `${samples} ${effects}`;
    const kept = this.predictions.get(key);
    if (kept?.reads.hold(filled) === true) return { ...kept.prediction, dossier: filled };
    const reads = new Reads(filled);
    const options = { seed, samples, effectSamples: effects };
    const prediction = await predict(reads.dossier, caseId, options, blocksHere(pause));
    this.predictions.set(key, { reads, prediction });
    return { ...prediction, dossier: filled };
  }

  private forCase(caseId: string): void {
    if (caseId === this.caseId) return;
    this.caseId = caseId;
    this.predictions.clear();
    this.memories.clear();
  }
}

/** A dossier with its defaults, and the case that is looked at. */
export interface State {
  readonly filled: Dossier;
  readonly caseId: string;
}

export interface FirstLook {
  readonly answers: readonly Answer[];
  /** 0 for nominal values alone. */
  readonly samples: number;
}

/** So many questions are answered by the strokes alone. */
const byStrokes = 3;
const effectSamples = 64;
