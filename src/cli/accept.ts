/** Proposed values written into the valve file. */
import { appendCorrelation, editValveText, readDossier } from "../dossier/index.js";
import {
  type DeclaredRank,
  type FittedCorrelation,
  fittedTo,
  isPair,
  type Proposal,
} from "../evidence/index.js";
import { Refusal } from "../fault/index.js";
import type { OpenDossier } from "../host/index.js";
import { runsOfSameLog, type StoredRun, writeWhole } from "../host/index.js";

/** What was written into the valve file. */
export interface Accepted {
  readonly path: string;
  readonly changes: readonly { readonly path: string; readonly value: string }[];
  /** Written rows of `correlations`: accepted values whose errors go together after the fit. */
  readonly correlations: readonly FittedCorrelation[];
}

/** The text with the rows in its list of correlations: in the place of those of the same values, the others at its end. */
export function withCorrelations(
  text: string,
  rows: readonly FittedCorrelation[],
  declared: readonly (Pick<DeclaredRank, "first" | "second"> | undefined)[],
): string {
  return rows.reduce((so, row) => {
    const at = declared.findIndex((one) => one !== undefined && isPair(one, row));
    if (at >= 0)
      return editValveText(so, [
        { path: `correlations[${at}].rank`, value: String(row.rank) },
        { path: `correlations[${at}].because`, value: row.because },
      ]);
    const words = `{ first: "${row.first}", second: "${row.second}", rank: ${row.rank}, because: ${JSON.stringify(row.because)} }`;
    return appendCorrelation(so, words);
  }, text);
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
 * Refuses values of an update that does not stand: whatever made the test differ, they are not known to be it.
 */
export function refuseUnexplained({ files }: OpenDossier, proposals: readonly Proposal[]): void {
  const refusals = [...new Set(proposals.flatMap((one) => one.refusals))];
  if (refusals.length === 0) return;
  throw new Refusal([
    {
      code: "accept-does-not-stand",
      where: { file: files.valve.path },
      found: `the update does not stand, so it proposes no values: ${refusals.join("; ")}`,
      allowed:
        "Values are proposed by an update that explains the test within what was declared and measured.",
      mend: "Declare a wider uncertainty where there is a reason to, or find the cause that is missing from the file, and reconcile again; --although-it-does-not-stand beside --accept writes the values all the same, and each then says so",
    },
  ]);
}

/**
 * Writes proposals into the valve file, and the correlations of their errors into its list.
 * Refuses a file that was changed since it was read, and values the file could not be read with.
 */
export async function acceptProposals(
  { files, dossier }: OpenDossier,
  proposals: readonly Proposal[],
  correlations: readonly FittedCorrelation[],
): Promise<Accepted> {
  const { valve, parts } = files;
  const changes = proposals.map(({ path, proposed, because }) => ({
    path,
    value: `{ value: ${proposed}, origin: fitted, because: ${JSON.stringify(because)} }`,
  }));
  if (changes.length === 0) return { path: valve.path, changes, correlations: [] };
  const rows = (dossier.valve.correlations ?? []).map(({ first, second }) =>
    first === undefined || second === undefined ? undefined : { first, second },
  );
  const text = withCorrelations(editValveText(valve.text, changes), correlations, rows);
  const { faults } = readDossier({ valve: { path: valve.path, text }, parts });
  if (faults.length > 0) throw new Refusal(faults);
  await writeWhole(valve.path, text, { sha256: valve.sha256 });
  return { path: valve.path, changes, correlations };
}
