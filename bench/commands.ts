/** What a user waits for: the first answer of `check`, and the whole demo after its set-up. */
import { spawn, spawnSync } from "node:child_process";
import { once } from "node:events";
import type { Bench } from "./bench.js";
import { budgetMachine } from "./rk4.js";

function secondsOf(words: readonly string[]): number {
  const started = performance.now();
  const { status } = spawnSync(process.execPath, words, { stdio: "ignore" });
  if (status !== 0 && status !== 1) throw new Error(`${words.join(" ")} ended with ${String(status)}`);
  return (performance.now() - started) / 1e3;
}

/** Until a command first prints a text, and until it has ended [s]. */
async function waitOf(words: readonly string[], text: string): Promise<{ first: number; whole: number }> {
  const started = performance.now();
  const since = () => (performance.now() - started) / 1e3;
  const child = spawn(process.execPath, words, { stdio: ["ignore", "pipe", "ignore"] });
  let first = Number.NaN;
  let printed = "";
  child.stdout.on("data", (chunk: Buffer) => {
    printed += chunk.toString();
    if (Number.isNaN(first) && printed.includes(text)) first = since();
  });
  await once(child, "close");
  if (Number.isNaN(first)) throw new Error(`${words.join(" ")} never printed "${text}"`);
  return { first, whole: since() };
}

export const checkCommand: Bench = {
  name: "coldturn check, to its first answers",
  budget: { kind: "at most", value: 1, setWhere: budgetMachine },
  run: async () => {
    const waits: { first: number; whole: number }[] = [];
    for (let n = 0; n < 3; n++)
      waits.push(
        await waitOf(["dist/src/cli/main.js", "check", "demo/petrel-oxygen-main"], "Does it open in time?"),
      );
    const least = (of: "first" | "whole") => Math.min(...waits.map((wait) => wait[of]));
    return {
      value: least("first"),
      unit: "s",
      accuracy: `verdicts on a band of some five hundred samples; all twelve answers after ${least("whole").toFixed(2)} s`,
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
