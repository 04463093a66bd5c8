/** A worker thread: keeps the order it was last told and works out the blocks it is handed. */
import { parentPort } from "node:worker_threads";
import { Refusal } from "../fault/index.js";
import { elapsedSeconds } from "./clock.js";
import type { FromBench, ToBench } from "./sweep/bench.js";
import { works } from "./sweep/works.js";

let current: { readonly sweep: string; readonly act: (block: string) => string } | undefined;

parentPort?.on("message", ({ sweep, kind, order, block }: ToBench) => {
  const started = elapsedSeconds();
  const tell = (isRefused: boolean, text: string): void => {
    const seconds = elapsedSeconds() - started;
    parentPort?.postMessage({ isRefused, text, seconds } satisfies FromBench);
  };
  try {
    if (current?.sweep !== sweep) {
      const work = works.find((one) => one.kind === kind);
      if (work === undefined || order === undefined) throw new Error(`there is no work of the kind ${kind}`);
      current = { sweep, act: work.open(order) };
    }
    tell(false, current.act(block));
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    tell(true, JSON.stringify(thrown.faults));
  }
});
