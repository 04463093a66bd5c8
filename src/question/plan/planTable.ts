/** The plan as one table: for the terminal, question 12 and the first page of the cards. */
import type { Table } from "../answer.js";
import type { PlannedRun, TestPlan } from "./plan.js";

/** The runs in their order. */
export function planTable({ runs }: Pick<TestPlan, "runs">): Table {
  return {
    title: "Runs in the order in which they would be made",
    columns: ["run", "stage", "what is done", "state", "would close", "seal"],
    rows: runs.map((run) => [
      String(run.number),
      run.stageWords,
      `${run.title} (${run.caseId})`,
      stateWords(run),
      closesWords(run),
      sealWords(run),
    ]),
  };
}

/** "made: 2026-04-14-dry", "waiting for 3 things". */
export function stateWords({ state, made, waitsFor }: PlannedRun): string {
  const ticked = made.filter(({ isTicked }) => isTicked).map(({ id }) => id);
  if (state === "made") return `made: ${ticked.join(", ")}`;
  const before = made.map(({ id }) => id).join(", ");
  const again = before === "" ? "" : " again";
  const after = before === "" ? "" : `, after ${before}`;
  if (state === "to be made") return `to be made${again}${after}`;
  const things = `${waitsFor.length} ${waitsFor.length === 1 ? "thing" : "things"}`;
  return `waiting for ${things}${before === "" ? "" : `, to be made${again}${after}`}`;
}

function closesWords({ closes, narrows }: PlannedRun): string {
  const names = [...new Set(closes.map(({ name }) => name))];
  return names.length === 0 ? (narrows ?? "nothing that is open") : names.join(", ");
}

/** Digits of a hash by which it is recognised. */
const hashDigits = 12;

function sealWords({ seal }: PlannedRun): string {
  switch (seal.kind) {
    case "sealed":
      return seal.sha256.slice(0, hashDigits);
    case "outdated":
      return "outdated";
    case "none":
      return "not sealed";
    case "not asked":
      return "";
  }
}
