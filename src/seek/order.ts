/**
 * What is asked of a search, as plain data: the texts of the dossier's files, the case and how it is
 * sampled. A worker on any host makes the same plan of it, so that a block is worked out there as here.
 */
import {
  applyDefaults,
  type Dossier,
  type Part,
  partsOnFile,
  readDossier,
  readParts,
  type SourceFile,
} from "../dossier/index.js";
import { modelVersion, samplesToShow, usualProbability } from "../predict/index.js";

export interface SeekOrder {
  readonly format: "coldturn-seek/1";
  /** Version of the model that the answer is to be of. */
  readonly model: string;
  readonly valve: SourceFile;
  /** The team's own parts and solids, one file each. */
  readonly parts: readonly SourceFile[];
  readonly caseId: string;
  readonly seed: number;
  /** Samples of each candidate's band. */
  readonly samples: number;
}

/** Samples of a candidate's band: as many as show the wanted probability where all of them meet a limit. */
export function usualSeekSamples({ valve }: Dossier): number {
  return samplesToShow(wantedProbability(valve));
}

/** The wanted probability: of the search, or of the duty. */
export function wantedProbability({ seek, duty }: Dossier["valve"]): number {
  return seek?.probability?.value ?? duty?.probability?.value ?? usualProbability;
}

/** An order of this program's model. */
export function seekOrder(order: Omit<SeekOrder, "format" | "model">): SeekOrder {
  return { format: "coldturn-seek/1", model: modelVersion, ...order };
}

/** The dossier of an order with its defaults, and every part on file. Refuses an unknown case. */
export function openOrder({ valve, parts, caseId }: SeekOrder): {
  readonly declared: Dossier;
  readonly dossier: Dossier;
  readonly library: readonly Part[];
} {
  const { dossier: declared } = readDossier({ valve, parts });
  const { dossier } = applyDefaults(declared, caseId);
  return { declared, dossier, library: partsOnFile(readParts(parts).parts) };
}
