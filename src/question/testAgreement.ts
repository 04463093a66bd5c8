/** Question 11: did the test agree? Agreement under these conditions says nothing of others and is never called more. */
import type { Reconciliation } from "../evidence/index.js";
import { wilksSampleSize } from "../numerics/index.js";
import type { Check, CheckDefinition } from "./check.js";
import type { Context } from "./context.js";
import type { Finding, Question } from "./question.js";

export const testAgreement: Question = {
  id: "test",
  number: 11,
  words: "Did the test agree?",
  answer: (context): Finding => ({
    sentence: sentence(context),
    checks: [...heldAgainst(context), sampleSize(context)],
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
  if (evidence.reconciliations.length === 0)
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
  return evidence.reconciliations.map((one) => heldAgainstOne(one, wanted));
}

function heldAgainstOne(reconciliation: Reconciliation, wanted: number): Check {
  const { leading, finding, runId, sense } = reconciliation;
  const frame = {
    ...heldDefinition,
    name: `${heldDefinition.name} ${runId}, ${sense}`,
    unit: "ms",
    standing: "judged",
  } as const;
  if (finding === "cannot tell")
    return {
      ...frame,
      kind: "unknown",
      verdict: "not known",
      needs: [
        leading === undefined
          ? `a time of run ${runId} by a definition that was predicted`
          : "a narrower band or a better measured time: the two can hardly differ by more than they could by chance",
      ],
    };
  if (leading === undefined)
    return {
      ...frame,
      kind: "failed",
      verdict: "fails",
      finding: `disagrees: the ball ${finding === "disagrees" ? "did not do what was predicted" : "moved as predicted"}`,
      limit: undefined,
      probability: undefined,
      wanted,
    };
  const reach = leading.coverageFactor * leading.validationUncertainty_s;
  return {
    ...frame,
    kind: "known",
    verdict: finding === "agrees" ? "holds" : "fails",
    value: leading.error_s,
    band: undefined,
    limit: { least: -reach, most: reach, words: `${leading.coverageFactor} u_val` },
    margin: reach - Math.abs(leading.error_s),
    probability: undefined,
    wanted,
  };
}

const sizeDefinition: CheckDefinition = {
  id: "sample-size",
  name: "Band by order statistics",
  dimension: "number",
  equation: "n >= least n with 1 - (2n (1 - p) ... ) two-sided: n p^(n-1) - (n - 1) p^n <= 1 - c",
  source: "wilks-1941",
  assumptions: [
    "Samples count as independent; scrambled Sobol points lie more evenly, so the band is on the wide side.",
  ],
};

function sampleSize({ prediction, wanted }: Context): Check {
  const { band } = prediction;
  const frame = { ...sizeDefinition, unit: "", standing: "judged" } as const;
  if (band === undefined)
    return { ...frame, kind: "unknown", verdict: "not known", needs: ["a band: a prediction with samples"] };
  const value = band.samples - band.impossible;
  const least = wilksSampleSize({ coverage: band.coverage, confidence: band.confidence, sides: "two" });
  return {
    ...frame,
    kind: "known",
    verdict: value >= least ? "holds" : "fails",
    value,
    band: undefined,
    limit: {
      least,
      words: `for ${100 * band.coverage} % coverage with ${100 * band.confidence} % confidence`,
    },
    margin: value - least,
    probability: undefined,
    wanted,
  };
}

function sentence({ evidence }: Context): string {
  const [first] = evidence.reconciliations;
  if (first === undefined) return "Not known: no test has been held against a prediction yet.";
  return evidence.reconciliations
    .map(({ runId, sense, finding }) => `Run ${runId}, ${sense}: ${finding}.`)
    .join(" ");
}
