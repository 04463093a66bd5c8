/** Proposed values written into the valve file. */
import { editValveText, readDossier } from "../dossier/index.js";
import { type ConfusedPair, fittedTo, type Proposal } from "../evidence/index.js";
import { Refusal } from "../fault/index.js";
import { runsOfSameLog, type StoredRun, writeWhole } from "../host/index.js";
import type { OpenDossier } from "./openDossier.js";

/** What was written into the valve file. */
export interface Accepted {
  readonly path: string;
  readonly changes: readonly { readonly path: string; readonly value: string }[];
  /** Accepted values whose errors go together after the fit; they stand in the file as a comment, not in force. */
  readonly correlationsLeft: readonly LeftCorrelation[];
}

/** Two accepted values and the correlation that the fit leaves between them. */
export interface LeftCorrelation {
  readonly first: string;
  readonly second: string;
  /** Of normal errors, after the tests [-]. */
  readonly correlation: number;
  /** The same as a rank correlation, as the valve file takes it [-]. */
  readonly rank: number;
}

/** A weaker correlation changes little where it is left out. Our choice, no source. */
const noticeableCorrelation = 0.3;

/**
 * The correlations that a fit leaves among the accepted values.
 *
 *   rank = (6/pi) asin(r/2)   for two normal values [pearson-1907]
 */
export function correlationsLeft(
  proposals: readonly Proposal[],
  confused: readonly ConfusedPair[],
): readonly LeftCorrelation[] {
  const isAccepted = (path: string) => proposals.some((one) => one.path === path);
  return confused
    .filter(({ first, second }) => isAccepted(first) && isAccepted(second))
    .filter(({ correlation }) => Math.abs(correlation) >= noticeableCorrelation)
    .map(({ first, second, correlation }) => ({
      first,
      second,
      correlation,
      rank: Number(((6 / Math.PI) * Math.asin(correlation / 2)).toFixed(2)),
    }));
}

/** The correlations as a comment at the end of the valve file, in the form in which they are entered. */
function withComment(text: string, left: readonly LeftCorrelation[], fittedTo: string): string {
  if (left.length === 0) return text;
  const end = text.includes("\r\n") ? "\r\n" : "\n";
  const lines = [
    `# Values ${fittedTo} have errors that go together; the values above count as independent.`,
    "# To have them count, enter these rows under correlations:",
    ...left.map(
      ({ first, second, rank }) => `#   - { first: "${first}", second: "${second}", rank: ${rank} }`,
    ),
  ];
  return `${text.endsWith("\n") ? text : `${text}${end}`}${end}${lines.join(end)}${end}`;
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
 * Writes proposals into the valve file.
 * Refuses a file that was changed since it was read, and values the file could not be read with.
 */
export async function acceptProposals(
  { files }: OpenDossier,
  proposals: readonly Proposal[],
  confused: readonly ConfusedPair[] = [],
): Promise<Accepted> {
  const { valve, parts } = files;
  const changes = proposals.map(({ path, proposed, because }) => ({
    path,
    value: `{ value: ${proposed}, origin: fitted, because: ${JSON.stringify(because)} }`,
  }));
  const left = correlationsLeft(proposals, confused);
  if (changes.length === 0) return { path: valve.path, changes, correlationsLeft: left };
  const [source = "fitted"] = (proposals[0]?.because ?? "").split(", was ");
  const text = withComment(editValveText(valve.text, changes), left, source);
  const { faults } = readDossier({ valve: { path: valve.path, text }, parts });
  if (faults.length > 0) throw new Refusal(faults);
  await writeWhole(valve.path, text, { sha256: valve.sha256 });
  return { path: valve.path, changes, correlationsLeft: left };
}
