import { readFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { applyDefaults, readDossier } from "../../src/dossier/index.js";
import { type BlockRequest, planFor, predict, runBlock } from "../../src/predict/index.js";
import { root } from "../project/files.js";
import { built } from "./built.js";

let host: typeof import("../../src/host/index.js");
beforeAll(async () => {
  host = await import(built("src/host/index.js"));
}, 120_000);

const path = "demo/petrel-oxygen-main/valve.yaml";
const { dossier } = applyDefaults(
  readDossier({ valve: { path, text: readFileSync(join(root, path), "utf8") } }).dossier,
);
const options = { seed: 7, samples: 1100, effectSamples: 48 };

describe("workers", () => {
  it("give the same bits as no worker, for 1, 2 and 3 of them", async () => {
    const alone = await predict(dossier, "duty", options, async (plan, blocks) =>
      blocks.map((block) => runBlock(plan, block)),
    );
    for (const count of [1, 2, 3]) {
      const workers = host.startWorkers({ count });
      try {
        const prediction = await predict(dossier, "duty", options, workers.run);
        expect(prediction, `${count} workers`).toEqual(alone);
        expect(Buffer.from(prediction.band?.rows.buffer ?? new ArrayBuffer(0))).toEqual(
          Buffer.from(alone.band?.rows.buffer ?? new ArrayBuffer(1)),
        );
      } finally {
        await workers.stop();
      }
    }
  });

  it("run one prediction after the other, and tell how far they are", async () => {
    const told: { readonly done: number; readonly total: number; readonly secondsLeft: number }[] = [];
    const workers = host.startWorkers({ count: 2, onProgress: (progress) => told.push(progress) });
    try {
      for (const caseId of ["dry-ambient", "duty"]) {
        told.length = 0;
        await predict(dossier, caseId, { ...options, effectSamples: 0 }, workers.run);
        expect(told.map(({ done }) => done)).toEqual([...told.map(({ done }) => done)].sort((a, b) => a - b));
        expect(told.at(-1)).toEqual({ done: 2200, total: 2200, secondsLeft: 0 });
        expect(told.every(({ secondsLeft }) => secondsLeft >= 0)).toBe(true);
      }
    } finally {
      await workers.stop();
    }
  });

  it("end when the work is cancelled, and the run rejects with the reason", async () => {
    const cancel = new AbortController();
    const reason = new Error("cancelled by the user");
    const workers = host.startWorkers({
      count: 2,
      signal: cancel.signal,
      onProgress: () => cancel.abort(reason),
    });
    const running = predict(dossier, "duty", { ...options, samples: 200_000 }, workers.run);
    await expect(running).rejects.toBe(reason);
    await expect(predict(dossier, "duty", options, workers.run)).rejects.toBe(reason);
  });

  it("do not begin when the work was cancelled before", async () => {
    const workers = host.startWorkers({ count: 1, signal: AbortSignal.abort(new Error("too late")) });
    await expect(predict(dossier, "duty", options, workers.run)).rejects.toThrow("too late");
  });

  it("that crash let the run reject with what happened", async () => {
    const workers = host.startWorkers({ count: 2 });
    const plan = planFor(dossier, "duty");
    const impossible: BlockRequest = {
      kind: "band",
      seed: 1,
      start: 0,
      count: 2 ** 50,
      column: "opening:command-to-end",
    };
    await expect(workers.run(plan, [impossible])).rejects.toThrow(/array/i);
  });

  it("pass a refusal on as a refusal", async () => {
    const workers = host.startWorkers({ count: 1 });
    const plan = { ...planFor(dossier, "duty"), caseId: "nitrgoen" };
    const request: BlockRequest = {
      kind: "band",
      seed: 1,
      start: 0,
      count: 1,
      column: "opening:command-to-end",
    };
    await expect(workers.run(plan, [request])).rejects.toMatchObject({
      name: "Refusal",
      faults: [{ code: "case-unknown", near: "nitrogen" }],
    });
  });

  it("have nothing to do for no block", async () => {
    const workers = host.startWorkers({ count: 1 });
    expect(await workers.run(planFor(dossier, "duty"), [])).toEqual([]);
    await workers.stop();
  });
});
