/** A dossier's folder, read and predicted with all that its tests have shown. */
import {
  OpenValve,
  optionsOf,
  type PredictingManner,
  toldPrediction,
  type Valve,
  type ValvePrediction,
} from "../api/index.js";
import { readDossier } from "../dossier/index.js";
import {
  openDossier,
  readDossierFiles,
  standingEvidence,
  startWorkers,
  usualWorkerCount,
} from "../host/index.js";
import { predictWithOwn } from "../predict/index.js";
import { answersOf } from "../question/index.js";

/** How the prediction of a folder is made. */
export interface FolderManner extends PredictingManner {
  /** Worker threads; one for each processor, eight at most, where it is left out. The numbers do not depend on it. */
  readonly workers?: number;
  /** Cancels. */
  readonly signal?: AbortSignal;
  /** Told how far it is. */
  readonly onProgress?: (progress: FolderProgress) => void;
}

/** How far a prediction is, in openings simulated. */
export interface FolderProgress {
  readonly done: number;
  readonly total: number;
  /** At the pace so far [s]. */
  readonly secondsLeft: number;
}

/**
 * Reads the hand-written files of a dossier: valve.yaml and parts/.
 *
 * Refuses  a folder without a valve file, a file that cannot be read
 */
export async function readFolder(folder: string): Promise<Valve> {
  return new OpenValve(readDossier(await readDossierFiles(folder)));
}

/**
 * Answers every question about one case of a dossier, on worker threads, with the evidence of its runs
 * as far as it still holds: what `coldturn predict` prints.
 *
 * Refuses  a folder without a valve file, files of which nothing can be read, an unknown case
 */
export async function predictFolder(folder: string, manner: FolderManner = {}): Promise<ValvePrediction> {
  const { case: caseId = "duty", workers: count = usualWorkerCount(), signal, onProgress } = manner;
  const open = await openDossier(folder, caseId);
  const { evidence, notices } = await standingEvidence(open);
  const workers = startWorkers({
    count,
    ...(signal === undefined ? {} : { signal }),
    ...(onProgress === undefined ? {} : { onProgress }),
  });
  try {
    const { filled } = open;
    const { prediction, own } = await predictWithOwn(filled.dossier, caseId, optionsOf(manner), workers.run);
    return toldPrediction(prediction, filled.defaults, answersOf(prediction, evidence, own), [
      ...open.notices,
      ...notices,
    ]);
  } finally {
    await workers.stop();
  }
}
