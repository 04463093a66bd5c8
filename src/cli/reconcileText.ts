/** What `coldturn reconcile` shows: one run in full, or several runs in short and all of them together. */
import type { JointReconciliation, Proposal } from "../evidence/index.js";
import type { Fault } from "../fault/index.js";
import type { OpenDossier } from "../host/index.js";
import { jointAnswer } from "../question/index.js";
import type { Accepted } from "./accept.js";
import { answerLines, questionLine, type Shown } from "./answerText.js";
import { faultsPage, noticeLines } from "./faultsPage.js";
import type { HeldRun } from "./heldRun.js";
import { type Page, paragraph, section, strong } from "./page.js";
import { tableLines } from "./table.js";
import { testCautions } from "./testCautions.js";

/** What the command found. */
export interface Reconciled {
  readonly held: readonly HeldRun[];
  readonly joint: JointReconciliation | undefined;
  /** Those that --accept writes. */
  readonly proposals: readonly Proposal[];
  readonly accepted: Accepted | undefined;
}

/**
 * The angle overlaid and the ledger; the sheet has the other channels too. The ledger's own table
 * repeats its picture; updated values are listed below with their paths.
 */
const shown: Shown = {
  isDrawn: (id) => /-(angle|ledger)$/.test(id),
  isListed: ({ title }) =>
    !/^Run .*: which assumption (would explain|explains) how much|^Values (proposed|of an update)/.test(
      title,
    ),
};

/** Of several runs together the inputs are drawn; every list is shown. */
const shownJointly: Shown = { isDrawn: (id) => id === "test-joint-inputs", isListed: () => true };

export function reconcilePage(
  page: Page,
  open: OpenDossier,
  { held, joint, proposals, accepted }: Reconciled,
  faults: readonly Fault[],
): string {
  const isAlone = held.length === 1;
  return [
    ...paragraph(
      page,
      `${open.dossier.valve.name ?? "A valve without a name"}, file ${open.files.valve.path}`,
    ),
    ...held.flatMap((one) => (isAlone ? runLines(page, one, open) : shortRunLines(page, one))),
    ...jointLines(page, held, joint),
    ...proposalLines(page, proposals),
    ...acceptedLines(page, accepted, proposals),
    ...(faults.length === 0 ? [] : ["", faultsPage(page, faults)]),
  ].join("\n");
}

function headLines(page: Page, { run: { record }, notices }: HeldRun): readonly string[] {
  const when = record.date === undefined ? "" : `, ${record.date}`;
  return [
    "",
    ...paragraph(page, strong(page, `Run ${record.id}, case ${record.case}${when}`)),
    ...noticeLines(page, notices),
  ];
}

function runLines(page: Page, held: HeldRun, open: OpenDossier): readonly string[] {
  // Checks and gaps of the question repeat the sentence here.
  const cautions = testCautions(open.dossier, held.run.record.case);
  const about = { ...held.answer, checks: [], gaps: [], cautions };
  return [...headLines(page, held), ...answerLines(page, about, shown)];
}

/** Of several runs each has its finding; `--run` shows one in full. */
function shortRunLines(page: Page, held: HeldRun): readonly string[] {
  return [
    ...headLines(page, held),
    questionLine(page, held.answer),
    ...paragraph(page, held.answer.sentence, "   "),
  ];
}

function jointLines(
  page: Page,
  held: readonly HeldRun[],
  joint: JointReconciliation | undefined,
): readonly string[] {
  const newest = held[held.length - 1];
  if (joint === undefined || newest === undefined) return [];
  const title = joint.runs.length > 1 ? `${joint.runs.length} runs together` : "The posterior";
  return [
    "",
    ...paragraph(page, strong(page, title)),
    ...answerLines(page, jointAnswer(newest.prediction, joint), shownJointly).slice(1),
  ];
}

function proposalLines(page: Page, proposals: readonly Proposal[]): readonly string[] {
  if (proposals.length === 0) return [];
  const stands = proposals.every(({ refusals }) => refusals.length === 0);
  return section(
    page,
    stands ? "Proposed for valve.yaml" : "Not proposed: values of an update that does not stand",
    tableLines(
      page,
      ["field", "now", stands ? "proposed" : "by that update"],
      proposals.map(({ path, now, proposed }) => [path, now, proposed]),
    ),
  );
}

function acceptedLines(
  page: Page,
  accepted: Accepted | undefined,
  proposals: readonly Proposal[],
): readonly string[] {
  if (accepted === undefined) {
    const stands = proposals.every(({ refusals }) => refusals.length === 0);
    const words = stands
      ? "Nothing was changed in the valve file. --accept writes the proposed values into it."
      : "Nothing was changed in the valve file, and nothing is proposed for it. A wider uncertainty, where there is a reason to declare one, or the cause that is missing from the file would make an update stand.";
    return proposals.length === 0 ? [] : ["", ...paragraph(page, words)];
  }
  if (accepted.changes.length === 0)
    return ["", ...paragraph(page, "No value is proposed, so none was written.")];
  return [
    ...section(
      page,
      `Written into ${accepted.path}`,
      accepted.changes.flatMap(({ path, value }) => paragraph(page, `${path}: ${value}`, "  ")),
    ),
    ...(proposals.every(({ refusals }) => refusals.length === 0)
      ? []
      : paragraph(
          page,
          "The update does not stand: these values may be wrong by more than they say. Each says so under because; check, predict, reconcile and the sheet say so too.",
        )),
    ...togetherLines(page, accepted),
    ...paragraph(
      page,
      "Seal a prediction with them before the next test: the runs they were fitted to are no test of them.",
    ),
  ];
}

/** Correlations of the fit that were written with the values. */
function togetherLines(page: Page, { correlations }: Accepted): readonly string[] {
  if (correlations.length === 0) return [];
  const strongest = [...correlations]
    .sort((a, b) => Math.abs(b.rank) - Math.abs(a.rank))
    .slice(0, mostNamed)
    .map(({ first, second, rank }) => `${first} and ${second} ${rank.toFixed(2)}`);
  const more = correlations.length - strongest.length;
  const others = more === 0 ? "" : `, and ${more} weaker`;
  return paragraph(
    page,
    `The fit leaves errors that go together. They stand in force under correlations, as rank correlations: ${strongest.join("; ")}${others}.`,
  );
}

/** Correlations that are named; the file has them all. */
const mostNamed = 6;
