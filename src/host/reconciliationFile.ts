/** runs/<id>/reconciliation.json: what a run showed when it was held against the dossier. */
import type { Proposal, Reconciliation } from "../evidence/index.js";
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
