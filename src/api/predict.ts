/** The prediction of one case of a valve, in this thread. */
import { applyDefaults } from "../dossier/index.js";
import { predictWithOwn, runBlock } from "../predict/index.js";
import { answersOf } from "../question/index.js";
import type { ValvePrediction } from "./answer.js";
import type { PredictingManner } from "./manner.js";
import { dossierOf } from "./openValve.js";
import { optionsOf } from "./options.js";
import { toldPrediction } from "./told.js";
import type { Valve } from "./valve.js";

/**
 * Answers every question about one case. Works in the thread that calls it, for some seconds with a band:
 * call it in a worker where a page or a server must not wait.
 *
 * Refuses  a case that the file does not have
 */
export async function predictValve(valve: Valve, manner: PredictingManner = {}): Promise<ValvePrediction> {
  const { case: caseId = "duty" } = manner;
  const { dossier, defaults } = applyDefaults(dossierOf(valve), caseId);
  const { prediction, own } = await predictWithOwn(dossier, caseId, optionsOf(manner), (plan, blocks) =>
    Promise.resolve(blocks.map((request) => runBlock(plan, request))),
  );
  return toldPrediction(
    prediction,
    defaults,
    answersOf(prediction, { reconciliations: [] }, own),
    valve.notices,
  );
}
