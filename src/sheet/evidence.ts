/** What tests have shown: runs, what each was held against, and the finding; sealed predictions; proposals. */
import type { Proposal, Reconciliation, SealedPrediction } from "../evidence/index.js";
import { formatQuantity } from "../quantity/index.js";
import type { SheetContent, SheetRun } from "./content.js";
import { html, type Inset, type Markup } from "./markup.js";
import { noticeList } from "./notice.js";
import { dataTable } from "./table.js";
import { judgementMark } from "./verdict.js";

export function evidencePart({ runs, seals, proposals, answers }: SheetContent): Markup {
  const agreement = answers.find(({ id }) => id === "test");
  return html`${
    runs.length === 0
      ? html`<p>No run of this dossier has been imported.</p>`
      : html`${dataTable({ caption: "Runs and their findings", columns: ["run", "case", "recorded", "stroke", "finding", "predicted", "measured", "held against"], rows: runs.flatMap(runRows) })}
${agreement === undefined ? "" : html`<p>Causes, updated inputs and what could not be told apart stand under question ${agreement.number}. A run that agrees does so under its own conditions and says nothing of others.</p>`}`
  }
${noticeList(
  runs.flatMap(({ id, notices }) =>
    notices.map((notice) => ({ ...notice, text: `run ${id}: ${notice.text}` })),
  ),
  "h3",
)}
<h3>Sealed predictions</h3>
${seals.length === 0 ? html`<p>None: no prediction of this dossier was sealed before a test.</p>` : sealTable(seals, runs)}${proposals.length === 0 ? "" : proposalTable(proposals)}`;
}

function runRows(run: SheetRun): readonly (readonly Inset[])[] {
  const recorded = run.recorded ?? "not known";
  if (run.reconciliations.length === 0)
    return [[run.id, run.caseId, recorded, "", "no stroke could be held against a prediction", "", "", ""]];
  return run.reconciliations.map((one) => [
    run.id,
    run.caseId,
    recorded,
    one.sense,
    judgementMark(one.finding),
    timeWords(one.leading?.predicted_s),
    timeWords(one.leading?.measured_s),
    heldWords(one),
  ]);
}

function timeWords(seconds: number | undefined): string {
  return seconds === undefined ? "no time" : formatQuantity(seconds, "time", { unit: "ms" });
}

function heldWords({ held }: Reconciliation): Inset {
  if (held.sealed === undefined) return "the valve file as it is, not sealed before the test";
  return html`sealed prediction <code>${held.sealed.slice(0, 12)}</code>`;
}

function sealTable(seals: readonly SealedPrediction[], runs: readonly SheetRun[]): Markup {
  const heldAgainst = (sha256: string) =>
    runs
      .filter(({ reconciliations }) => reconciliations.some(({ held }) => held.sealed === sha256))
      .map(({ id }) => id)
      .join(", ");
  return dataTable(
    {
      caption: "Sealed predictions",
      columns: ["SHA-256", "case", "made", "model version", "runs held against it"],
      rows: seals.map((seal) => [
        html`<code class="hash">${seal.sha256}</code>`,
        seal.case,
        seal.made,
        seal.model,
        heldAgainst(seal.sha256) || "none",
      ]),
    },
    "unseen",
  );
}

function proposalTable(proposals: readonly Proposal[]): Markup {
  return html`<h3>Proposed changes</h3>
<p>Nothing is written to the valve file until somebody accepts it.</p>
${dataTable({ caption: "Proposed changes", columns: ["field", "now", "proposed", "because"], rows: proposals.map(({ path, now, proposed, because }) => [html`<code>${path}</code>`, now, proposed, because]) }, "unseen")}`;
}
