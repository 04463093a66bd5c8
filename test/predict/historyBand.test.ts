/** The band of the histories of a stroke: it holds the nominal stroke, and the same seed gives the same bits. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { applyDefaults, readDossier } from "../../src/dossier/index.js";
import { historyBand, nominalOf, planFor } from "../../src/predict/index.js";
import { root } from "../project/files.js";

const path = join(root, "demo", "petrel-oxygen-main", "valve.yaml");
const { dossier } = readDossier({ valve: { path, text: readFileSync(path, "utf8") } });
const planOf = (caseId: string) => planFor(applyDefaults(dossier, caseId).dossier, caseId);

describe("the band of histories", () => {
  const plan = planOf("duty");
  const band = historyBand(plan, "opening", { seed: 1, samples: 64 });
  if (band === undefined) throw new Error("the demo valve has no motion");
  const { channels, time_s } = band;

  it("lies about the nominal stroke of the predicted histories", () => {
    const own = nominalOf(plan, "command-to-end").opening;
    const end = own?.times_s["command-to-end"] ?? Number.NaN;
    const last = time_s.findIndex((t) => t > end);
    expect(last).toBeGreaterThan(20);
    for (let j = 0; j < last; j++) {
      const k = (own?.time_s ?? []).findIndex((t) => t >= (time_s[j] ?? 0));
      const [a = 0, b = 0] = [own?.angle_rad[Math.max(0, k - 1)], own?.angle_rad[k]];
      const angle = channels.angle.nominal[j] ?? Number.NaN;
      // Two step tolerances of one stroke, 1e-4 of the time apart.
      expect(angle).toBeGreaterThanOrEqual(a - 1e-3);
      expect(angle).toBeLessThanOrEqual(b + 1e-3);
    }
  });

  it("has rising edges of the angle, low below high, from closed to open", () => {
    const { low, high } = channels.angle;
    low.forEach((value, j) => {
      expect(value).toBeLessThanOrEqual(high[j] ?? Number.NaN);
      if (j > 0) expect(value).toBeGreaterThanOrEqual((low[j - 1] ?? 0) - 1e-9);
    });
    expect([low[0], high[0]]).toEqual([0, 0]);
    expect(high.at(-1)).toBeCloseTo(plan.dossier.valve.valve?.travel?.value ?? 0, 6);
  });

  it("says nothing of current and voltage once most strokes have arrived", () => {
    expect(channels.current.high[10]).toBeGreaterThan(0);
    expect(channels.current.high.at(-1)).toBeNaN();
    expect(channels["supply voltage"].low.at(-1)).toBeNaN();
  });

  it("is the same for the same seed, and another for another", () => {
    expect(historyBand(plan, "opening", { seed: 1, samples: 64 })).toEqual(band);
    expect(historyBand(plan, "opening", { seed: 2, samples: 64 })).not.toEqual(band);
  });

  it("closes from open to closed, and is not known where the motion is not", () => {
    const closing = historyBand(plan, "closing", { seed: 1, samples: 16 });
    expect(closing?.channels.angle.nominal[0]).toBeGreaterThan(1);
    expect(closing?.channels.angle.nominal.at(-1)).toBeCloseTo(0, 3);
    const { drive: _, ...rest } = dossier.valve;
    const without = planFor({ ...dossier, valve: rest }, "duty");
    expect(historyBand(without, "opening", { seed: 1, samples: 16 })).toBeUndefined();
  });
});
