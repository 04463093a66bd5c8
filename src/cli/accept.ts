/** Proposed values written into the valve file. */
import { editValveText, readDossier } from "../dossier/index.js";
import { Refusal } from "../fault/index.js";
import { writeWhole } from "../host/index.js";
import type { HeldRun } from "./heldRun.js";
import type { OpenDossier } from "./openDossier.js";

/** What was written into the valve file. */
export interface Accepted {
  readonly path: string;
  readonly changes: readonly { readonly path: string; readonly value: string }[];
}

/**
 * Writes the proposals of a run into the valve file.
 * Refuses a file that was changed since it was read, and values the file could not be read with.
 */
export async function acceptProposals({ files }: OpenDossier, held: readonly HeldRun[]): Promise<Accepted> {
  const { valve, parts } = files;
  const changes = held.flatMap(({ proposals }) =>
    proposals.map(({ path, proposed, because }) => ({
      path,
      value: `{ value: ${proposed}, origin: fitted, because: ${JSON.stringify(because)} }`,
    })),
  );
  if (changes.length === 0) return { path: valve.path, changes };
  const text = editValveText(valve.text, changes);
  const { faults } = readDossier({ valve: { path: valve.path, text }, parts });
  if (faults.length > 0) throw new Refusal(faults);
  await writeWhole(valve.path, text, { sha256: valve.sha256 });
  return { path: valve.path, changes };
}
