/** runs/<id>/reconciliation.json: what a run showed when it was held against the dossier. */
import type { JointReconciliation, Proposal, Reconciliation, SealedFinding } from "../evidence/index.js";
import { kept, type RestsOn } from "./keptFile.js";
import type { StoredRun } from "./runFolder.js";

/** What a run showed. */
export interface RunFinding {
  readonly reconciliation: Reconciliation;
  readonly proposals: readonly Proposal[];
}

const keptFinding = kept<RunFinding>("reconciliation.json", "coldturn-reconciliation/2");

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

const keptSealed = kept<SealedFinding>("sealed-finding.json", "coldturn-sealed-finding/1");

/** Keeps what a run said of the prediction sealed before it; it does not rest on the dossier's files. */
export async function writeSealedFinding(
  run: StoredRun,
  model: string,
  finding: SealedFinding,
): Promise<void> {
  await keptSealed.write(run, sealOf(finding.sealed), model, finding);
}

/** What a run said of a seal, if that is kept. @param sealed  SHA-256 of the seal */
export async function readSealedFinding(
  run: StoredRun,
  sealed: string,
  model: string,
): Promise<SealedFinding | undefined> {
  return await keptSealed.read(run, sealOf(sealed), model);
}

function sealOf(sealed: string): RestsOn {
  return [{ name: "sealed prediction", sha256: sealed }];
}

/**
 * What several runs showed together, kept beside the newest of them; it rests on the files of all.
 */
const keptJoint = kept<JointReconciliation>("joint-reconciliation.json", "coldturn-joint-reconciliation/2");

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
