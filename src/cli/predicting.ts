/** Predictions for the commands: on worker threads that load while the dossier is read, with progress. */
import type { Dossier } from "../dossier/index.js";
import { startWorkers } from "../host/index.js";
import { type Prediction, type PredictionOptions, predict } from "../predict/index.js";
import type { Desk } from "./command.js";

/** Predicts one case of a dossier that has its defaults. */
export type Predict = (dossier: Dossier, caseId: string, options: PredictionOptions) => Promise<Prediction>;

/** Starts the workers, lets the caller predict with them, ends them. */
export async function withWorkers<T>(
  count: number,
  desk: Desk,
  act: (predictCase: Predict) => Promise<T>,
): Promise<T> {
  const workers = startWorkers({
    count,
    signal: desk.signal,
    onProgress: (progress) => desk.progress.tell("predicting", progress),
  });
  try {
    return await act((dossier, caseId, options) => predict(dossier, caseId, options, workers.run));
  } finally {
    await workers.stop();
  }
}
