/** Works the blocks of a search out on worker threads; what was kept of an earlier start is not done again. */
import { Worker } from "node:worker_threads";
import { type Fault, Refusal } from "../fault/index.js";
import type { SeekBlock, SeekBlockResult, SeekOrder } from "../seek/index.js";
import { elapsedSeconds } from "./clock.js";
import { programFile } from "./place.js";
import type { WorkerOptions } from "./workers.js";

/** What a worker is told. */
export interface ToSeekWorker {
  readonly order: SeekOrder;
  readonly block: SeekBlock;
}

/** What a worker tells. */
export type FromSeekWorker =
  | { readonly kind: "result"; readonly result: SeekBlockResult }
  | { readonly kind: "refused"; readonly faults: readonly Fault[] };

/** Blocks a worker has at hand, so that it never waits for the next one. */
const blocksAhead = 2;

export interface SeekRun extends WorkerOptions {
  readonly order: SeekOrder;
  readonly blocks: readonly SeekBlock[];
  /** Told of each block as it is done; the run ends when all that it started has ended. */
  readonly onBlock?: (result: SeekBlockResult) => Promise<void>;
}

/** Runs the blocks. @returns their results in any order; rejects when it is cancelled */
export async function runSeek(run: SeekRun): Promise<readonly SeekBlockResult[]> {
  const { count, signal, blocks } = run;
  signal?.throwIfAborted();
  if (blocks.length === 0) return [];
  const workers = Array.from(
    { length: Math.min(count, blocks.length) },
    () =>
      // Flags of the parent, as those of a debugger or a test runner, are not the worker's.
      new Worker(programFile("dist", "src", "host", "seekWorker.js"), { execArgv: [] }),
  );
  const ends = new AbortController();
  const keeping: Promise<void>[] = [];
  try {
    return await new Promise<readonly SeekBlockResult[]>((resolve, reject) => {
      signal?.addEventListener("abort", () => reject(signal.reason), { once: true, signal: ends.signal });
      handOut(workers, run, keeping, resolve, reject);
    });
  } finally {
    ends.abort();
    for (const worker of workers) worker.removeAllListeners("exit");
    await Promise.all(workers.map((worker) => worker.terminate()));
    await Promise.allSettled(keeping);
  }
}

function handOut(
  workers: readonly Worker[],
  { order, blocks, onBlock, onProgress }: SeekRun,
  keeping: Promise<void>[],
  resolve: (results: readonly SeekBlockResult[]) => void,
  reject: (reason: unknown) => void,
): void {
  const waiting = [...blocks];
  const total = blocks.reduce((sum, { count }) => sum + count, 0);
  const results: SeekBlockResult[] = [];
  const started = elapsedSeconds();
  let done = 0;
  const next = (worker: Worker): void => {
    const block = waiting.shift();
    if (block !== undefined) worker.postMessage({ order, block } satisfies ToSeekWorker);
  };
  for (const worker of workers) {
    worker.on("error", reject);
    worker.on("messageerror", reject);
    worker.on("exit", (status) =>
      reject(new Error(`a worker ended with status ${status} before its work was done`)),
    );
    worker.on("message", (message: FromSeekWorker) => {
      if (message.kind === "refused") return reject(new Refusal(message.faults));
      const { result } = message;
      results.push(result);
      done += result.block.count;
      if (onBlock !== undefined) keeping.push(onBlock(result));
      onProgress?.({ done, total, secondsLeft: ((elapsedSeconds() - started) * (total - done)) / done });
      if (results.length === blocks.length) Promise.all(keeping).then(() => resolve(results), reject);
      else next(worker);
    });
  }
  for (let ahead = 0; ahead < blocksAhead; ahead++) for (const worker of workers) next(worker);
}
