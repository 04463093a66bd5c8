/** runs/<id>/reconciliation.json: what a run showed when it was held against the dossier. */
import type { JointReconciliation, Proposal, Reconciliation } from "../evidence/index.js";
import { kept, type RestsOn } from "./keptFile.js";
import type { StoredRun } from "./runFolder.js";

/** What a run showed. */
export interface RunFinding {
  readonly reconciliation: Reconciliation;
  readonly proposals: readonly Proposal[];
}

const keptFinding = kept<RunFinding>("reconciliation.json", "coldturn-reconciliation/1");

/** Keeps what a run showed. @param dossier  files of the dossier it was held against */
export async function writeFinding(run: StoredRun, dossier: RestsOn, finding: RunFinding): Promise<string> {
  return await keptFinding.write(run, dossier, finding.reconciliation.model, finding);
}

/** What a run showed, if that is kept and still holds; undefined otherwise. */
export async function readFinding(
  run: StoredRun,
  dossier: RestsOn,
  model: string,
): Promise<RunFinding | undefined> {
  return await keptFinding.read(run, dossier, model);
}

/**
 * What several runs showed together, kept beside the newest of them; it rests on the files of all.
 */
const keptJoint = kept<JointReconciliation>("joint-reconciliation.json", "coldturn-joint-reconciliation/1");

/** Keeps what several runs showed together. @param runs  oldest first */
export async function writeJointFinding(
  runs: readonly StoredRun[],
  dossier: RestsOn,
  joint: JointReconciliation,
): Promise<void> {
  const newest = runs[runs.length - 1];
  if (newest !== undefined) await keptJoint.write(newest, alsoRuns(dossier, runs), joint.model, joint);
}

/** What all runs showed together, if that is kept and still holds. @param runs  all of the dossier, oldest first */
export async function readJointFinding(
  runs: readonly StoredRun[],
  dossier: RestsOn,
  model: string,
): Promise<JointReconciliation | undefined> {
  const newest = runs[runs.length - 1];
  return newest === undefined ? undefined : await keptJoint.read(newest, alsoRuns(dossier, runs), model);
}

function alsoRuns(dossier: RestsOn, runs: readonly StoredRun[]): RestsOn {
  return [
    ...dossier,
    ...runs.slice(0, -1).map(({ record, file }) => ({ name: `${record.id}/run.yaml`, sha256: file.sha256 })),
  ];
}
