/** next/<case>.json: which test would tell most, as `coldturn next` ranked them at some time. */
import type { NextTests } from "../evidence/index.js";
import { caseFile } from "./caseFile.js";
import type { RestsOn } from "./keptFile.js";

const file = caseFile<NextTests>("next", "coldturn-next/1");

/** Keeps a ranking in the folder of the dossier. @returns the path of the file */
export async function writeNext(
  folder: string,
  dossier: RestsOn,
  model: string,
  found: NextTests,
): Promise<string> {
  return await file.write(folder, found.decision.caseId, dossier, model, found);
}

/** The ranking of a case as it was last made. */
export const readNext = file.read;
