/**
 * Checks of question 11: each run against the prediction that was sealed before it, and, under another
 * name, against the valve file as it is. The sealed finding rules: a file that agrees after an edit has
 * predicted nothing yet.
 */
import type { Comparison, HeldPrediction, Reconciliation, SealedFinding } from "../evidence/index.js";
import { type Check, type CheckDefinition, isWithin } from "./check.js";
import { conditionWords } from "./conditionTable.js";
import type { Context, Evidence } from "./context.js";
import { definitionLabel } from "./definition.js";
import { differenceStep, millisecondWords, ownStep } from "./testTables.js";
import { probabilityWords } from "./words.js";

const heldDefinition: CheckDefinition = {
  id: "vv",
  designChecks: ["vv"],
  failureModes: ["test-error"],
  name: "Prediction held against test",
  dimension: "time",
  equation: "|E| <= k u_val, E = S - D, u_val^2 = u_num^2 + u_input^2 + u_D^2",
  source: "asme-vv-20, validation uncertainty",
  assumptions: ["Agreement is agreement under the conditions of this test; it says nothing of others."],
};

const presentDefinition: CheckDefinition = {
  ...heldDefinition,
  id: "vv-present",
  designChecks: ["vv"],
  failureModes: ["test-error"],
  name: "Present file against test",
  assumptions: [
    ...heldDefinition.assumptions,
    "The file is of after the test: that it agrees predicts nothing, and holds by itself nothing.",
  ],
};

/** One run's finding, against whatever it was held. */
export interface HeldFinding {
  readonly runId: string;
  readonly sense: Reconciliation["sense"];
  readonly leading: Comparison | undefined;
  readonly finding: Comparison["finding"];
  readonly notArriving: HeldPrediction["notArriving"];
  /** SHA-256 of the seal it was held against, if it was. */
  readonly sealed: string | undefined;
  readonly asTested?: HeldPrediction["asTested"];
}

/** A reconciliation as a finding. */
export function presentFinding({ runId, sense, leading, finding, held }: Reconciliation): HeldFinding {
  const { notArriving, sealed, asTested } = held;
  const conditions = asTested === undefined ? {} : { asTested };
  return { runId, sense, leading, finding, notArriving, sealed, ...conditions };
}

/** The findings against seals that no reconciliation repeats. */
export function ownSealed({ reconciliations, sealedFindings = [] }: Evidence): readonly SealedFinding[] {
  return sealedFindings.filter(
    (one) => !reconciliations.some(({ runId, held }) => runId === one.runId && held.sealed === one.sealed),
  );
}

/** What a seal says of the run, where the reconciliation is of the file as it is. */
export function sealedBeside(evidence: Evidence, { runId }: Reconciliation): SealedFinding | undefined {
  return ownSealed(evidence).find((one) => one.runId === runId);
}

/** Every run against its seal, and against the file as it is. */
export function heldChecks({ evidence, wanted }: Context): readonly Check[] {
  const checks = [
    ...ownSealed(evidence).map((one) => checkOf(heldDefinition, one, wanted)),
    ...evidence.reconciliations.map((one) => {
      if (one.held.sealed !== undefined) return checkOf(heldDefinition, presentFinding(one), wanted);
      const seal = sealedBeside(evidence, one);
      return seal === undefined
        ? checkOf({ ...heldDefinition, name: presentDefinition.name }, presentFinding(one), wanted)
        : presentCheck(presentFinding(one), wanted);
    }),
  ];
  if (checks.length > 0) return checks;
  return [
    {
      ...heldDefinition,
      unit: "ms",
      standing: "judged",
      kind: "unknown",
      verdict: "not known",
      needs: ["a test of this valve, imported and reconciled"],
    },
  ];
}

/** A file of after the test: a disagreement counts, an agreement waits for a prediction that is tested. */
function presentCheck(one: HeldFinding, wanted: number): Check {
  if (one.finding !== "agrees") return checkOf(presentDefinition, one, wanted);
  const times =
    one.leading === undefined ? "" : ` (${timesWords(one.leading, "")}, ${differWords(one.leading)})`;
  return {
    ...presentDefinition,
    name: `${presentDefinition.name}: ${runWords(one)}`,
    unit: "ms",
    standing: "information",
    kind: "unknown",
    verdict: "not known",
    needs: [`a new sealed prediction, tested: the file agrees after the update${times}`],
  };
}

function checkOf(definition: CheckDefinition, one: HeldFinding, wanted: number): Check {
  const { leading, finding } = one;
  const frame = {
    ...definition,
    name: `${definition.name}: ${runWords(one)}`,
    unit: "ms",
    standing: "judged",
  } as const;
  if (finding === "cannot tell")
    return { ...frame, kind: "unknown", verdict: "not known", needs: [lackingWords(one)] };
  const reach = leading === undefined ? 0 : leading.coverageFactor * leading.validationUncertainty_s;
  const limit = { least: -reach, most: reach, words: `${leading?.coverageFactor ?? 2} u_val either way` };
  if (leading === undefined || (finding === "disagrees" && isWithin(leading.error_s, limit)))
    return {
      ...frame,
      kind: "failed",
      verdict: "fails",
      finding: `disagrees: ${arrivalWords(one)}`,
      limit: undefined,
      probability: undefined,
      wanted,
    };
  return {
    ...frame,
    kind: "known",
    verdict: finding === "agrees" ? "holds" : "fails",
    value: leading.error_s,
    band: undefined,
    limit,
    margin: reach - Math.abs(leading.error_s),
    probability: undefined,
    wanted,
  };
}

/** A run that was not held against the present file may speak against it. */
export function notHeldChecks({ evidence }: Context): readonly Check[] {
  return (evidence.notHeld ?? []).map((runId) => ({
    ...presentDefinition,
    name: `${presentDefinition.name}: run ${runId}`,
    unit: "ms",
    standing: "judged",
    kind: "unknown",
    verdict: "not known",
    needs: [`run ${runId} held against the valve file as it is now (coldturn reconcile)`],
  }));
}

/** The narrowest word for one run: "run cold-02, opening". */
export function runWords({ runId, sense }: Pick<HeldFinding, "runId" | "sense">): string {
  return `run ${runId}, ${sense}`;
}

/** What a finding "cannot tell" lacks. */
export function lackingWords({ leading, runId }: Pick<HeldFinding, "leading" | "runId">): string {
  return leading === undefined
    ? `a time of run ${runId} by a definition that was predicted`
    : `for run ${runId} a narrower band or a better measured time`;
}

/** A test that arrived or not, against the prediction. */
export function arrivalWords({ notArriving, sense }: Pick<HeldFinding, "notArriving" | "sense">): string {
  const verb = sense === "opening" ? "open" : "close";
  if (notArriving === undefined) return `the ball did not do what was predicted`;
  const predicted = `the predicted probability that it does not ${verb} is ${probabilityWords(notArriving)}`;
  return notArriving.estimate < 0.5
    ? `the ball did not reach the end of its travel; ${predicted}`
    : `the ball reached the end of its travel; ${predicted}`;
}

/** "disagrees; predicted 337 ms, measured 377 ms from ...: they differ by ...", or what is lacking. */
export function findingWords(one: HeldFinding): string {
  const { finding, leading } = one;
  if (leading !== undefined) return `${finding}; ${differenceWords(one, leading)}`;
  return finding === "disagrees"
    ? `${finding}; ${arrivalWords(one)}.`
    : `${finding}; what is lacking: ${lackingWords(one)}.`;
}

/** What the seals say of runs that are held against the present file too, or against nothing else. */
export function sealedSentences({ evidence }: Context): readonly string[] {
  return ownSealed(evidence).map((one) => {
    const which = `the prediction sealed ${one.made} (SHA-256 ${one.sealed.slice(0, 12)})`;
    return `Run ${one.runId}, ${one.sense}, against ${which}: ${findingWords(one)}`;
  });
}

function timesWords(leading: Comparison, from: string, at = ""): string {
  const { predicted_s, measured_s } = leading;
  return `predicted ${millisecondWords(predicted_s, differenceStep(leading))}${at}, measured ${millisecondWords(measured_s, ownStep(leading))}${from}`;
}

function differWords(leading: Comparison): string {
  return `they differ by ${millisecondWords(Math.abs(leading.error_s), differenceStep(leading))}`;
}

function differenceWords(one: HeldFinding, leading: Comparison): string {
  const { error_s, validationUncertainty_s, coverageFactor } = leading;
  const reach = coverageFactor * validationUncertainty_s;
  const say = (seconds: number) => millisecondWords(seconds, differenceStep(leading));
  const at = conditionWords(one, leading.definition, say);
  const times = timesWords(leading, ` from ${definitionLabel(leading.definition)}`, at);
  const differ = differWords(leading);
  const open = millisecondWords(reach, differenceStep(leading));
  switch (one.finding) {
    case "agrees":
      return `${times}: ${differ}, within the ${open} that inputs, numerics and measurement leave open. It holds under these conditions and says nothing of others.`;
    case "cannot tell":
      return `${times}: ${differ}, but inputs, numerics and measurement leave ${open} open, so wide that almost any test would lie within.`;
    case "disagrees":
      return Math.abs(error_s) > reach
        ? `${times}: ${differ}, more than the ${open} that inputs, numerics and measurement leave open.`
        : `${times}, and yet the ball did not do what was predicted.`;
  }
}
