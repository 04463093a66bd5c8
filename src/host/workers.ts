/**
 * Runs the blocks of a prediction on worker threads.
 *
 * Each worker rebuilds the plan from dossier and case, because a plan holds functions and cannot be
 * sent. A block's numbers depend on its own place alone (src/predict/block.ts), so that any number of
 * workers in any order gives the same bits. Plain worker threads: a pool of a library gets its start
 * data when it is made, here the workers start while the dossier is still being read.
 */
import { availableParallelism } from "node:os";
import { Worker } from "node:worker_threads";
import type { Dossier } from "../dossier/index.js";
import { type Fault, Refusal } from "../fault/index.js";
import type { BlockRequest, BlockResult, BlockRunner, Plan } from "../predict/index.js";
import { elapsedSeconds } from "./clock.js";
import { programFile } from "./place.js";

/** What a worker is told. */
export type ToWorker =
  | { readonly kind: "plan"; readonly dossier: Dossier; readonly caseId: string }
  | { readonly kind: "block"; readonly request: BlockRequest };

/** What a worker tells. */
export type FromWorker =
  | { readonly kind: "result"; readonly result: BlockResult }
  | { readonly kind: "refused"; readonly faults: readonly Fault[] };

/** How far a prediction is, in openings simulated. */
export interface Progress {
  readonly done: number;
  readonly total: number;
  /** At the pace so far [s]. */
  readonly secondsLeft: number;
}

export interface WorkerOptions {
  /** Number of workers, 1 or more. */
  readonly count: number;
  /** Cancels: the run rejects with the signal's reason and the workers are ended. */
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: Progress) => void;
}

export interface PredictionWorkers {
  /** One prediction after the other. */
  readonly run: BlockRunner;
  /** Ends the workers; anything still running rejects. */
  readonly stop: () => Promise<void>;
}

/** Number of workers that keeps the processors busy. */
export function usualWorkerCount(): number {
  return Math.max(1, Math.min(availableParallelism(), mostWorkers));
}

/** More start-up than it saves, for the some ten seconds of work that a prediction is at most. */
const mostWorkers = 8;

/** Blocks a worker has at hand, so that it never waits for the next one. */
const blocksAhead = 2;

/** Starts workers, which load the program while the caller goes on. */
export function startWorkers({ count, signal, onProgress }: WorkerOptions): PredictionWorkers {
  const workers = Array.from({ length: count }, startWorker);
  let isStopped = false;
  /** The first thing that went wrong; no run succeeds after it. */
  let failure: { readonly reason: unknown } | undefined;
  let rejectRun: ((reason: unknown) => void) | undefined;
  const fail = (reason: unknown): void => {
    failure ??= { reason };
    rejectRun?.(failure.reason);
  };
  for (const worker of workers) {
    worker.on("error", fail);
    worker.on("messageerror", fail);
    worker.on("exit", (status) => {
      if (!isStopped) fail(new Error(`a worker ended with status ${status} before its work was done`));
    });
  }
  const stop = async (): Promise<void> => {
    isStopped = true;
    signal?.removeEventListener("abort", onAbort);
    fail(new Error("the workers were stopped before their work was done"));
    await Promise.all(workers.map((worker) => worker.terminate()));
  };
  const onAbort = (): void => fail(signal?.reason);
  if (signal?.aborted === true) onAbort();
  else signal?.addEventListener("abort", onAbort, { once: true });
  const run: BlockRunner = async (plan, blocks) => {
    for (const worker of workers) worker.ref();
    try {
      return await new Promise<readonly BlockResult[]>((resolve, reject) => {
        rejectRun = reject;
        if (failure !== undefined) reject(failure.reason);
        else handOut(workers, plan, blocks, { resolve, fail, onProgress });
      });
    } catch (error) {
      await stop();
      throw error;
    } finally {
      rejectRun = undefined;
      for (const worker of workers) {
        worker.removeAllListeners("message");
        worker.unref();
      }
    }
  };
  return { run, stop };
}

function startWorker(): Worker {
  // Flags of the parent, as those of a debugger or a test runner, are not the worker's.
  const worker = new Worker(programFile("dist", "src", "host", "predictWorker.js"), { execArgv: [] });
  worker.unref();
  return worker;
}

interface HandOut {
  readonly resolve: (results: readonly BlockResult[]) => void;
  readonly fail: (reason: unknown) => void;
  readonly onProgress: ((progress: Progress) => void) | undefined;
}

function handOut(
  workers: readonly Worker[],
  plan: Plan,
  blocks: readonly BlockRequest[],
  { resolve, fail, onProgress }: HandOut,
): void {
  // The long ones first, so that no worker is left alone with one at the end.
  const waiting = [...blocks].sort((a, b) => openingsIn(plan, b) - openingsIn(plan, a));
  const total = blocks.reduce((sum, block) => sum + openingsIn(plan, block), 0);
  const results: BlockResult[] = [];
  const started = elapsedSeconds();
  let done = 0;
  if (blocks.length === 0) resolve(results);
  const send = (worker: Worker, message: ToWorker): void => worker.postMessage(message);
  const next = (worker: Worker): void => {
    const request = waiting.shift();
    if (request !== undefined) send(worker, { kind: "block", request });
  };
  for (const worker of workers) {
    worker.on("message", (message: FromWorker) => {
      if (message.kind === "refused") return fail(new Refusal(message.faults));
      results.push(message.result);
      done += openingsIn(plan, message.result.request);
      onProgress?.({ done, total, secondsLeft: ((elapsedSeconds() - started) * (total - done)) / done });
      if (results.length === blocks.length) resolve(results);
      else next(worker);
    });
    send(worker, { kind: "plan", dossier: plan.dossier, caseId: plan.caseId });
  }
  for (let ahead = 0; ahead < blocksAhead; ahead++) for (const worker of workers) next(worker);
}

/** Openings that a block simulates: the measure of its work. */
function openingsIn(plan: Plan, { kind, count, inputs }: BlockRequest): number {
  return kind === "band" ? 2 * count : ((inputs ?? plan.space.inputs).length + 2) * count;
}
