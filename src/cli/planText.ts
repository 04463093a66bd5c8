/** A test plan as text: the runs in their order, then each with what its card has. */
import {
  abortWords,
  expectedBandWords,
  expectedWords,
  filterWords,
  type PlannedRun,
  planTable,
  rangeWords,
  rateWords,
  stateWords,
  type TestPlan,
  uncertaintyWords,
} from "../question/index.js";
import { type Page, paragraph, section, strong } from "./page.js";
import { tableLines } from "./table.js";

/** The plan. @param isWhole whether each run is printed with all that its card says */
export function planLines(page: Page, plan: TestPlan, isWhole: boolean): readonly string[] {
  const { columns, rows, title } = planTable(plan);
  return [
    ...section(page, title, tableLines(page, columns, rows)),
    ...plan.runs.flatMap((run) => (isWhole ? runLines(page, run) : standingLines(page, run))),
    ...section(
      page,
      "Not planned",
      plan.notPlanned.flatMap(({ what, why }) => paragraph(page, `${what}: ${why}`, "  ")),
    ),
    ...section(
      page,
      "Open, and closed by no run: an input, an inspection or another design does",
      plan.openElsewhere.flatMap(({ question, name, verdict, words }) =>
        paragraph(page, `${name} (question ${question}): ${verdict}, ${words}`, "  "),
      ),
    ),
    "",
    ...paragraph(
      page,
      "A plan proposes; it commands and releases nothing. Who makes a run, and whether, is decided by the responsible people under local codes and licensed practice.",
    ),
  ];
}

/** What was made of a run, and what it waits for; nothing where neither is to be said. */
function standingLines(page: Page, run: PlannedRun): readonly string[] {
  const { number, stageWords, caseId, waitsFor, made, state } = run;
  if (waitsFor.length + made.length === 0) return [];
  return [
    "",
    strong(page, `Run ${number}  ${stageWords} (${caseId})`),
    ...listed(
      page,
      made.map(({ id, isTicked, words }) => `${isTicked ? "[x]" : "[ ]"} ${id}: ${words}`),
      "  ",
    ),
    ...listed(page, waitsFor, state === "made" ? "  a repeat waits for " : "  waits for "),
  ];
}

function listed(page: Page, items: readonly string[], lead: string): readonly string[] {
  return items.flatMap((item) => paragraph(page, item, lead));
}

function runLines(page: Page, run: PlannedRun): readonly string[] {
  const { number, title, caseId, closes, narrows, strokes, derivedCase } = run;
  return [
    "",
    strong(page, `Run ${number}  ${run.stageWords}: ${title} (${caseId})`),
    ...paragraph(page, stateWords(run), "  "),
    ...standingLines(page, run).slice(2),
    ...paragraph(page, run.conditions.map(({ term, words }) => `${term} ${words}`).join("; "), "  at "),
    ...(derivedCase === undefined
      ? []
      : [
          ...paragraph(
            page,
            "These conditions are derived: valve.yaml has no such case. As lines of it:",
            "  ",
          ),
          "  cases:",
          ...derivedCase.map((line) => `  ${line}`),
        ]),
    ...listed(
      page,
      closes.map(({ name, words }) => `${name}: ${words}`),
      "  closes ",
    ),
    ...(narrows === undefined ? [] : paragraph(page, narrows, "  ")),
    ...(strokes === undefined ? [] : paragraph(page, strokes.words, "  strokes ")),
    ...block(
      page,
      ["expected", "value", "band"],
      run.expected.map((one) => [one.name, expectedWords(one), expectedBandWords(one)]),
    ),
    ...block(
      page,
      ["stop the run at", "limit", "from the check", "which is"],
      run.limits.map((one) => [
        one.quantity,
        abortWords(one),
        `${one.check} (question ${one.question})`,
        one.because,
      ]),
    ),
    ...block(
      page,
      ["instrument", "range", "rate", "filter from", "u at most", "because"],
      run.instruments.map((one) => [
        one.channel,
        rangeWords(one),
        rateWords(one),
        filterWords(one),
        uncertaintyWords(one),
        one.why,
      ]),
    ),
    ...sealLines(page, run),
    ...listed(page, run.cautions, "  ! "),
  ];
}

function block(
  page: Page,
  heads: readonly string[],
  rows: readonly (readonly string[])[],
): readonly string[] {
  return rows.length === 0 ? [] : ["", ...tableLines(page, heads, rows)];
}

function sealLines(page: Page, { seal }: PlannedRun): readonly string[] {
  switch (seal.kind) {
    case "sealed":
      return ["", `  sealed ${seal.made}`, `  SHA-256 ${seal.sha256}`];
    case "outdated":
      return ["", ...paragraph(page, `${seal.why} (sealed ${seal.made}):`, "  "), `  ${seal.command}`];
    case "none":
      return ["", ...paragraph(page, `${seal.why}:`, "  "), `  ${seal.command}`];
    case "not asked":
      return ["", ...paragraph(page, seal.why, "  ")];
  }
}
