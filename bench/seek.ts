/** A search of ten thousand choices and more with bands, as `coldturn seek` makes it, on two worker threads. */
import { readFileSync } from "node:fs";
import { readDossier } from "../src/dossier/index.js";
import { runSeek } from "../src/host/index.js";
import { planBlocks, seekAnswer, seekOrder, seekPlan, usualSeekSamples } from "../src/seek/index.js";
import type { Bench } from "./bench.js";
import { budgetMachine } from "./rk4.js";

const path = "demo/petrel-oxygen-main/valve.yaml";
/** Choices that the budget is set for. */
const wanted = 10_000;

export const seek: Bench = {
  name: "search: 10,000 choices with bands, 2 workers",
  budget: { kind: "at most", value: 60, setWhere: budgetMachine },
  run: async () => {
    const valve = { path, text: readFileSync(path, "utf8") };
    const { dossier } = readDossier({ valve });
    const started = performance.now();
    const order = seekOrder({
      valve,
      parts: [],
      caseId: "duty",
      seed: 1,
      samples: usualSeekSamples(dossier),
    });
    const plan = seekPlan(order);
    const results = await runSeek({ order, blocks: planBlocks(plan), count: 2 });
    const answer = seekAnswer(plan, results);
    const seconds = (performance.now() - started) / 1e3;
    const reached = results.flatMap(({ results: own }) => own).filter(({ sieve }) => sieve === "band").length;
    return {
      // The demo has some more choices: as many as are wanted take in proportion.
      value: (seconds * wanted) / answer.candidates,
      unit: "s",
      accuracy: `${answer.candidates} choices in ${seconds.toFixed(1)} s, ${reached} of them to the band of ${order.samples} samples; the same choices as without sieves (test/seek/exhaustive.test.ts)`,
    };
  },
};
