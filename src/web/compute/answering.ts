/** Answers of one state of a dossier, the quick ones first; runs in a worker. */
import { applyDefaults, conditionsOf, type Dossier, readDossier } from "../../dossier/index.js";
import { Refusal } from "../../fault/index.js";
import {
  type BlockRunner,
  type HistoryBand,
  historyBand,
  OwnAnswers,
  planFor,
  predict,
  runBlock,
  type Sense,
} from "../../predict/index.js";
import { type Answer, answerBeside, answersOf, type Evidence, firstAnswers } from "../../question/index.js";
import type { Inputs, Reading, Texts } from "./protocol.js";
import { fieldValues } from "./written.js";

/** Openings of the band: few for the first look, those of `coldturn check`, and a sharp one. */
export const bandSamples = { first: 96, usual: 512, sharp: 4096 } as const;
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
    parts: partsOf(texts),
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

function partsOf(texts: Texts): readonly { readonly path: string; readonly text: string }[] {
  return Object.entries(texts)
    .filter(([path]) => /^parts\/[^/]+\.ya?ml$/i.test(path))
    .map(([path, text]) => ({ path, text }));
}

/** Blocks in this thread, with a breath between any two. */
function blocksHere(pause: () => Promise<void>): BlockRunner {
  return async (plan, blocks) => {
    const results = [];
    for (const request of blocks) {
      results.push(runBlock(plan, request));
      if (blocks.length > 1) await pause();
    }
    return results;
  };
}

/** The answers that the strokes give, and the one that is looked at. */
export async function quickAnswers(
  filled: Dossier,
  caseId: string,
  evidence: Evidence,
  focus: number,
): Promise<readonly Answer[]> {
  const options = { seed, samples: bandSamples.first, effectSamples: 0 };
  const prediction = await predict(
    filled,
    caseId,
    options,
    blocksHere(async () => {}),
  );
  const own = new OwnAnswers(filled, caseId, options);
  const first = firstAnswers(prediction, evidence, own);
  const seen = focus > first.length && focus < 11 ? [answerBeside(prediction, evidence, own, focus)] : [];
  return [...first, ...seen];
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

/** Every answer, then the same from a sharper band. @param pause gives way, and throws once the work is outdated */
export async function wholeAnswers(
  filled: Dossier,
  caseId: string,
  evidence: Evidence,
  pause: () => Promise<void>,
  onStage: OnStage,
): Promise<void> {
  const run = blocksHere(pause);
  const options = { seed, samples: bandSamples.usual, effectSamples: 0 };
  const own = new OwnAnswers(filled, caseId, options);
  const prediction = await predict(filled, caseId, options, run);
  const begun = firstAnswers(prediction, evidence, own);
  onStage(begun, options.samples, false);
  await pause();
  await own.workOut(pause);
  onStage(answersOf(prediction, evidence, own, begun), options.samples, false);
  await pause();
  const sharp = await predict(
    filled,
    caseId,
    { ...options, samples: bandSamples.sharp, effectSamples: 64 },
    run,
  );
  await pause();
  onStage(answersOf(sharp, evidence, own), bandSamples.sharp, true);
}
