/**
 * Question 11: did the test agree? Three findings: agrees, cannot tell, disagrees. Agreement holds
 * under the conditions of its test alone and is never called more than that.
 */
import type { Reconciliation } from "../evidence/index.js";
import { wilksSampleSize } from "../numerics/index.js";
import type { Check, CheckDefinition } from "./check.js";
import { type Context, labelOf } from "./context.js";
import type { Finding, Question } from "./question.js";
import { reductionChecks } from "./reductionChecks.js";
import { reductionTables } from "./reductionTables.js";
import { separatingTest } from "./separatingTest.js";
import { agreementFigures } from "./testFigures.js";
import {
  findingWords,
  heldChecks,
  notHeldChecks,
  presentFinding,
  runWords,
  sealedBeside,
  sealedSentences,
} from "./testHeld.js";
import { jointSentence, jointTables } from "./testJoint.js";
import { jointFigures } from "./testJointFigures.js";
import {
  pastFigures,
  pastTables,
  rankedFigures,
  rankedSentences,
  rankedTables,
  repeatedChecks,
  repeatedFigures,
  repeatedSentences,
  repeatedTables,
} from "./testSeries.js";
import { agreementTables, ledgerStep, millisecondWords } from "./testTables.js";
import { refusalWords } from "./testWords.js";

/** Question 11. */
export const testAgreement: Question = {
  id: "test",
  number: 11,
  words: "Did the test agree?",
  answer: (context): Finding => ({
    sentence: sentence(context),
    checks: [
      ...heldChecks(context),
      ...notHeldChecks(context),
      ...sampleSizes(context),
      ...reductionChecks(context),
      ...repeatedChecks(context),
    ],
    figures: [
      ...agreementFigures(context),
      ...jointFigures(context),
      ...repeatedFigures(context),
      ...pastFigures(context),
      ...rankedFigures(context),
    ],
    tables: [
      ...agreementTables(context),
      ...jointTables(context),
      ...reductionTables(context),
      ...repeatedTables(context),
      ...pastTables(context),
      ...rankedTables(context),
    ],
  }),
};

const sizeDefinition: CheckDefinition = {
  id: "sample-size",
  designChecks: ["sample-size"],
  failureModes: [],
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
  const frame = { ...sizeDefinition, unit: "samples", standing: "judged" } as const;
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

/** One line for each run. */
function sentence(context: Context): string {
  const { reconciliations, joint } = context.evidence;
  const others = [
    ...otherRuns(context),
    ...(joint === undefined ? [] : [jointSentence(context, joint)]),
    ...repeatedSentences(context),
    ...rankedSentences(context),
  ];
  const sealed = sealedSentences(context);
  if (reconciliations.length + sealed.length === 0)
    return ["Not known: no test has been held against a prediction yet.", ...others].join("\n");
  return [...sealed, ...reconciliations.map((one) => runSentence(context, one)), ...others].join("\n");
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
  const one = presentFinding(reconciliation);
  const isBeside = sealedBeside(context.evidence, reconciliation) !== undefined;
  const which = isBeside ? ", present file against test" : "";
  const head = `${upperFirst(runWords(one))}${which}: ${findingWords(one)}`;
  const learnt =
    isBeside && one.finding === "agrees"
      ? " It agrees after the update, to be shown by a new sealed prediction."
      : "";
  return `${head}${learnt}${one.leading === undefined ? "" : causeWords(context, reconciliation)}`;
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
function confusedWords(context: Context, { confused, ledger, overlays }: Reconciliation): string {
  const cause = ledger?.lines.find(({ path }) => path !== undefined)?.path;
  const twins = confused.flatMap(({ first, second }) =>
    first === cause ? [second] : second === cause ? [first] : [],
  );
  const [twin] = twins;
  if (cause !== undefined && twin !== undefined) {
    const logged = overlays.map(({ channel }) => channel);
    const names = [...new Set(twins)].slice(0, mostTwins).map((path) => labelOf(context, path));
    return ` But this test cannot tell ${labelOf(context, cause)} from ${names.join(", ")}. What would tell: ${separatingTest(cause, twin, logged)}.`;
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
