/** What a user waits for: the first answer of `check`, and the whole demo after its set-up. */
import { spawnSync } from "node:child_process";
import type { Bench } from "./bench.js";
import { budgetMachine } from "./rk4.js";

function secondsOf(words: readonly string[]): number {
  const started = performance.now();
  const { status } = spawnSync(process.execPath, words, { stdio: "ignore" });
  if (status !== 0 && status !== 1) throw new Error(`${words.join(" ")} ended with ${String(status)}`);
  return (performance.now() - started) / 1e3;
}

export const checkCommand: Bench = {
  name: "coldturn check, to its whole answer",
  budget: { kind: "at most", value: 1, setWhere: budgetMachine },
  run: () => {
    const times = [1, 2, 3].map(() =>
      secondsOf(["dist/src/cli/main.js", "check", "demo/petrel-oxygen-main"]),
    );
    return {
      value: Math.min(...times),
      unit: "s",
      accuracy: "verdicts on a band of some five hundred samples",
    };
  },
};

export const wholeDemo: Bench = {
  name: "whole demo after set-up",
  budget: { kind: "at most", value: 20, setWhere: budgetMachine },
  run: () => ({
    value: secondsOf(["dist/demo/run.js"]),
    unit: "s",
    accuracy: "every command as a user types it",
  }),
};
