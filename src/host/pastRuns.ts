/** The runs of a dossier as its history has them: when each was made and which time it shows. */
import { applyDefaults } from "../dossier/index.js";
import {
  type ChannelLog,
  measureStroke,
  type PastRun,
  type SealedPrediction,
  strokeChannels,
} from "../evidence/index.js";
import { closingDefinition, modelVersion, openingDefinition } from "../predict/index.js";
import type { Angle } from "../quantity/index.js";
import { type MeasuredTimes, readMeasuredTimes, writeMeasuredTimes } from "./measuredFile.js";
import type { OpenDossier } from "./openDossier.js";
import type { StoredRun } from "./runFolder.js";

/** What a run's log shows, read from the log; undefined where the travel is not known. */
export function measuredTimesOf(
  { dossier }: OpenDossier,
  { record: { id, moves } }: StoredRun,
  log: ChannelLog,
): MeasuredTimes | undefined {
  const travel = travelOf(dossier);
  if (travel === undefined) return undefined;
  const { sense, times } = measureStroke(id, strokeChannels(log), travel as Angle, moves);
  return { sense: sense ?? null, times };
}

/** Keeps what a run's log shows, for the commands that do not read logs. */
export async function keepMeasuredTimes(
  { dossier }: OpenDossier,
  run: StoredRun,
  measured: MeasuredTimes | undefined,
): Promise<void> {
  const travel = travelOf(dossier);
  if (travel === undefined || measured === undefined) return;
  const { sense, times } = measured;
  await writeMeasuredTimes(run, travel, modelVersion, { sense, times });
}

/** What was kept of a run's log, if it still holds. */
export async function keptMeasuredTimes(
  { dossier }: OpenDossier,
  run: StoredRun,
): Promise<MeasuredTimes | undefined> {
  const travel = travelOf(dossier);
  return travel === undefined ? undefined : await readMeasuredTimes(run, travel, modelVersion);
}

function travelOf({ valve }: OpenDossier["dossier"]): number | undefined {
  return valve.valve?.travel?.value;
}

/** A run of the past, by the definition of the prediction of its case where one is sealed. */
export function pastRun(
  open: OpenDossier,
  run: StoredRun,
  seals: readonly SealedPrediction[],
  measured: MeasuredTimes | undefined,
): PastRun {
  const { id, case: caseId, date, imported } = run.record;
  const { dossier } = applyDefaults(open.dossier, caseId);
  const sense = measured?.sense ?? null;
  const sealed = seals.find((one) => one.case === caseId)?.definition;
  const wanted = sense === "closing" ? closingDefinition(dossier) : (sealed ?? openingDefinition(dossier));
  const time = [wanted, "command-to-end"].flatMap(
    (definition) => measured?.times.filter((one) => one.definition === definition) ?? [],
  )[0];
  return {
    kind: "run",
    date: date ?? imported,
    isDated: date !== undefined,
    runId: id,
    caseId,
    sense,
    definition: time?.definition ?? wanted,
    time_s: time?.value_s ?? null,
    standardUncertainty_s: time?.standardUncertainty_s ?? null,
  };
}
