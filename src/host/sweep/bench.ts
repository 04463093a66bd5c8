/** The threads that a worker works its blocks out on, each one block at a time. */
import { Worker } from "node:worker_threads";
import { programFile } from "../place.js";

/** What a thread is told. */
export interface ToBench {
  readonly sweep: string;
  readonly kind: string;
  /** The order of the sweep; left out where the thread has it. */
  readonly order: string | undefined;
  readonly block: string;
}

/** What a thread tells: the result, or the faults it was refused for. */
export interface FromBench {
  readonly isRefused: boolean;
  readonly text: string;
  readonly seconds: number;
}

export interface Bench {
  /** Works a block out. Rejects where the thread ended. */
  readonly work: (
    sweep: { readonly id: string; readonly kind: string; readonly order: string },
    block: string,
  ) => Promise<FromBench>;
  readonly stop: () => Promise<void>;
}

/** Starts one thread. */
export function startBench(): Bench {
  const worker = new Worker(programFile("dist", "src", "host", "sweepWorker.js"), { execArgv: [] });
  let held = "";
  let failure: { readonly reason: unknown } | undefined;
  let reject: ((reason: unknown) => void) | undefined;
  const fail = (reason: unknown): void => {
    failure ??= { reason };
    reject?.(failure.reason);
  };
  worker.on("error", fail);
  worker.on("exit", (status) => fail(new Error(`a thread ended with status ${String(status)}`)));
  return {
    work: ({ id, kind, order }, block) =>
      new Promise<FromBench>((resolve, rejected) => {
        if (failure !== undefined) return rejected(failure.reason);
        reject = rejected;
        worker.once("message", (told: FromBench) => {
          reject = undefined;
          resolve(told);
        });
        const told: ToBench = { sweep: id, kind, order: held === id ? undefined : order, block };
        held = id;
        worker.postMessage(told);
      }),
    stop: async () => {
      await worker.terminate();
    },
  };
}
