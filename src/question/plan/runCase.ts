/** One case of the plan: its prediction, and the checks of the questions that speak of a run at its conditions. */
import { applyDefaults, type Dossier } from "../../dossier/index.js";
import { Refusal } from "../../fault/index.js";
import { type BlockRunner, OwnAnswers, type PredictionOptions, predict } from "../../predict/index.js";
import { answerBeside } from "../answers.js";
import type { Check } from "../check.js";
import { type Context, contextOf, type Evidence } from "../context.js";
import type { RunPlace, Stage } from "./stages.js";

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

/** Ratings and metals. */
const questionsOfLeak = [5, 6, 7] as const;

/** Predicts a case and answers what a run at its conditions asks. @param dossier as written, derived cases with it */
export async function runCase(
  dossier: Dossier,
  { stage, kind, caseId }: RunPlace,
  options: PredictionOptions,
  evidence: Evidence,
  run: BlockRunner,
): Promise<RunCase> {
  try {
    const filled = applyDefaults(dossier, caseId).dossier;
    // A leak test turns nothing: of its case the ratings count alone.
    const asked = kind === "leak" ? { ...options, samples: 0 } : options;
    const own = new OwnAnswers(filled, caseId, asked);
    const prediction = await predict(filled, caseId, asked, run);
    const questions = kind === "leak" ? questionsOfLeak : questionsOf[stage];
    const checks = questions.flatMap((question) =>
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
