/**
 * runs/<id>/measured-times.json: the times that a run's log shows. They rest on the run and on the travel
 * of the valve alone: another change of the valve file does not touch what was measured.
 */
import type { MeasuredTime } from "../evidence/index.js";
import { sha256 } from "./hash.js";
import { kept, type RestsOn } from "./keptFile.js";
import type { StoredRun } from "./runFolder.js";

/** Times of a stroke by definition; the sense is null where the log shows no stroke. */
export interface MeasuredTimes {
  readonly sense: "opening" | "closing" | null;
  readonly times: readonly MeasuredTime[];
}

const keptTimes = kept<MeasuredTimes>("measured-times.json", "coldturn-measured-times/1");

/** Keeps what was measured. @param travel declared travel of the valve [rad] */
export async function writeMeasuredTimes(
  run: StoredRun,
  travel: number,
  model: string,
  measured: MeasuredTimes,
): Promise<void> {
  await keptTimes.write(run, travelOf(travel), model, measured);
}

/** What was measured, if that is kept and still holds. @param travel declared travel of the valve [rad] */
export async function readMeasuredTimes(
  run: StoredRun,
  travel: number,
  model: string,
): Promise<MeasuredTimes | undefined> {
  return await keptTimes.read(run, travelOf(travel), model);
}

function travelOf(travel: number): RestsOn {
  return [{ name: "valve.travel", sha256: sha256(String(travel)) }];
}
