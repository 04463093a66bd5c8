/** next/<case>.json: which test would tell most, as `coldturn next` ranked them at some time. */
import { join } from "node:path";
import type { NextTests } from "../evidence/index.js";
import { now } from "./clock.js";
import { type RestsOn, readKept, writeKept } from "./keptFile.js";

/** A ranking, when it was made, and what has changed since. */
interface RankedNext {
  /** ISO 8601. */
  readonly made: string;
  readonly found: NextTests;
  /** Names of the files that are not those it was made from, the model among them; none while it holds. */
  readonly changed: readonly string[];
}

const format = "coldturn-next/1";
const pathOf = (folder: string, caseId: string): string => join(folder, "next", `${caseId}.json`);

/** Keeps a ranking in the folder of the dossier. @returns the path of the file */
export async function writeNext(
  folder: string,
  dossier: RestsOn,
  model: string,
  found: NextTests,
): Promise<string> {
  const path = pathOf(folder, found.decision.caseId);
  await writeKept(path, { format, model, restsOn: dossier, finding: { made: now(), found } });
  return path;
}

/** The ranking of a case as it was last made, outdated or not; undefined where there is none. */
export async function readNext(
  folder: string,
  caseId: string,
  dossier: RestsOn,
  model: string,
): Promise<RankedNext | undefined> {
  const stored = await readKept<Pick<RankedNext, "made" | "found">>(pathOf(folder, caseId), format);
  if (stored === undefined) return undefined;
  const before = new Map(stored.restsOn.map(({ name, sha256 }) => [name, sha256]));
  const after = new Map(dossier.map(({ name, sha256 }) => [name, sha256]));
  const names = [...new Set([...after.keys(), ...before.keys()])];
  return {
    ...stored.finding,
    changed: [
      ...names.filter((name) => before.get(name) !== after.get(name)),
      ...(stored.model === model ? [] : [`the model (${stored.model}, now ${model})`]),
    ],
  };
}
