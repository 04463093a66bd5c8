/** What the tests of a dossier have shown, as far as it still holds for the files as they are. */
import type { Notice } from "../fault/index.js";
import {
  type RunFinding,
  readFinding,
  readRunRecord,
  restsOn,
  runIds,
  type StoredRun,
} from "../host/index.js";
import { modelVersion } from "../predict/index.js";
import type { Evidence } from "../question/index.js";
import type { OpenDossier } from "./openDossier.js";

export interface Standing {
  readonly evidence: Evidence;
  readonly runs: readonly StandingRun[];
  /** Those of all runs. */
  readonly notices: readonly Notice[];
}

export interface StandingRun {
  readonly run: StoredRun;
  readonly finding: RunFinding | undefined;
  /** Says why a run shows nothing. */
  readonly notices: readonly Notice[];
}

/** Refuses a record of a run with faults. */
export async function standingEvidence({ files }: OpenDossier): Promise<Standing> {
  const ids = await runIds(files.folder);
  const runs = await Promise.all(
    ids.map(async (id): Promise<StandingRun> => {
      const run = await readRunRecord(files.folder, id);
      const finding = await readFinding(run, restsOn(files), modelVersion);
      return { run, finding, notices: finding === undefined ? [notHeld(files.folder, id)] : [] };
    }),
  );
  const findings = runs.flatMap(({ finding }) => (finding === undefined ? [] : [finding]));
  return {
    evidence: {
      reconciliations: findings.map(({ reconciliation }) => reconciliation),
      proposals: findings.flatMap(({ proposals }) => proposals),
    },
    runs,
    notices: runs.flatMap(({ notices }) => notices),
  };
}

function notHeld(folder: string, id: string): Notice {
  return {
    code: "run-not-reconciled",
    text: `run ${id} counts for nothing here: it was not held against the files as they are now; \`coldturn reconcile ${folder} --run ${id}\` does it`,
  };
}
