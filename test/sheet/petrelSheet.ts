/** Content of a sheet: the Petrel valve, one sealed run with a cause to find, one run that was not sealed. */
import { readFileSync } from "node:fs";
import { applyDefaults, type Dossier, readDossier } from "../../src/dossier/index.js";
import { proposalsOf, reconcile, type SealedPrediction } from "../../src/evidence/index.js";
import { predict, runBlock } from "../../src/predict/index.js";
import { answersOf } from "../../src/question/index.js";
import type { SheetContent } from "../../src/sheet/index.js";
import { heldOf, measured, planOf } from "../evidence/reconcile/bench.js";

const path = "demo/petrel-oxygen-main/valve.yaml";

/** The Petrel valve file with parts of its text replaced. */
export function petrelFile(replace: Readonly<Record<string, string>> = {}): Dossier {
  let text = readFileSync(path, "utf8");
  for (const [from, to] of Object.entries(replace)) {
    if (!text.includes(from)) throw new Error(`${from} is not in ${path}`);
    text = text.replace(from, () => to);
  }
  return readDossier({ valve: { path, text } }).dossier;
}

/** A sheet of one case without any test. */
export async function contentOf(dossier: Dossier, caseId = "duty", samples = 128): Promise<SheetContent> {
  const filled = applyDefaults(dossier, caseId);
  const options = { seed: 1, samples, effectSamples: samples === 0 ? 0 : 16 };
  const prediction = await predict(filled.dossier, caseId, options, async (plan, blocks) =>
    blocks.map((block) => runBlock(plan, block)),
  );
  return {
    prediction,
    answers: answersOf(prediction),
    defaults: filled.defaults,
    runs: [],
    seals: [],
    files: [{ name: "valve.yaml", sha256: "0123456789abcdef".repeat(4) }],
    day: "2031-04-26",
    notices: [],
  };
}

const seal = "9f2c4b1e0d3a5f67".repeat(4);

/** The duty's sheet with two runs: supply and seat differ from what is declared, and one as declared. */
export async function testedContent(): Promise<SheetContent> {
  const content = await contentOf(petrelFile());
  const cold = planOf("nitrogen");
  const held = { ...(await heldOf(cold)), sealed: seal };
  const truth = { "drive.supply.resistance": 0.58, "valve.seat.friction": 0.16 };
  const first = reconcile(
    cold,
    { ...measured(cold, truth), runId: "2031-04-18-nitrogen-03" },
    held,
    "command-to-end",
  );
  const plan = planOf("duty");
  const stroke = { ...measured(plan, {}), runId: "2031-04-25-oxygen-01" };
  const second = reconcile(plan, stroke, await heldOf(plan), "command-to-end");
  const sealed: SealedPrediction = {
    format: "coldturn-sealed/1",
    model: "0.1.0",
    valve: "Petrel oxygen main valve",
    case: "nitrogen",
    made: "2031-04-17T16:20:00Z",
    seed: 1,
    samples: 512,
    coverage: 0.95,
    definition: "command-to-end",
    files: [],
    inputs: [],
    opening: { times_s: {}, inputUncertainty_s: {}, band_s: {}, notArriving: null },
    closing: { times_s: {}, inputUncertainty_s: {}, band_s: {}, notArriving: null },
    sha256: seal,
  };
  const log = { name: "runs/2031-04-18-nitrogen-03/log.csv", sha256: "ab".repeat(32) };
  return {
    ...content,
    answers: answersOf(content.prediction, {
      reconciliations: [first, second],
      proposals: proposalsOf(cold, first),
    }),
    runs: [
      {
        id: "2031-04-18-nitrogen-03",
        caseId: "nitrogen",
        recorded: "2031-04-18T10:02:00Z",
        log,
        reconciliations: [first],
        notices: [{ code: "gap", text: "3 samples are missing between 0.211 s and 0.214 s" }],
      },
      {
        id: "2031-04-25-oxygen-01",
        caseId: "duty",
        recorded: undefined,
        log: undefined,
        reconciliations: [second],
        notices: [
          {
            code: "stale",
            text: "run 2031-04-25-oxygen-01 counts for nothing; `coldturn reconcile` does it",
          },
        ],
      },
    ],
    seals: [sealed],
    files: [...content.files, log],
  };
}
