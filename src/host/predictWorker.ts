/** A worker thread: keeps the plan it was told and runs the blocks it is handed. */
import { parentPort } from "node:worker_threads";
import { Refusal } from "../fault/index.js";
import { type Plan, planFor, runBlock } from "../predict/index.js";
import type { FromWorker, ToWorker } from "./workers.js";

let plan: Plan | undefined;

parentPort?.on("message", (message: ToWorker) => {
  try {
    if (message.kind === "plan") plan = planFor(message.dossier, message.caseId);
    else if (plan !== undefined) {
      const result = runBlock(plan, message.request);
      parentPort?.postMessage({ kind: "result", result } satisfies FromWorker);
    }
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    parentPort?.postMessage({ kind: "refused", faults: thrown.faults } satisfies FromWorker);
  }
});
