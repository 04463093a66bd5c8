/** What the tests of a dossier have shown, as far as it still holds for the files as they are. */
import { caseIds, readHazards, readStandFile } from "../dossier/index.js";
import {
  fittedTo,
  fittedWithoutStanding,
  historyOf,
  newestBefore,
  type PastEvent,
  type SealedPrediction,
  seriesOf,
} from "../evidence/index.js";
import type { Notice } from "../fault/index.js";
import { modelVersion } from "../predict/index.js";
import type { Evidence } from "../question/index.js";
import { now } from "./clock.js";
import { restsOn } from "./dossierFolder.js";
import { sha256 } from "./hash.js";
import { readHazardsFile } from "./hazardsFile.js";
import { readNext } from "./nextFile.js";
import type { OpenDossier } from "./openDossier.js";
import { keptMeasuredTimes, pastRun } from "./pastRuns.js";
import { planRestsOn, readPlan } from "./planFile.js";
import { readFinding, readJointFinding, readSealedFinding } from "./reconciliationFile.js";
import { keptReduction } from "./reductionFile.js";
import { readRunRecord, runIds, runsOfSameLog, type StoredRun } from "./runFolder.js";
import { readSealed } from "./sealedFolder.js";
import { standingSheets } from "./sheetFile.js";
import { readStandText } from "./standFile.js";
import type { StandingRun } from "./standingRun.js";
import { keptDecisions } from "./team/decisions.js";
import { eachLogOnce } from "./wantedRuns.js";

export interface Standing {
  readonly evidence: Evidence;
  readonly runs: readonly StandingRun[];
  /** Those of all runs. */
  readonly notices: readonly Notice[];
}

/** Refuses a record of a run with faults. @param day  for which what expires is judged, ISO 8601; today unless given */
export async function standingEvidence(open: OpenDossier, day = now().slice(0, 10)): Promise<Standing> {
  const { files, dossier, caseId } = open;
  const hazards = await readHazardsFile(files.folder);
  const ids = await runIds(files.folder);
  const stand = await readStandText(files.folder);
  const seals = await readSealed(files.folder);
  const runs = await Promise.all(
    ids.map(async (id): Promise<StandingRun> => {
      const run = await readRunRecord(files.folder, id);
      const reduction = await keptReduction.read(run, restsOn(files), modelVersion);
      const seal = newestBefore(seals, run.record.case, run.record.date ?? "");
      const sealedFinding =
        seal === undefined ? undefined : await readSealedFinding(run, seal.sha256, modelVersion);
      const sameLog = await runsOfSameLog(files.folder, run);
      if (fittedTo(dossier, sameLog).length > 0)
        return {
          run,
          finding: undefined,
          sealedFinding,
          reduction,
          isUsedToFit: true,
          notices: [usedToFit(id, fittedWithoutStanding(dossier, sameLog))],
        };
      const kept = await readFinding(run, restsOn(files), modelVersion);
      const finding = kept?.reconciliation.held.changedSince === undefined ? kept : undefined;
      const notices = finding === undefined ? [notHeld(files.folder, id)] : [];
      return { run, finding, sealedFinding, reduction, isUsedToFit: false, notices };
    }),
  );
  const joint = await readJointFinding(oldestFirst(runs), restsOn(files), modelVersion);
  const next = await readNext(files.folder, caseId, restsOn(files), modelVersion);
  const plan = await readPlan(files.folder, caseId, planRestsOn(files, runs, seals), modelVersion);
  const history = await pastOf(open, runs, seals);
  const findings = runs.flatMap(({ finding }) => (finding === undefined ? [] : [finding]));
  return {
    evidence: {
      day,
      sheets: await standingSheets(files.folder),
      decisions: await keptDecisions(files.folder),
      ...(stand === undefined ? {} : { stand: readStandFile(stand) }),
      seals: [...seals]
        .sort((a, b) => Date.parse(a.made) - Date.parse(b.made))
        .map(({ sha256: hash, made, case: of }) => ({ sha256: hash, made, caseId: of })),
      ...(hazards === undefined ? {} : { hazards: { file: readHazards(hazards), digest: sha256 } }),
      reconciliations: findings.map(({ reconciliation }) => reconciliation),
      sealedFindings: runs.flatMap(({ sealedFinding }) =>
        sealedFinding === undefined ? [] : [sealedFinding],
      ),
      proposals: findings.flatMap(({ proposals }) => proposals),
      reductions: runs.flatMap(({ reduction }) => (reduction === undefined ? [] : [reduction])),
      notHeld: idsOf(runs.filter(({ finding, isUsedToFit }) => finding === undefined && !isUsedToFit)),
      usedToFit: idsOf(runs.filter(({ isUsedToFit }) => isUsedToFit)),
      ...repeatedIn(runs),
      history,
      ...(joint === undefined ? {} : { joint }),
      ...(next === undefined ? {} : { next }),
      ...(plan === undefined ? {} : { plan }),
    },
    runs,
    notices: runs.flatMap(({ notices }) => notices),
  };
}

/** Strokes of the runs that were reduced, a log that was imported twice counted once. */
function repeatedIn(runs: readonly StandingRun[]): Pick<Evidence, "series" | "notReduced"> {
  const reductions = new Map(runs.map(({ run, reduction }) => [run.record.id, reduction]));
  const each = eachLogOnce(oldestFirst(runs)).map(({ record: { id } }) => ({
    id,
    reduction: reductions.get(id),
  }));
  const reduced = each.flatMap(({ reduction }) => reduction ?? []);
  return {
    ...(reduced.length === 0 ? {} : { series: seriesOf(reduced) }),
    notReduced: each.flatMap(({ id, reduction }) => (reduction === undefined ? [id] : [])),
  };
}

/** The history as far as it was kept: no log is read for it. */
async function pastOf(
  open: OpenDossier,
  runs: readonly StandingRun[],
  seals: readonly SealedPrediction[],
): Promise<readonly PastEvent[]> {
  // A run whose case is gone from the file is told elsewhere.
  const cases = caseIds(open.dossier);
  const told = runs.filter(({ run }) => cases.includes(run.record.case));
  const past = await Promise.all(
    told.map(async ({ run }) => pastRun(open, run, seals, await keptMeasuredTimes(open, run))),
  );
  return historyOf(open.dossier, seals, past);
}

function oldestFirst(runs: readonly StandingRun[]): readonly StoredRun[] {
  const dateOf = ({ record }: StoredRun): number => Date.parse(record.date ?? record.imported);
  return runs.map(({ run }) => run).sort((a, b) => dateOf(a) - dateOf(b));
}

function idsOf(runs: readonly StandingRun[]): readonly string[] {
  return runs.map(({ run }) => run.record.id);
}

function usedToFit(id: string, unstanding: readonly string[]): Notice {
  return {
    code: "run-used-to-fit",
    text: `run ${id} counts neither for nor against the present values: they were fitted to it${unstandingWords(unstanding)}`,
  };
}

function notHeld(folder: string, id: string): Notice {
  return {
    code: "run-not-reconciled",
    text: `run ${id} counts for nothing here: it was not held against the files as they are now; \`coldturn reconcile ${folder} --run ${id}\` does it`,
  };
}

/**
 * Says which values were accepted from an update that does not stand; nothing where none was.
 * @param told paths that the words before it name
 */
export function unstandingWords(paths: readonly string[], told: readonly string[] = []): string {
  if (paths.length === 0) return "";
  const which = paths.length === told.length ? (paths.length > 1 ? "they" : "it") : paths.join(", ");
  return `; ${which} ${paths.length > 1 ? "were" : "was"} accepted although the update does not stand, and may be wrong by more than is written`;
}
