/**
 * Carries the chains of a sampled posterior on in worker threads. A chain's numbers depend on its seed,
 * number and state alone, so that any number of workers gives the same bits.
 */
import { Worker } from "node:worker_threads";
import type { Dossier } from "../dossier/index.js";
import type {
  ChainAnswer,
  ChainRequest,
  ChainsRunner,
  FittedRun,
  PosteriorProblem,
} from "../evidence/index.js";
import { type Fault, Refusal } from "../fault/index.js";
import { elapsedSeconds } from "./clock.js";
import { programFile } from "./place.js";
import type { Progress } from "./workers.js";

/** What a worker is told. */
export type ToChainWorker =
  | {
      readonly kind: "problem";
      readonly runs: readonly {
        readonly dossier: Dossier;
        readonly caseId: string;
        readonly stroke: FittedRun["stroke"];
      }[];
      readonly problem: PosteriorProblem;
    }
  | { readonly kind: "chain"; readonly request: ChainRequest };

/** What a worker tells. */
export type FromChainWorker =
  | { readonly kind: "answer"; readonly answer: ChainAnswer }
  | { readonly kind: "refused"; readonly faults: readonly Fault[] };

export interface ChainWorkerOptions {
  /** Number of workers, 1 or more. */
  readonly count: number;
  /** Cancels: the sampling rejects with the signal's reason and the workers are ended. */
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: Progress) => void;
  /** Steps of all chains at most, for the progress. */
  readonly mostSteps: number;
}

export interface ChainWorkers {
  /** One lot of requests after the other. */
  readonly run: ChainsRunner;
  /** Ends the workers; anything still running rejects. */
  readonly stop: () => Promise<void>;
}

/** Starts workers for the posterior of some runs. */
export function startChainWorkers(runs: readonly FittedRun[], options: ChainWorkerOptions): ChainWorkers {
  const { count, signal, onProgress, mostSteps } = options;
  const workers = Array.from({ length: count }, () => {
    // Flags of the parent, as those of a debugger or a test runner, are not the worker's.
    const worker = new Worker(programFile("dist", "src", "host", "chainWorker.js"), { execArgv: [] });
    worker.unref();
    return worker;
  });
  let isStopped = false;
  /** The first thing that went wrong; no lot succeeds after it. */
  let failure: { readonly reason: unknown } | undefined;
  let rejectLot: ((reason: unknown) => void) | undefined;
  const fail = (reason: unknown): void => {
    failure ??= { reason };
    rejectLot?.(failure.reason);
  };
  for (const worker of workers) {
    worker.on("error", fail);
    worker.on("messageerror", fail);
    worker.on("exit", (status) => {
      if (!isStopped) fail(new Error(`a worker ended with status ${status} before its work was done`));
    });
  }
  const onAbort = (): void => fail(signal?.reason);
  if (signal?.aborted === true) onAbort();
  else signal?.addEventListener("abort", onAbort, { once: true });
  const plain = runs.map(({ plan: { dossier, caseId }, stroke }) => ({ dossier, caseId, stroke }));
  const started = elapsedSeconds();
  let isTold = false;
  let done = 0;
  const send = (worker: Worker, message: ToChainWorker): void => worker.postMessage(message);
  const run: ChainsRunner = async (problem, requests) => {
    if (!isTold) for (const worker of workers) send(worker, { kind: "problem", runs: plain, problem });
    isTold = true;
    for (const worker of workers) worker.ref();
    try {
      return await new Promise<readonly ChainAnswer[]>((resolve, reject) => {
        rejectLot = reject;
        if (failure !== undefined) return reject(failure.reason);
        const waiting = [...requests];
        const answers: ChainAnswer[] = [];
        if (requests.length === 0) resolve(answers);
        const next = (worker: Worker): void => {
          const request = waiting.shift();
          if (request !== undefined) send(worker, { kind: "chain", request });
        };
        for (const worker of workers) {
          worker.on("message", (message: FromChainWorker) => {
            if (message.kind === "refused") return fail(new Refusal(message.faults));
            answers.push(message.answer);
            done += message.answer.steps;
            const secondsLeft = ((elapsedSeconds() - started) * (mostSteps - done)) / done;
            onProgress?.({ done, total: mostSteps, secondsLeft });
            if (answers.length === requests.length) resolve(answers);
            else next(worker);
          });
          next(worker);
        }
      });
    } finally {
      rejectLot = undefined;
      for (const worker of workers) {
        // By name: without the listeners that the worker has of its own it delivers nothing any more.
        worker.removeAllListeners("message");
        worker.unref();
      }
    }
  };
  return {
    run,
    stop: async () => {
      isStopped = true;
      fail(new Error("the workers were stopped before their work was done"));
      signal?.removeEventListener("abort", onAbort);
      await Promise.all(workers.map((worker) => worker.terminate()));
    },
  };
}
