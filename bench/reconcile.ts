/**
 * Reconciliation of the four runs of the Petrel demo, together: the maximum posterior, and the sampled
 * posterior on two worker threads. Both start with a warm engine, as in a session of the program.
 */
import { readFileSync } from "node:fs";
import { generateLogs } from "../demo/generator/generate.js";
import { applyDefaults, readDossier } from "../src/dossier/index.js";
import {
  decodeText,
  inspectLog,
  type JointInput,
  measureStroke,
  mostChainSteps,
  readLog,
  reconcileJointly,
  samplePosterior,
  strokeChannels,
  updateJointly,
} from "../src/evidence/index.js";
import { startChainWorkers } from "../src/host/index.js";
import { openingDefinition, planFor } from "../src/predict/index.js";
import type { Angle } from "../src/quantity/index.js";
import type { Bench } from "./bench.js";
import { budgetMachine } from "./rk4.js";

const path = "demo/petrel-oxygen-main/valve.yaml";
/** What the generator of the logs took as true; the update is measured against it. */
const trueFriction = 0.135;

function fourRuns(): readonly JointInput[] {
  const { dossier } = readDossier({ valve: { path, text: readFileSync(path, "utf8") } });
  return generateLogs(dossier).map(({ caseId, bytes }) => {
    const filled = applyDefaults(dossier, caseId).dossier;
    const { text } = decodeText(bytes);
    const log = readLog(text, inspectLog(text).mapping);
    const travel = filled.valve.valve?.travel?.value ?? Number.NaN;
    const { stroke } = measureStroke(caseId, strokeChannels(log), travel as Angle);
    if (stroke === undefined) throw new Error(`the log of ${caseId} shows no stroke`);
    return { plan: planFor(filled, caseId), stroke, definition: openingDefinition(filled) };
  });
}

export const jointUpdate: Bench = {
  name: "reconciliation of four runs, maximum posterior",
  budget: { kind: "at most", value: 2, setWhere: budgetMachine },
  run: () => {
    const runs = fourRuns();
    const times: number[] = [];
    let found = Number.NaN;
    for (let run = 0; run < 4; run++) {
      const started = performance.now();
      const joint = updateJointly(runs);
      times.push((performance.now() - started) / 1e3);
      const { inputs } = reconcileJointly(runs, joint, []);
      found = inputs.find(({ path: of }) => of === "valve.seat.friction")?.after.value ?? Number.NaN;
    }
    times.sort((a, b) => a - b);
    const off = (100 * (found / trueFriction - 1)).toFixed(1);
    return {
      value: times[1] ?? Number.NaN,
      unit: "s",
      accuracy: `seat friction ${off} % from the hidden truth`,
    };
  },
};

export const jointPosterior: Bench = {
  name: "reconciliation of four runs, sampled posterior",
  budget: { kind: "at most", value: 30, setWhere: budgetMachine },
  run: async () => {
    const runs = fourRuns();
    const joint = updateJointly(runs);
    const workers = startChainWorkers(runs, { count: 2, mostSteps: mostChainSteps });
    const started = performance.now();
    const { rHat, bulkSize, tailSize, converged } = await samplePosterior(joint.update, 1, workers.run);
    const value = (performance.now() - started) / 1e3;
    await workers.stop();
    const word = converged ? "converged" : "not converged, and said so";
    return {
      value,
      unit: "s",
      accuracy: `${word}: R-hat ${rHat.toFixed(3)}, effective sizes ${bulkSize.toFixed(0)} and ${tailSize.toFixed(0)}`,
    };
  },
};
