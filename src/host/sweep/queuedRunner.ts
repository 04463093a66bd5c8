/** Runs the blocks of a prediction on whatever workers a database has; the same bits as on this machine. */
import type { BlockRunner } from "../../predict/index.js";
import { type OpenDossier, titleOf } from "../openDossier.js";
import { predictOrder, predictResult, predictWork } from "./predictWork.js";
import { runSweep, type SweepOptions } from "./sweep.js";

/** @param address  of the database;  @param open  the dossier that is predicted, for its case */
export function queuedRunner(address: string, open: OpenDossier, options: SweepOptions): BlockRunner {
  const { files, caseId } = open;
  return async (_, blocks) => {
    const order = predictOrder(files, caseId);
    const title = titleOf(open);
    const texts = await runSweep(address, { kind: predictWork.kind, title, order, blocks }, options);
    return texts.map(predictResult);
  };
}
