/** What a check rests on beside the model: sealed predictions, runs, reconciliations, records of inspections. */
import type { Check } from "./check.js";
import type { Context } from "./context.js";
import { inspected, timed, torqueChecks } from "./requirementFields.js";
import type { EvidenceItem } from "./standRecord.js";

/** What stands behind a check; the prediction alone where nothing else does. @param question its id */
export function evidenceFor(context: Context, check: Check, question: string): readonly EvidenceItem[] {
  const items = [
    ...theTestsThemselves(check, question),
    ...sealedBefore(context, check),
    ...testedTimes(context, check),
    ...measuredTorque(context, check),
    ...record(check),
  ];
  if (items.length > 0) return items;
  if (check.kind === "unknown") return [];
  return [{ kind: "predicted", words: "predicted only" }];
}

/** What evidence a check that is predicted still lacks; undefined where a test or an inspection is behind it. */
export function lackOf(items: readonly EvidenceItem[]): string | undefined {
  const shown = items.filter(({ kind }) => kind !== "predicted" && kind !== "sealed");
  if (shown.length === 0) return "no test or inspection yet";
  return shown.every(({ isElsewhere }) => isElsewhere === true)
    ? "no test under these conditions yet"
    : undefined;
}

/** A check of question 11 is about tests. */
function theTestsThemselves(check: Check, question: string): readonly EvidenceItem[] {
  if (question !== "test" || check.kind === "unknown") return [];
  return [{ kind: "tested", words: "from the tests themselves" }];
}

function sealedBefore({ evidence, prediction }: Context, { id }: Check): readonly EvidenceItem[] {
  if (timed[id] === undefined) return [];
  const newest = (evidence.seals ?? []).filter(({ caseId }) => caseId === prediction.caseId).at(-1);
  if (newest === undefined) return [];
  return [{ kind: "sealed", words: `prediction sealed ${newest.made}, ${newest.sha256.slice(0, 8)}` }];
}

function testedTimes(context: Context, { id }: Check): readonly EvidenceItem[] {
  const sense = timed[id];
  if (sense === undefined) return [];
  const { evidence } = context;
  const held = evidence.reconciliations.filter((one) => one.sense === sense);
  // What a reconciliation says of the same seal is not said twice.
  const sealed = (evidence.sealedFindings ?? []).filter(
    (one) => one.sense === sense && !held.some(({ held: { sealed: by } }) => by === one.sealed),
  );
  return [
    ...sealed.map(
      (one): EvidenceItem => ({
        kind: "tested",
        run: one.runId,
        ...elsewhere(context, one.caseId),
        words: `tested in run ${one.runId}, ${conditionWords(context, one.caseId)}: ${one.finding} with the prediction sealed before it`,
      }),
    ),
    ...held.map(
      (one): EvidenceItem => ({
        kind: "reconciled",
        run: one.runId,
        ...elsewhere(context, one.caseId),
        words: `reconciled with run ${one.runId}, ${conditionWords(context, one.caseId)}: ${one.finding}${one.held.sealed === undefined ? ", not sealed before it" : " with the prediction sealed before it"}`,
      }),
    ),
  ];
}

function measuredTorque(context: Context, { id }: Check): readonly EvidenceItem[] {
  if (!torqueChecks.has(id)) return [];
  return (context.evidence.reductions ?? [])
    .filter(({ strokes }) => strokes.length > 0)
    .map(({ runId, caseId }) => ({
      kind: "tested",
      run: runId,
      ...elsewhere(context, caseId),
      words: `torque measured in run ${runId}, ${conditionWords(context, caseId)}`,
    }));
}

function record(check: Check): readonly EvidenceItem[] {
  if (!inspected.has(check.id) || check.kind === "unknown") return [];
  return [{ kind: "inspected", words: "record of an inspection or test, as entered in the valve file" }];
}

function elsewhere({ prediction }: Context, caseId: string): Pick<EvidenceItem, "isElsewhere"> {
  return caseId === prediction.caseId ? {} : { isElsewhere: true };
}

function conditionWords({ prediction }: Context, caseId: string): string {
  return caseId === prediction.caseId ? "these conditions" : `other conditions: ${caseId}`;
}
