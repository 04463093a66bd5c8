/** History of a valve: what was predicted and sealed, what was measured, when values were updated; oldest first. */
import { type Dossier, uncertainInputs } from "../../dossier/index.js";
import { fittedRuns } from "../reconcile/fitted.js";
import type { SealedPrediction } from "./seal.js";

/** A sealed prediction of an opening. */
export interface PastPrediction {
  readonly kind: "prediction";
  readonly date: string;
  readonly caseId: string;
  readonly sha256: string;
  readonly model: string;
  readonly definition: string;
  /** Absent where the nominal valve does not open [s]. */
  readonly time_s: number | null;
  readonly band_s: { readonly low: number; readonly high: number } | null;
}

/** The measured time of a run, by the definition of the valve's limit. */
export interface PastRun {
  readonly kind: "run";
  /** Of the test; of its import where nobody said. */
  readonly date: string;
  readonly isDated: boolean;
  readonly runId: string;
  readonly caseId: string;
  readonly sense: "opening" | "closing" | null;
  readonly definition: string;
  readonly time_s: number | null;
  readonly standardUncertainty_s: number | null;
}

/** Values of the present file that were fitted to runs. */
export interface PastUpdate {
  readonly kind: "update";
  /** Of the newest of its runs: the update is no older. */
  readonly date: string;
  readonly runIds: readonly string[];
  readonly values: readonly { readonly path: string; readonly text: string; readonly was: string }[];
}

export type PastEvent = PastPrediction | PastRun | PastUpdate;

/** Everything that is known of a valve's past, oldest first. */
export function historyOf(
  dossier: Dossier,
  sealed: readonly SealedPrediction[],
  runs: readonly PastRun[],
): readonly PastEvent[] {
  const predictions = sealed.map((one): PastPrediction => {
    const { made: date, case: caseId, sha256, model, opening } = one;
    // By the definition that the tests of its case have a time by, so that the two can be compared.
    const tested = runs.find(
      (run) =>
        run.caseId === caseId &&
        run.sense === "opening" &&
        run.time_s !== null &&
        run.definition in opening.times_s,
    );
    const definition = tested?.definition ?? one.definition;
    return {
      kind: "prediction",
      date,
      caseId,
      sha256,
      model,
      definition,
      time_s: opening.times_s[definition] ?? null,
      band_s: opening.band_s[definition] ?? null,
    };
  });
  const events: PastEvent[] = [...predictions, ...runs, ...updatesOf(dossier, runs)];
  const order = { prediction: 0, run: 1, update: 2 } as const;
  return events.sort((a, b) => Date.parse(a.date) - Date.parse(b.date) || order[a.kind] - order[b.kind]);
}

/** Fits that the values of the file tell of, those of the same runs together; of runs that are gone none is dated. */
function updatesOf(dossier: Dossier, runs: readonly PastRun[]): readonly PastUpdate[] {
  const updates = new Map<string, { runIds: readonly string[]; values: PastUpdate["values"][number][] }>();
  for (const { path, declared } of uncertainInputs(dossier)) {
    // The last fit gave the value as it is; an earlier one gave what the next fit says it was.
    let text = declared.text;
    for (const { runIds, was } of fittedRuns(declared.because)) {
      const key = runIds.join(", ");
      const update = updates.get(key) ?? { runIds, values: [] };
      update.values.push({ path, text, was });
      updates.set(key, update);
      text = was;
    }
  }
  return [...updates.values()].flatMap(({ runIds, values }): PastUpdate[] => {
    const dates = runs.filter(({ runId }) => runIds.includes(runId)).map(({ date }) => date);
    const date = dates.sort((a, b) => Date.parse(b) - Date.parse(a))[0];
    return date === undefined ? [] : [{ kind: "update", date, runIds, values }];
  });
}
