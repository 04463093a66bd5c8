/**
 * A prediction: everything the model says of one valve in one set of conditions.
 *
 * `predict` plans the work, lets the caller run its blocks wherever it likes (here, in worker
 * threads, in a browser) and puts the results together. Same dossier, seed and sizes: same bits.
 */
import type { Dossier } from "../dossier/index.js";
import type { Notice } from "../fault/index.js";
import { type Band, bandOf } from "./band.js";
import { type BlockRequest, type BlockResult, blocksOf } from "./block.js";
import { openingDefinition } from "./definition.js";
import { effectsOf, followedInputs, type InputEffect, pilotSamples } from "./effect.js";
import { type Nominal, nominalOf } from "./nominal.js";
import { isAnswerable, type Matter, type Plan, planFor } from "./plan.js";
import { modelVersion } from "./version.js";

export interface PredictionOptions {
  readonly seed: number;
  /** Samples of the band; 0 leaves the band out. */
  readonly samples: number;
  /** Base samples of the effects; each costs inputs + 2 openings at most. 0 leaves them out. */
  readonly effectSamples: number;
}

export const defaultOptions: PredictionOptions = { seed: 1, samples: 10_000, effectSamples: 256 };

/** Runs blocks somewhere and gives their results in any order; rejects when it is cancelled. */
export type BlockRunner = (plan: Plan, blocks: readonly BlockRequest[]) => Promise<readonly BlockResult[]>;

export interface Prediction {
  readonly model: string;
  readonly dossier: Dossier;
  readonly caseId: string;
  readonly options: PredictionOptions;
  /** Definition in which the opening limit is stated, or the usual one. */
  readonly definition: string;
  readonly nominal: Nominal;
  /** Undefined where no band was asked for; it holds the figures of the matters that are known. */
  readonly band: Band | undefined;
  readonly effects: readonly InputEffect[];
  readonly missing: Readonly<Record<Matter, readonly string[]>>;
  readonly notices: readonly Notice[];
}

/**
 * Predicts one case.
 * @param dossier with its defaults applied;  @param caseId `duty` or the id of a case
 */
export async function predict(
  dossier: Dossier,
  caseId: string,
  options: PredictionOptions,
  run: BlockRunner,
): Promise<Prediction> {
  const plan = planFor(dossier, caseId);
  const definition = usableDefinition(plan, openingDefinition(dossier));
  const column = `opening:${definition}`;
  const band = blocksOf("band", options.samples, options.seed, column);
  const wantsEffects = isAnswerable(plan, "motion") && plan.space.inputs.length > 0;
  const pilots = wantsEffects ? Math.min(pilotSamples, options.effectSamples) : 0;
  const pilot = blocksOf("effects", pilots, options.seed, column);
  const running = band.length + pilot.length > 0 ? run(plan, [...band, ...pilot]) : [];
  // The nominal answers are made while the blocks run elsewhere.
  const [results, nominal] = await Promise.all([running, (async () => nominalOf(plan, definition))()]);
  const bandResults = results.filter(({ request }) => request.kind === "band");
  const effectResults = results.filter(({ request }) => request.kind === "effects");
  const followed = pilots < options.effectSamples ? followedInputs(plan, effectResults, options.seed) : [];
  const further =
    followed.length === 0
      ? []
      : blocksOf("effects", options.effectSamples, options.seed, column, { from: pilots, inputs: followed });
  if (further.length > 0) effectResults.push(...(await run(plan, further)));
  return {
    model: modelVersion,
    dossier,
    caseId,
    options,
    definition,
    nominal,
    band: bandResults.length > 0 ? bandOf(bandResults) : undefined,
    effects: effectsOf(plan, effectResults, options.seed),
    missing: plan.missing,
    notices: plan.notices,
  };
}

/** Without a flowing liquid there is no flow event: the end of travel stands in, and is named. */
export function usableDefinition(plan: Plan, definition: string): string {
  return definition === "command-to-90-flow" && plan.medium.kind !== "liquid" ? "command-to-end" : definition;
}
