/** Proposed values written into the valve file. */
import { editValveText, readDossier } from "../dossier/index.js";
import { fittedTo, type Proposal } from "../evidence/index.js";
import { Refusal } from "../fault/index.js";
import { runsOfSameLog, type StoredRun, writeWhole } from "../host/index.js";
import type { OpenDossier } from "./openDossier.js";

/** What was written into the valve file. */
export interface Accepted {
  readonly path: string;
  readonly changes: readonly { readonly path: string; readonly value: string }[];
}

/** Refuses a run, or another with the same log, that values of the file were fitted to already. */
export async function refuseFitted({ files, dossier }: OpenDossier, run: StoredRun): Promise<void> {
  const sameLog = await runsOfSameLog(files.folder, run);
  const paths = fittedTo(dossier, sameLog);
  if (paths.length === 0) return;
  const others = sameLog.filter((id) => id !== run.record.id);
  const log = others.length === 0 ? "" : `, whose log is that of run ${others.join(" and ")} byte for byte`;
  throw new Refusal([
    {
      code: "accept-twice",
      where: { file: files.valve.path },
      found: `${paths.join(", ")} ${paths.length > 1 ? "were" : "was"} fitted to run ${run.record.id} already${log}`,
      allowed: "A test counts once: fitted to it again, the values would only look better known.",
      mend: "Write the values from before the fit back (each says what it was under because), or accept another run",
    },
  ]);
}

/**
 * Writes proposals into the valve file.
 * Refuses a file that was changed since it was read, and values the file could not be read with.
 */
export async function acceptProposals(
  { files }: OpenDossier,
  proposals: readonly Proposal[],
): Promise<Accepted> {
  const { valve, parts } = files;
  const changes = proposals.map(({ path, proposed, because }) => ({
    path,
    value: `{ value: ${proposed}, origin: fitted, because: ${JSON.stringify(because)} }`,
  }));
  if (changes.length === 0) return { path: valve.path, changes };
  const text = editValveText(valve.text, changes);
  const { faults } = readDossier({ valve: { path: valve.path, text }, parts });
  if (faults.length > 0) throw new Refusal(faults);
  await writeWhole(valve.path, text, { sha256: valve.sha256 });
  return { path: valve.path, changes };
}
