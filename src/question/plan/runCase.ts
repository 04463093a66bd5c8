/** One case of the plan: its prediction, and the checks of the questions that speak of a run at its conditions. */
import { applyDefaults, type Dossier } from "../../dossier/index.js";
import { Refusal } from "../../fault/index.js";
import { type BlockRunner, OwnAnswers, type PredictionOptions, predict } from "../../predict/index.js";
import { answerBeside } from "../answers.js";
import type { Check } from "../check.js";
import { type Context, contextOf, type Evidence } from "../context.js";
import type { Stage } from "./stages.js";

/** A check with the question it belongs to. */
export interface PlacedCheck {
  readonly question: number;
  readonly check: Check;
}

/** A case that was predicted, or why it cannot be. */
export type RunCase =
  | {
      readonly known: true;
      readonly caseId: string;
      readonly context: Context;
      readonly checks: readonly PlacedCheck[];
    }
  | { readonly known: false; readonly caseId: string; readonly because: string };

/** Questions that a stage adds to those of the stages before it. */
const questionsOf: Readonly<Record<Stage, readonly number[]>> = {
  dry: [2, 3, 5],
  pressurised: [2, 3, 5, 7, 9],
  nitrogen: [2, 3, 5, 6, 7, 9],
  propellant: [2, 3, 5, 6, 7, 8, 9],
};

/** Predicts a case and answers what a run at its conditions asks. @param dossier as written, derived cases with it */
export async function runCase(
  dossier: Dossier,
  caseId: string,
  stage: Stage,
  options: PredictionOptions,
  evidence: Evidence,
  run: BlockRunner,
): Promise<RunCase> {
  try {
    const filled = applyDefaults(dossier, caseId).dossier;
    const own = new OwnAnswers(filled, caseId, options);
    const prediction = await predict(filled, caseId, options, run);
    const checks = questionsOf[stage].flatMap((question) =>
      answerBeside(prediction, evidence, own, question).checks.map((check) => ({ question, check })),
    );
    return { known: true, caseId, context: contextOf(prediction, evidence, own), checks };
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return { known: false, caseId, because: thrown.faults.map(({ found }) => found).join("; ") };
  }
}

/** The judged checks of some ids. */
export function checksNamed(of: RunCase, ...ids: readonly string[]): readonly PlacedCheck[] {
  if (!of.known) return [];
  return of.checks.filter(({ check }) => check.standing === "judged" && ids.includes(check.id));
}
