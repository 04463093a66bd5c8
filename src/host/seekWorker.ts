/** A worker thread: keeps the plan of the search it was told and works out the blocks it is handed. */
import { parentPort } from "node:worker_threads";
import { Refusal } from "../fault/index.js";
import { SeekWorker } from "../seek/index.js";
import type { FromSeekWorker, ToSeekWorker } from "./seekWorkers.js";

const worker = new SeekWorker();

parentPort?.on("message", ({ order, block }: ToSeekWorker) => {
  try {
    const result = worker.work(order, block);
    parentPort?.postMessage({ kind: "result", result } satisfies FromSeekWorker);
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    parentPort?.postMessage({ kind: "refused", faults: thrown.faults } satisfies FromSeekWorker);
  }
});
