/** A worker thread: keeps the runs it was told and carries the chains of their posterior on. */
import { parentPort } from "node:worker_threads";
import { ChainRunner } from "../evidence/index.js";
import { Refusal } from "../fault/index.js";
import { planFor } from "../predict/index.js";
import type { FromChainWorker, ToChainWorker } from "./chainWorkers.js";

let runner: ChainRunner | undefined;

parentPort?.on("message", (message: ToChainWorker) => {
  try {
    if (message.kind === "problem") {
      const { runs, problem } = message;
      runner = new ChainRunner(
        runs.map(({ dossier, caseId, stroke }) => ({ plan: planFor(dossier, caseId), stroke })),
        problem,
      );
    } else if (runner !== undefined) {
      const answer = runner.run(message.request);
      parentPort?.postMessage({ kind: "answer", answer } satisfies FromChainWorker);
    }
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    parentPort?.postMessage({ kind: "refused", faults: thrown.faults } satisfies FromChainWorker);
  }
});
