/** Answers about a valve file with a few values changed, as the tests of this folder ask for them. */
import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { parseDocument } from "yaml";
import { applyDefaults, readDossier } from "../../src/dossier/index.js";
import { type Prediction, predict, runBlock } from "../../src/predict/index.js";
import { type Answer, answerAlone, answersOf, type Check, type Evidence } from "../../src/question/index.js";

const here = dirname(fileURLToPath(import.meta.url));
const hand = readFileSync(join(here, "hand.yaml"), "utf8");

/** Values by path, as a person writes them; undefined takes the field out. */
export type Edits = Readonly<Record<string, string | Readonly<Record<string, string>> | undefined>>;

export interface Asking {
  readonly edits?: Edits;
  readonly caseId?: string;
  readonly samples?: number;
  readonly effectSamples?: number;
  /** Text of the valve file; the one that can be worked out on paper unless given. */
  readonly text?: string;
}

export async function predictionOf({
  edits = {},
  caseId = "duty",
  samples = 200,
  effectSamples = 0,
  text = hand,
}: Asking = {}): Promise<Prediction> {
  const document = parseDocument(text);
  for (const [path, value] of Object.entries(edits)) {
    const steps = path
      .replace(/\[(\d+)\]/g, ".$1")
      .split(".")
      .map((step) => (/^\d+$/.test(step) ? Number(step) : step));
    if (value === undefined) document.deleteIn(steps);
    else document.setIn(steps, value);
  }
  const { dossier, faults } = readDossier({ valve: { path: "valve.yaml", text: String(document) } });
  if (faults.length > 0)
    throw new Error(`refused: ${faults.map(({ where, found }) => `${where.field}: ${found}`).join("; ")}`);
  const options = { seed: 1, samples, effectSamples };
  return predict(applyDefaults(dossier, caseId).dossier, caseId, options, async (plan, blocks) =>
    blocks.map((block) => runBlock(plan, block)),
  );
}

/** One of the questions 1 to 11, the others not worked out. */
export async function answerAloneTo(number: number, asking: Asking = {}): Promise<readonly Answer[]> {
  return [answerAlone(await predictionOf(asking), number)];
}

export async function answersTo(asking: Asking = {}, evidence?: Evidence): Promise<readonly Answer[]> {
  return answersOf(await predictionOf(asking), evidence);
}

export function answerNumbered(answers: readonly Answer[], number: number): Answer {
  const found = answers.find((answer) => answer.number === number);
  if (found === undefined) throw new Error(`no answer ${number}`);
  return found;
}

export function checkNamed(answers: readonly Answer[], id: string): Check {
  const found = answers.flatMap(({ checks }) => checks).find((check) => check.id === id);
  if (found === undefined) throw new Error(`no check ${id}`);
  return found;
}
