/** What `coldturn reconcile` shows, run by run. */
import type { Fault } from "../fault/index.js";
import type { Accepted } from "./accept.js";
import { answerLines, type Shown } from "./answerText.js";
import { faultsPage, noticeLines } from "./faultsPage.js";
import type { HeldRun } from "./heldRun.js";
import type { OpenDossier } from "./openDossier.js";
import { type Page, paragraph, section, strong } from "./page.js";
import { tableLines } from "./table.js";
import { testCautions } from "./testCautions.js";

/**
 * The angle overlaid and the ledger; the sheet has the other channels too. The ledger's own table
 * repeats its picture; proposals are listed below with their paths.
 */
const shown: Shown = {
  isDrawn: (id) => /-(angle|ledger)$/.test(id),
  isListed: ({ title }) => !/which assumption explains how much$|^Values proposed/.test(title),
};

export function reconcilePage(
  page: Page,
  open: OpenDossier,
  held: readonly HeldRun[],
  faults: readonly Fault[],
  accepted: Accepted | undefined,
): string {
  return [
    ...paragraph(
      page,
      `${open.dossier.valve.name ?? "A valve without a name"}, file ${open.files.valve.path}`,
    ),
    ...held.flatMap((one) => runLines(page, one, open)),
    ...acceptedLines(page, accepted, held),
    ...(faults.length === 0 ? [] : ["", faultsPage(page, faults)]),
  ].join("\n");
}

function runLines(
  page: Page,
  { run, answer, notices, proposals }: HeldRun,
  open: OpenDossier,
): readonly string[] {
  const { record } = run;
  const when = record.date === undefined ? "" : `, ${record.date}`;
  // Checks and gaps of the question repeat the sentence here.
  const about = { ...answer, checks: [], gaps: [], cautions: testCautions(open.dossier, record.case) };
  return [
    "",
    ...paragraph(page, strong(page, `Run ${record.id}, case ${record.case}${when}`)),
    ...noticeLines(page, notices),
    ...answerLines(page, about, shown),
    ...section(
      page,
      "Proposed for valve.yaml",
      tableLines(
        page,
        ["field", "now", "proposed"],
        proposals.map(({ path, now, proposed }) => [path, now, proposed]),
      ),
    ),
  ];
}

function acceptedLines(
  page: Page,
  accepted: Accepted | undefined,
  held: readonly HeldRun[],
): readonly string[] {
  const proposed = held.reduce((sum, { proposals }) => sum + proposals.length, 0);
  if (accepted === undefined) {
    return proposed === 0
      ? []
      : [
          "",
          ...paragraph(
            page,
            "Nothing was changed in the valve file. --accept with --run writes the values of one run into it.",
          ),
        ];
  }
  if (accepted.changes.length === 0)
    return ["", ...paragraph(page, "No value is proposed, so none was written.")];
  return [
    ...section(
      page,
      `Written into ${accepted.path}`,
      accepted.changes.flatMap(({ path, value }) => paragraph(page, `${path}: ${value}`, "  ")),
    ),
    ...paragraph(
      page,
      "Seal a prediction with them before the next test: the run they were fitted to is no test of them.",
    ),
  ];
}
