export { type ChainWorkers, startChainWorkers } from "./chainWorkers.js";
export { elapsedSeconds, now } from "./clock.js";
export { clockNotices } from "./clockBehind.js";
export { type DossierFiles, readDossierFiles, restsOn } from "./dossierFolder.js";
export { sha256 } from "./hash.js";
export { hashFile } from "./hashFile.js";
export { hazardsPath, readHazardsFile } from "./hazardsFile.js";
export type { MeasuredTimes } from "./measuredFile.js";
export { type FileMigration, migrateFiles, migrationsOf } from "./migrateDossier.js";
export { readNext, writeNext } from "./nextFile.js";
export { type OpenDossier, openDossier, refuseFaulty, titleOf } from "./openDossier.js";
export { type OpenLog, openLog, type ReadLog } from "./openLog.js";
export { type NumberTable, readParquet, writeParquet } from "./parquet.js";
export { readPartTable } from "./partTableFile.js";
export { keepMeasuredTimes, measuredTimesOf, pastRun } from "./pastRuns.js";
export { programFile } from "./place.js";
export { planRestsOn, recordedRun, writePlan } from "./planFile.js";
export { printPdf } from "./printPdf.js";
export { kindAt, namesIn, readText, type TextFile } from "./readFile.js";
export {
  type RunFinding,
  readFinding,
  writeFinding,
  writeJointFinding,
  writeSealedFinding,
} from "./reconciliationFile.js";
export { keptReduction } from "./reductionFile.js";
export {
  addRun,
  originalName,
  readRunLog,
  readRunRecord,
  readWholeRunLog,
  runIds,
  runsOfSameLog,
  type StoredRun,
  storedLogName,
} from "./runFolder.js";
export { readSealed, writeSealed } from "./sealedFolder.js";
export { clearOtherSeeks, keepSeekBlock, keptSeekBlocks } from "./seekFolder.js";
export { runSeek } from "./seekWorkers.js";
export { readSensor } from "./sensors.js";
export { readSheetFile, sheetFiles } from "./sheetFile.js";
export { sourceStack } from "./sourceStack.js";
export { brokenImports, clearBrokenImports, withStaging } from "./staging.js";
export { type Standing, standingEvidence, unstandingWords } from "./standing.js";
export type { StandingRun } from "./standingRun.js";
export { queuedRunner } from "./sweep/queuedRunner.js";
export { queuedSeek } from "./sweep/seekWork.js";
export { onSweeps, type SweepOptions } from "./sweep/sweep.js";
export { cancelSweep, type ListedSweep, listSweeps, resumeSweep } from "./sweep/sweeps.js";
export { takeWork, type WorkDone, type WorkerNews } from "./sweep/takeWork.js";
export { isSystemError } from "./system.js";
export {
  type Committed,
  commitFolder,
  exportDossier,
  importFolder,
  type Updated,
  updateFolder,
} from "./team/copies.js";
export { decideOn, takeDecisions } from "./team/decisions.js";
export { readOrigin } from "./team/origin.js";
export {
  changesOf,
  type DossierChange,
  dossiersOf,
  type ListedDossier,
  makeStore,
  onStore,
  type Person,
  type PersonChange,
  peopleOf,
  setPerson,
} from "./team/store.js";
export { listChannels, thinChannels } from "./thinnedChannels.js";
export { eachLogOnce, wantedRuns } from "./wantedRuns.js";
export { makeWholeFolder, type Replace, requireFolderOf, writeWhole } from "./wholeFile.js";
export { type PredictionWorkers, type Progress, startWorkers, usualWorkerCount } from "./workers.js";
