/** sensors/<id>.yaml: calibrations of the team's sensors, from which an import copies into its run. */
import { join } from "node:path";
import { parseFile, plainDataOf } from "../dossier/index.js";
import type { Calibration } from "../evidence/index.js";
import { nearName, Refusal } from "../fault/index.js";
import { evidence } from "./evidence.js";
import { namesIn, readText } from "./readFile.js";
import { refuseFile } from "./system.js";

const sensorsName = "sensors";
const ending = ".yaml";

/**
 * The calibration of a sensor.
 * Refuses  one that is not there, with a near name, and a file that is none
 */
export async function readSensor(folder: string, id: string): Promise<Calibration> {
  const ids = (await namesIn(join(folder, sensorsName)))
    .filter((name) => name.endsWith(ending))
    .map((name) => name.slice(0, -ending.length));
  if (!ids.includes(id)) {
    const near = nearName(id, ids);
    return refuseFile(join(folder, sensorsName), {
      code: "sensor-unknown",
      found: `there is no calibration ${id}`,
      allowed: ids.length === 0 ? "No sensor has a file yet." : `The sensors are ${ids.join(", ")}.`,
      mend: `Write ${sensorsName}/${id}${ending} with kind, points, standard_uncertainty, date and origin, or name another one`,
      ...(near === undefined ? {} : { near }),
    });
  }
  const { path, text } = await readText(join(folder, sensorsName, `${id}${ending}`));
  const { readCalibration } = await evidence();
  try {
    return readCalibration(plainDataOf(parseFile({ path, text })));
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    throw new Refusal(thrown.faults.map((fault) => ({ ...fault, where: { file: path, ...fault.where } })));
  }
}
