/** <folder>/<case>.json: what a command last found of a case, when, and what has changed since. */
import { join } from "node:path";
import { now } from "./clock.js";
import { type RestsOn, readKept, writeKept } from "./keptFile.js";

/** What was found, when it was made, and what has changed since. */
export interface CaseFound<T> {
  /** ISO 8601. */
  readonly made: string;
  readonly found: T;
  /** Names of the files that are not those it was made from, the model among them; none while it holds. */
  readonly changed: readonly string[];
}

/** A kind of such file. `T` must be plain data. */
export interface CaseFile<T> {
  /** Keeps what was found in the folder of the dossier. @returns the path of the file */
  readonly write: (
    folder: string,
    caseId: string,
    dossier: RestsOn,
    model: string,
    found: T,
  ) => Promise<string>;
  /** What was last found of a case, outdated or not; undefined where there is nothing. */
  readonly read: (
    folder: string,
    caseId: string,
    dossier: RestsOn,
    model: string,
  ) => Promise<CaseFound<T> | undefined>;
}

/** Makes a kind of file. @param folderName within the dossier */
export function caseFile<T>(folderName: string, format: string): CaseFile<T> {
  const pathOf = (folder: string, caseId: string): string => join(folder, folderName, `${caseId}.json`);
  return {
    write: async (folder, caseId, dossier, model, found) => {
      const path = pathOf(folder, caseId);
      const before = await readKept<Pick<CaseFound<T>, "made" | "found">>(path, format);
      const isSame =
        before !== undefined &&
        JSON.stringify([before.model, before.restsOn, before.finding.found]) ===
          JSON.stringify([model, dossier, found]);
      // What was found again as it stands keeps its day, and whatever rests on the file its hash.
      if (isSame) return path;
      await writeKept(path, { format, model, restsOn: dossier, finding: { made: now(), found } });
      return path;
    },
    read: async (folder, caseId, dossier, model) => {
      const stored = await readKept<Pick<CaseFound<T>, "made" | "found">>(pathOf(folder, caseId), format);
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
    },
  };
}
