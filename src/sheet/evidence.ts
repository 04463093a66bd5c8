/** What tests have shown: runs, what each was held against, and the finding; sealed predictions. */
import type { Comparison, Reconciliation, SealedFinding, SealedPrediction } from "../evidence/index.js";
import { formatQuantity } from "../quantity/index.js";
import { questionId } from "./answer.js";
import type { SheetContent, SheetRun } from "./content.js";
import { hashText, html, type Inset, instantText, type Markup, pathText, prose } from "./markup.js";
import { noticeList } from "./notice.js";
import { dataTable } from "./table.js";
import { judgementMark } from "./verdict.js";

/** Runs with their findings, then the sealed predictions. */
export function evidencePart({ runs, seals, answers }: SheetContent): Markup {
  const notices = runs.flatMap(({ id, notices: own }) =>
    own.map(({ text, ...notice }) => ({ ...notice, text: text.includes(id) ? text : `run ${id}: ${text}` })),
  );
  return html`<h3>Runs</h3>
${
  runs.length === 0
    ? html`<p>None: no test of this valve has been imported.</p>
`
    : html`${runTable(runs)}${causes(answers)}`
}<h3>Sealed predictions</h3>
${
  seals.length === 0
    ? html`<p>None: no prediction was sealed before a test.</p>
`
    : sealTable(seals, runs)
}${noticeList(notices, "h3")}`;
}

function causes(answers: SheetContent["answers"]): Inset {
  const agreement = answers.find(({ id }) => id === "test");
  if (agreement === undefined) return "";
  return html`<p>Agreement holds under the conditions of its own run and says nothing of others. Which assumption explains how much of a difference, and what could not be told apart, stands under <a href="#${questionId(agreement.number)}">question ${agreement.number}</a>.</p>
`;
}

function runTable(runs: readonly SheetRun[]): Markup {
  return dataTable(
    {
      caption: "Runs and their findings",
      columns: ["run", "stroke", "finding", "predicted", "measured", "held against", "log"],
      rows: runs.flatMap(runRows),
    },
    "unseen",
  );
}

function runRows(run: SheetRun): readonly (readonly Inset[])[] {
  const { id, caseId, recorded, log, reconciliations } = run;
  const head = html`${id} <small>case ${caseId}, recorded ${recorded === undefined ? "at a time not known" : instantText(recorded)}</small>`;
  const original: Inset =
    log === undefined
      ? "not at hand"
      : html`${pathText(log.name)} <small>${hashText(log.sha256.slice(0, 16))}</small>`;
  const sealed = sealedAlone(run);
  if (reconciliations.length + sealed.length === 0)
    return [[head, "none was held against a prediction", "", "", "", "", original]];
  const row = (one: Row, against: Inset): readonly Inset[] => [
    head,
    one.sense,
    judgementMark(one.finding),
    timeWords(one.leading?.predicted_s),
    timeWords(one.leading?.measured_s),
    against,
    original,
  ];
  return [
    ...sealed.map((one) => row(one, sealWords(one.sealed))),
    ...reconciliations.map((one) => row(one, heldWords(one))),
  ];
}

interface Row {
  readonly sense: string;
  readonly finding: Comparison["finding"];
  readonly leading: Comparison | undefined;
}

/** Findings against seals that no reconciliation repeats. */
function sealedAlone({ reconciliations, sealedFindings = [] }: SheetRun): readonly SealedFinding[] {
  return sealedFindings.filter(({ sealed }) => !reconciliations.some(({ held }) => held.sealed === sealed));
}

function timeWords(seconds: number | undefined): string {
  return seconds === undefined ? "no time" : prose(formatQuantity(seconds, "time", { unit: "ms" }));
}

function heldWords({ held }: Reconciliation): Inset {
  if (held.sealed === undefined) return "the valve file as it is now, not sealed before the test";
  return sealWords(held.sealed);
}

function sealWords(sealed: string): Inset {
  return html`a prediction sealed before the test <small>${hashText(sealed.slice(0, 16))}</small>`;
}

function sealTable(seals: readonly SealedPrediction[], runs: readonly SheetRun[]): Markup {
  const heldAgainst = (sha256: string): string => {
    const held = runs.flatMap((run) => [
      ...sealedAlone(run)
        .filter((one) => one.sealed === sha256)
        .map(({ finding }) => `${run.id}: ${finding}`),
      ...run.reconciliations
        .filter((one) => one.held.sealed === sha256)
        .map(({ finding }) => `${run.id}: ${finding}`),
    ]);
    return held.length === 0 ? "none" : held.join(", ");
  };
  return dataTable(
    {
      caption: "Sealed predictions",
      columns: ["SHA-256", "case", "made", "model version", "runs held against it"],
      rows: seals.map((seal) => [
        hashText(seal.sha256),
        seal.case,
        instantText(seal.made),
        seal.model,
        heldAgainst(seal.sha256),
      ]),
    },
    "unseen",
  );
}
