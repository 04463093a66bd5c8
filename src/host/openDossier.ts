/** A dossier as the shells read it: files, what they say, what fills the gaps. */
import {
  applyDefaults,
  conditionsOf,
  type Dossier,
  type FilledDossier,
  readDossier,
} from "../dossier/index.js";
import { type Fault, type Notice, Refusal } from "../fault/index.js";
import { type DossierFiles, readDossierFiles } from "./dossierFolder.js";
import { brokenImports } from "./staging.js";

export interface OpenDossier {
  readonly files: DossierFiles;
  /** As written. */
  readonly dossier: Dossier;
  readonly filled: FilledDossier;
  readonly caseId: string;
  /** Each field with a fault counts as not known. */
  readonly faults: readonly Fault[];
  readonly notices: readonly Notice[];
}

/**
 * Reads a dossier for one case.
 * Refuses a folder without one, a valve file of which nothing can be read, an unknown case.
 */
export async function openDossier(place: string, caseId: string): Promise<OpenDossier> {
  const files = await readDossierFiles(place);
  const { dossier, faults, notices } = readDossier(files);
  if (faults.length > 0 && dossier.places.size === 0) throw new Refusal(faults);
  conditionsOf(dossier, caseId);
  const broken = await brokenImports(files.folder);
  const filled = applyDefaults(dossier, caseId);
  return { files, dossier, filled, caseId, faults, notices: [...notices, ...broken] };
}

/** Refuses a dossier with faults: what is written from it should rest on all of it. */
export function refuseFaulty({ faults }: OpenDossier): void {
  if (faults.length > 0) throw new Refusal(faults);
}

/** Name of the valve and what is looked at: "Petrel oxygen main valve, duty". */
export function titleOf({ dossier, caseId }: OpenDossier): string {
  const name = dossier.valve.name ?? "A valve without a name";
  const description = dossier.valve.cases?.find(({ id }) => id === caseId)?.description;
  return description === undefined ? `${name}, ${caseId}` : `${name}, ${caseId}: ${description}`;
}
