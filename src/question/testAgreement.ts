/**
 * Question 11: did the test agree? Three findings: agrees, cannot tell, disagrees. Agreement holds
 * under the conditions of its test alone and is never called more than that.
 */
import type { Comparison, Reconciliation } from "../evidence/index.js";
import { wilksSampleSize } from "../numerics/index.js";
import { type Check, type CheckDefinition, isWithin } from "./check.js";
import { type Context, labelOf } from "./context.js";
import { definitionLabel } from "./definition.js";
import type { Finding, Question } from "./question.js";
import { reductionChecks } from "./reductionChecks.js";
import { reductionTables } from "./reductionTables.js";
import { separatingTest } from "./separatingTest.js";
import { agreementFigures } from "./testFigures.js";
import { jointSentence, jointTables, refusalWords } from "./testJoint.js";
import { jointFigures } from "./testJointFigures.js";
import { agreementTables, ledgerStep, millisecondWords } from "./testTables.js";
import { probabilityWords } from "./words.js";

/** Question 11. */
export const testAgreement: Question = {
  id: "test",
  number: 11,
  words: "Did the test agree?",
  answer: (context): Finding => ({
    sentence: sentence(context),
    checks: [
      ...heldAgainst(context),
      ...notHeldChecks(context),
      ...sampleSizes(context),
      ...reductionChecks(context),
    ],
    figures: [...agreementFigures(context), ...jointFigures(context)],
    tables: [...agreementTables(context), ...jointTables(context), ...reductionTables(context)],
  }),
};

const heldDefinition: CheckDefinition = {
  id: "vv",
  name: "Prediction held against test",
  dimension: "time",
  equation: "|E| <= k u_val, E = S - D, u_val^2 = u_num^2 + u_input^2 + u_D^2",
  source: "asme-vv-20, validation uncertainty",
  assumptions: ["Agreement is agreement under the conditions of this test; it says nothing of others."],
};

function heldAgainst({ evidence, wanted }: Context): readonly Check[] {
  if (evidence.reconciliations.length > 0)
    return evidence.reconciliations.map((one) => heldAgainstOne(one, wanted));
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

function heldAgainstOne(reconciliation: Reconciliation, wanted: number): Check {
  const { leading, finding } = reconciliation;
  const frame = {
    ...heldDefinition,
    name: `${heldDefinition.name}: ${runWords(reconciliation)}`,
    unit: "ms",
    standing: "judged",
  } as const;
  if (finding === "cannot tell")
    return { ...frame, kind: "unknown", verdict: "not known", needs: [lackingWords(reconciliation)] };
  const reach = leading === undefined ? 0 : leading.coverageFactor * leading.validationUncertainty_s;
  const limit = { least: -reach, most: reach, words: `${leading?.coverageFactor ?? 2} u_val either way` };
  if (leading === undefined || (finding === "disagrees" && isWithin(leading.error_s, limit)))
    return {
      ...frame,
      kind: "failed",
      verdict: "fails",
      finding: `disagrees: ${arrivalWords(reconciliation)}`,
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
function notHeldChecks({ evidence }: Context): readonly Check[] {
  return (evidence.notHeld ?? []).map((runId) => ({
    ...heldDefinition,
    name: `${heldDefinition.name}: run ${runId}`,
    unit: "ms",
    standing: "judged",
    kind: "unknown",
    verdict: "not known",
    needs: [`run ${runId} held against the valve file as it is now (coldturn reconcile)`],
  }));
}

/** The narrowest word for one run: "run cold-02, opening". */
function runWords({ runId, sense }: Reconciliation): string {
  return `run ${runId}, ${sense}`;
}

function lackingWords({ leading, runId }: Reconciliation): string {
  return leading === undefined
    ? `a time of run ${runId} by a definition that was predicted`
    : `for run ${runId} a narrower band or a better measured time`;
}

/** A test that arrived or not, against the prediction. */
function arrivalWords({ held, sense }: Reconciliation): string {
  const verb = sense === "opening" ? "open" : "close";
  const chance = held.notArriving;
  if (chance === undefined) return `the ball did not do what was predicted`;
  const predicted = `the predicted probability that it does not ${verb} is ${probabilityWords(chance)}`;
  return chance.estimate < 0.5
    ? `the ball did not reach the end of its travel; ${predicted}`
    : `the ball reached the end of its travel; ${predicted}`;
}

const sizeDefinition: CheckDefinition = {
  id: "sample-size",
  name: "Band by order statistics",
  dimension: "number",
  equation: "n with 1 - n p^(n-1) + (n-1) p^n >= c: both extremes hold the share p with confidence c",
  source: "wilks-1941",
  assumptions: [
    "Counted are the samples that have an opening time; a stalling valve leaves few of them.",
    "Samples count as independent; scrambled Sobol points lie more evenly, so the band is on the wide side.",
  ],
};

/** Where every test was held against a seal, and nothing was sampled now, the band is the seal's own. */
function sampleSizes(context: Context): readonly Check[] {
  const { reconciliations } = context.evidence;
  const isSealed =
    reconciliations.length > 0 && reconciliations.every(({ held }) => held.sealed !== undefined);
  return context.prediction.band === undefined && isSealed ? [] : [sampleSize(context)];
}

/** Samples behind the band: of the opening time, which only those that open have, else of any figure. */
function sampleSize({ prediction, wanted }: Context): Check {
  const { band, definition } = prediction;
  const counts = Object.values(band?.figures ?? {}).map(({ count }) => count);
  const frame = { ...sizeDefinition, unit: "", standing: "judged" } as const;
  if (band === undefined || counts.length === 0)
    return {
      ...frame,
      kind: "unknown",
      verdict: "not known",
      needs: ["a band: a prediction with samples"],
    };
  const value =
    band.figures.opens === undefined
      ? Math.max(...counts)
      : (band.figures[`opening:${definition}`]?.count ?? 0);
  const least = wilksSampleSize({ coverage: band.coverage, confidence: band.confidence, sides: "two" });
  return {
    ...frame,
    kind: "known",
    verdict: value >= least ? "holds" : "fails",
    value,
    band: undefined,
    limit: {
      least,
      words: `samples for ${100 * band.coverage} % coverage with ${100 * band.confidence} % confidence`,
    },
    margin: value - least,
    probability: undefined,
    wanted,
  };
}

function sentence(context: Context): string {
  const { reconciliations, joint } = context.evidence;
  const others = [...otherRuns(context), ...(joint === undefined ? [] : [jointSentence(context, joint)])];
  if (reconciliations.length === 0)
    return ["Not known: no test has been held against a prediction yet.", ...others].join(" ");
  return [...reconciliations.map((one) => runSentence(context, one)), ...others].join(" ");
}

/** Runs that the findings do not speak of, and why. */
function otherRuns({ evidence }: Context): readonly string[] {
  const { notHeld = [], usedToFit = [] } = evidence;
  const runs = (ids: readonly string[]) => `${ids.length > 1 ? "Runs" : "Run"} ${ids.join(", ")}`;
  return [
    ...(notHeld.length === 0
      ? []
      : [`${runs(notHeld)}: not held against the valve file as it is now, so the answer is open.`]),
    ...(usedToFit.length === 0
      ? []
      : [`${runs(usedToFit)}: used to fit the present values, so neither for nor against them.`]),
  ];
}

function runSentence(context: Context, reconciliation: Reconciliation): string {
  const { finding, leading } = reconciliation;
  const head = `${upperFirst(runWords(reconciliation))}: ${finding}`;
  if (leading === undefined) {
    const why = finding === "disagrees" ? arrivalWords(reconciliation) : lackingWords(reconciliation);
    return `${head}; ${finding === "disagrees" ? "" : "what is lacking: "}${why}.`;
  }
  return `${head}; ${differenceWords(leading, finding)}${causeWords(context, reconciliation)}`;
}

function differenceWords(leading: Comparison, finding: Comparison["finding"]): string {
  const { predicted_s, measured_s, error_s, validationUncertainty_s, coverageFactor } = leading;
  const reach = coverageFactor * validationUncertainty_s;
  const label = definitionLabel(leading.definition);
  const times = `predicted ${millisecondWords(predicted_s, reach)}, measured ${millisecondWords(measured_s, reach)} from ${label}`;
  const difference = millisecondWords(Math.abs(error_s), reach);
  const open = millisecondWords(reach, reach);
  switch (finding) {
    case "agrees":
      return `${times}: they differ by ${difference}, within the ${open} that inputs, numerics and measurement leave open. It holds under these conditions and says nothing of others.`;
    case "cannot tell":
      return `${times}: they differ by ${difference}, but inputs, numerics and measurement leave ${open} open, so wide that almost any test would lie within.`;
    case "disagrees":
      return Math.abs(error_s) > reach
        ? `${times}: they differ by ${difference}, more than the ${open} that inputs, numerics and measurement leave open.`
        : `${times}, and yet the ball did not do what was predicted.`;
  }
}

/** Causes named in a sentence at most, and the least share of the difference that is named. */
const mostNamed = 3;
const leastNamed = 0.1;

/** What the update says of the difference. Only a disagreement asks for a cause. */
function causeWords(context: Context, reconciliation: Reconciliation): string {
  const { finding, ledger, explained, refusals } = reconciliation;
  if (finding !== "disagrees") return "";
  if (reconciliation.held.changedSince !== undefined) return ` ${upperFirst(refusals.join("; "))}.`;
  const because = refusals.map((refusal) => refusalWords(context, refusal)).join("; ");
  if (!explained && !isBeyondDeclared(reconciliation))
    return ` None of the declared inputs explains this test${because === "" ? "" : `: ${because}`}.`;
  if (ledger === undefined) return "";
  const step = ledgerStep(reconciliation);
  const whole = Math.abs(ledger.measured_s - ledger.predicted_s);
  const named = ledger.lines
    .filter(({ contribution_s }) => Math.abs(contribution_s) >= leastNamed * whole)
    .slice(0, mostNamed)
    .map(({ path, contribution_s }) => {
      const what = path === undefined ? "the other inputs together" : labelOf(context, path);
      return `${what} (${contribution_s < 0 ? "-" : "+"}${millisecondWords(Math.abs(contribution_s), step)})`;
    });
  const above = named.length === 0 ? "" : `, above all ${named.join(", ")}`;
  const left = millisecondWords(Math.abs(ledger.unexplained_s), step);
  const head = explained
    ? ` The update of the declared inputs explains the test${above}; ${left} stay unexplained.`
    : ` The test is explained only beyond what was declared${above}; ${left} stay unexplained: ${because}.`;
  return `${head}${confusedWords(context, reconciliation)}`;
}

/** Whether nothing stands against the explanation but that a value lies further off than was declared. */
function isBeyondDeclared({ inputs, ledger, refusals }: Reconciliation): boolean {
  return (
    ledger !== undefined &&
    refusals.length > 0 &&
    refusals.every((refusal) => inputs.some(({ path }) => refusal.startsWith(`${path} would have to lie`)))
  );
}

/** Inputs that a sentence names at most as not to be told from a cause. */
const mostTwins = 3;
/** Pairs that a sentence names at most where no cause has a twin. */
const mostPairs = 2;

/** Which inputs the test could not tell apart, those of the largest cause first: the blame may be theirs. */
function confusedWords(context: Context, { confused, ledger }: Reconciliation): string {
  const cause = ledger?.lines.find(({ path }) => path !== undefined)?.path;
  const twins = confused.flatMap(({ first, second }) =>
    first === cause ? [second] : second === cause ? [first] : [],
  );
  const [twin] = twins;
  if (cause !== undefined && twin !== undefined) {
    const names = [...new Set(twins)].slice(0, mostTwins).map((path) => labelOf(context, path));
    return ` But this test cannot tell ${labelOf(context, cause)} from ${names.join(", ")}. What would tell: ${separatingTest(cause, twin)}.`;
  }
  if (confused.length === 0) return "";
  const pairs = confused
    .slice(0, mostPairs)
    .map(({ first, second }) => `${labelOf(context, first)} and ${labelOf(context, second)}`);
  const rest = confused.length - pairs.length;
  const more = rest === 0 ? "" : `; and ${rest} more pair${rest > 1 ? "s" : ""}`;
  return ` It cannot tell apart: ${pairs.join("; ")}${more}.`;
}

function upperFirst(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
