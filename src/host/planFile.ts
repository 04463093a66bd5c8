/** plan/<case>.json: the test plan as `coldturn plan` last made it, and the runs it is made from. */
import type { SealedPrediction } from "../evidence/index.js";
import type { KeptPlan, RecordedRun } from "../question/index.js";
import { caseFile } from "./caseFile.js";
import { type DossierFiles, restsOn } from "./dossierFolder.js";
import { sha256 } from "./hash.js";
import type { RestsOn } from "./keptFile.js";
import type { StandingRun } from "./standingRun.js";

const file = caseFile<KeptPlan>("plan", "coldturn-plan/1");

/** Keeps the plan of a case. */
export const writePlan = file.write;
/** The plan of a case as it was last made. */
export const readPlan = file.read;

/** What a plan rests on: the files of the valve, every seal, every run with what stands of it. */
export function planRestsOn(
  files: DossierFiles,
  runs: readonly StandingRun[],
  seals: readonly SealedPrediction[],
): RestsOn {
  return [
    ...restsOn(files),
    ...seals.map(({ sha256: seal, case: caseId, made }) => ({
      name: `the seal of ${caseId}, ${made}`,
      sha256: seal,
    })),
    ...runs.map((run) => ({
      name: `run ${run.run.record.id}`,
      sha256: sha256(`${run.run.file.sha256} ${JSON.stringify(recordedRun(run))}`),
    })),
  ];
}

/** A run as the plan asks for it. */
export function recordedRun({
  run: { record },
  finding,
  sealedFinding,
  reduction,
  isUsedToFit,
}: StandingRun): RecordedRun {
  const reconciliation = finding?.reconciliation;
  return {
    id: record.id,
    caseId: record.case,
    date: record.date,
    finding: sealedFinding?.finding ?? reconciliation?.finding,
    sealed: sealedFinding?.sealed ?? reconciliation?.held.sealed,
    present: reconciliation?.held.sealed === undefined ? reconciliation?.finding : undefined,
    isUsedToFit,
    isReduced: reduction !== undefined,
    hasLeak: reduction?.leak?.known === true,
  };
}
