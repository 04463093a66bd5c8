/** The band of the Petrel duty: 10,000 openings and closings with effects, on two worker threads. */
import { readFileSync } from "node:fs";
import { applyDefaults, readDossier } from "../src/dossier/index.js";
import { startWorkers } from "../src/host/index.js";
import { defaultOptions, predict } from "../src/predict/index.js";
import type { Bench } from "./bench.js";
import { budgetMachine } from "./rk4.js";

const path = "demo/petrel-oxygen-main/valve.yaml";

export const band: Bench = {
  name: "band of 10,000 openings with effects, 2 workers",
  budget: { kind: "at most", value: 1, setWhere: budgetMachine },
  run: async () => {
    const read = readDossier({ valve: { path, text: readFileSync(path, "utf8") } });
    const { dossier } = applyDefaults(read.dossier, "duty");
    const workers = startWorkers({ count: 2 });
    const times: number[] = [];
    let spread = "";
    // The first runs pay for the compiler of the engine; a session of the program does not do so twice.
    for (let run = 0; run < 5; run++) {
      const started = performance.now();
      const { band: found } = await predict(dossier, "duty", defaultOptions, workers.run);
      times.push((performance.now() - started) / 1e3);
      const figure = found?.figures["opening:command-to-90-flow"];
      const high = figure?.high.interval;
      spread = `97.5 % quantile within ${(((high?.high ?? 0) - (high?.low ?? 0)) * 500).toFixed(1)} ms at 95 % confidence`;
    }
    await workers.stop();
    times.sort((a, b) => a - b);
    return { value: times[1] ?? Number.NaN, unit: "s", accuracy: spread };
  },
};
