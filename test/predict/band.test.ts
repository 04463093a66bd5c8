import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { applyDefaults, type Dossier, uncertainInputs, withValues } from "../../src/dossier/index.js";
import { effectsPoint, sobolBlock, spearman } from "../../src/numerics/index.js";
import { bandOf, convergenceOf } from "../../src/predict/band.js";
import { effectsOf, followedInputs, pilotSamples } from "../../src/predict/effect.js";
import {
  type BlockResult,
  blocksOf,
  columnIndex,
  meetingProbability,
  type Plan,
  planFor,
  predict,
  rowWidth,
  runBlock,
  ValveSample,
  valuesAt,
} from "../../src/predict/index.js";
import { fillRow } from "../../src/predict/row.js";
import { dossierOf, having, petrel, planOf } from "./valveFile.js";

/** The Petrel dossier with everything certain but the named fields. */
function certainBut(changes: Readonly<Record<string, unknown>>): Dossier {
  const dossier = dossierOf(having(petrel(), { correlations: undefined, ...changes }));
  const certain = uncertainInputs(dossier).filter(({ path }) => !(path in changes));
  return withValues(
    dossier,
    new Map(certain.map(({ path, declared }) => [path, { ...declared, law: { kind: "exact" as const } }])),
  );
}

const sequential = async (plan: Plan, blocks: readonly Parameters<typeof runBlock>[1][]) =>
  blocks.map((block) => runBlock(plan, block));

function shuffled<T>(items: readonly T[], seed: number): readonly T[] {
  return [...items].sort((a, b) => ((items.indexOf(a) * seed) % 7919) - ((items.indexOf(b) * seed) % 7919));
}

describe("same seed, same bits", () => {
  const plan = planOf(petrel());
  const column = "opening:command-to-end";

  it("whatever the order in which blocks come back", () => {
    const blocks = blocksOf("band", 1200, 7, column);
    expect(blocks.length).toBeGreaterThan(2);
    const results = blocks.map((block) => runBlock(plan, block));
    const inOrder = bandOf(results);
    for (const seed of [3, 5, 11]) expect(bandOf(shuffled(results, seed))).toEqual(inOrder);
  });

  it("whatever the blocks: cut anywhere, rows are the same", () => {
    const whole = runBlock(plan, { kind: "band", seed: 7, start: 0, count: 60, column });
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 59 }), (cut) => {
        const tail = runBlock(plan, { kind: "band", seed: 7, start: cut, count: 60 - cut, column });
        expect(tail.rows).toEqual(whole.rows.subarray(cut * rowWidth));
      }),
      { numRuns: 12 },
    );
  });

  it("the same for effects, and another seed gives other bits", async () => {
    const options = { seed: 4, samples: 256, effectSamples: 40 };
    const dossier = dossierOf(petrel());
    const once = await predict(dossier, "duty", options, sequential);
    const reversed = await predict(dossier, "duty", options, async (p, blocks) =>
      [...blocks].reverse().map((block) => runBlock(p, block)),
    );
    expect(reversed).toEqual(once);
    const other = await predict(dossier, "duty", { ...options, seed: 5 }, sequential);
    expect(other.band?.figures["mass-flow"]?.median.value).not.toBe(
      once.band?.figures["mass-flow"]?.median.value,
    );
  });

  it("a row does not depend on the rows before it in the same sample", () => {
    const d = plan.space.inputs.length;
    const count = 24;
    const points = () => sobolBlock(0, count, d, 9);
    const rowsIn = (order: readonly number[]) => {
      const sample = new ValveSample(plan);
      const at = points();
      const rows = new Map<number, Float64Array>();
      for (const i of order) {
        valuesAt(plan.space, at.subarray(i * d, (i + 1) * d), sample.values);
        const row = new Float64Array(rowWidth);
        fillRow(sample, row, { openingOnly: false });
        rows.set(i, row);
      }
      return rows;
    };
    const ascending = Array.from({ length: count }, (_, i) => i);
    const forward = rowsIn(ascending);
    const backward = rowsIn([...ascending].reverse());
    for (const i of ascending) expect(backward.get(i)).toEqual(forward.get(i));
  });
});

describe("bands against closed forms", () => {
  // Standstill torque is linear in the motor's friction: T = (k I - T_f - ...)/c, here uniform over 2 to 10 mN m.
  const dossier = certainBut({ "drive.motor.friction_torque": { from: "2 mN m", to: "10 mN m" } });
  const share = 1 / (10 * 0.9 * 10 * 0.86);
  const cold = 1 + 7 * (15 / 60);
  const torque = (friction: number) =>
    (0.045 * (25.2 / 2.14) - friction - 0.004 * cold - (0.012 * cold) / 9) / share;
  const figureAt = (p: number) => torque(0.01 - p * 0.008);

  it("one uniform input through a linear figure: quantiles and the probability of a limit", async () => {
    const { band } = await predict(dossier, "duty", { seed: 1, samples: 4000, effectSamples: 0 }, sequential);
    expect(band).toBeDefined();
    if (band === undefined) return;
    const { low, median, high } = band.figures["standstill-torque"] ?? {};
    const width = figureAt(1) - figureAt(0);
    for (const [quantile, p] of [
      [low, 0.025],
      [median, 0.5],
      [high, 0.975],
    ] as const) {
      // Scrambled Sobol points: the empirical distribution is within a few parts of n.
      expect(Math.abs((quantile?.value ?? 0) - figureAt(p))).toBeLessThan((3 / 4000) * width);
      expect(quantile?.interval?.low).toBeLessThanOrEqual(figureAt(p));
      expect(quantile?.interval?.high).toBeGreaterThanOrEqual(figureAt(p));
    }
    for (const p of [0.03, 0.2, 0.5, 0.9]) {
      const chance = meetingProbability(band, "standstill-torque", { most: figureAt(p) });
      expect(chance?.low).toBeLessThanOrEqual(p);
      expect(chance?.high).toBeGreaterThanOrEqual(p);
      expect(Math.abs((chance?.estimate ?? 0) - p)).toBeLessThan(2 / 4000);
    }
    expect(band.notOpening?.estimate).toBe(0);
  });

  it("the probability of not opening is that of the breakaway torque above the standstill torque", async () => {
    // Seat friction uniform: breakaway is linear in it, and stalls beyond one value of it.
    const changes = { "valve.seat.friction": { from: "0.02", to: "0.6" } };
    const uncertain = certainBut(changes);
    const { band, nominal } = await predict(
      uncertain,
      "duty",
      { seed: 2, samples: 3000, effectSamples: 0 },
      sequential,
    );
    const row = (id: string) => nominal.row[columnIndex(id)] ?? Number.NaN;
    const seats = (nominal.torque?.opening.start ?? [])
      .filter(({ id }) => id.startsWith("seat"))
      .reduce((sum, { torque_Nm }) => sum + torque_Nm, 0);
    const perFriction = seats / 0.31;
    const limit = (row("standstill-torque") - (row("breakaway-torque") - seats)) / perFriction;
    const expected = (0.6 - limit) / 0.58;
    expect(expected).toBeGreaterThan(0.1);
    expect(expected).toBeLessThan(0.9);
    expect(band?.notOpening?.low).toBeLessThanOrEqual(expected);
    expect(band?.notOpening?.high).toBeGreaterThanOrEqual(expected);
    // Times are those of the openings that happen.
    const count = band?.figures["opening:command-to-end"]?.count ?? 0;
    expect(count).toBe(Math.round(3000 * (1 - (band?.notOpening?.estimate ?? 0))));
    const never = meetingProbability(band ?? bandOf([]), "opening:command-to-end", { most: 100 });
    expect(never?.estimate).toBeCloseTo(1 - (band?.notOpening?.estimate ?? 0), 12);
  });

  it("shows how quantiles settle over a quarter, half and all of the samples; the last is the band itself", async () => {
    const { band, nominal } = await predict(
      dossierOf(petrel()),
      "duty",
      { seed: 5, samples: 1024, effectSamples: 0 },
      sequential,
    );
    const id = "opening:command-to-90-flow";
    const points = convergenceOf(band ?? bandOf([]), id);
    expect(points.map(({ samples }) => samples)).toEqual([256, 512, 1024]);
    const figure = band?.figures[id];
    expect(points[2]).toMatchObject({
      low: figure?.low.value,
      median: figure?.median.value,
      high: figure?.high.value,
    });
    const width = (figure?.high.value ?? 0) - (figure?.low.value ?? 0);
    for (const { median } of points)
      expect(Math.abs(median - (figure?.median.value ?? 0))).toBeLessThan(0.05 * width);
    // The budget of one opening: within 1e-4 of a converged one.
    expect(nominal.numericalUncertainty).toBeLessThan(1e-4);
    expect(nominal.numericalUncertainty).toBeGreaterThan(0);
  });

  it("declared rank correlation is realised", () => {
    const plan = planOf(petrel());
    const { space } = plan;
    const slot = (path: string) => space.paths.indexOf(path);
    const n = 4096;
    const points = sobolBlock(0, n, space.inputs.length, 3);
    const values = new Float64Array(space.nominal.length);
    const first: number[] = [];
    const second: number[] = [];
    const others: number[] = [];
    for (let i = 0; i < n; i++) {
      valuesAt(space, points.subarray(i * space.inputs.length, (i + 1) * space.inputs.length), values);
      first.push(values[slot("drive.stages[0].efficiency")] ?? 0);
      second.push(values[slot("drive.stages[1].efficiency")] ?? 0);
      others.push(values[slot("valve.seat.friction")] ?? 0);
    }
    // Standard error of a rank correlation over 4096 independent pairs: 0.016.
    expect(Math.abs((spearman(first, second) ?? Number.NaN) - 0.6)).toBeLessThan(0.03);
    expect(Math.abs(spearman(first, others) ?? Number.NaN)).toBeLessThan(0.05);
  });
});

describe("effects", () => {
  it("of an additive result are the shares of variance, first and total alike", () => {
    const plan = planFor(
      certainBut({
        "drive.motor.friction_torque": { from: "2 mN m", to: "10 mN m" },
        "valve.packing.torque": { from: "1 N m", to: "2 N m" },
      }),
      "duty",
    );
    const d = plan.space.inputs.length;
    expect(d).toBe(2);
    // y = 3 u1 + u2: variances 9 : 1.
    const blocks = blocksOf("effects", 1024, 6, "opening:command-to-end").map((request): BlockResult => {
      const points = sobolBlock(request.start, request.count, 2 * d, request.seed);
      const rows = new Float64Array(request.count * (d + 2));
      const u = new Float64Array(d);
      for (let i = 0; i < request.count; i++)
        for (let block = 0; block < d + 2; block++) {
          effectsPoint(points.subarray(i * 2 * d, (i + 1) * 2 * d), block, u);
          rows[i * (d + 2) + block] = 3 * (u[0] ?? 0) + (u[1] ?? 0);
        }
      return { request, rows, impossible: 0 };
    });
    const effects = effectsOf(plan, shuffled(blocks, 3), 6);
    expect(effects.map(({ path }) => path)).toEqual(plan.space.inputs.map(({ path }) => path));
    [0.9, 0.1].forEach((expected, j) => {
      expect(Math.abs((effects[j]?.first.estimate ?? 0) - expected)).toBeLessThan(0.02);
      expect(Math.abs((effects[j]?.total.estimate ?? 0) - expected)).toBeLessThan(0.02);
    });
  });

  it("of inputs that do not matter by the first points rest on those; near a cliff every input has all", () => {
    const counts = (file: Parameters<typeof dossierOf>[0]) => {
      const plan = planOf(file);
      const pilot = blocksOf("effects", pilotSamples, 1, "opening:command-to-end").map((b) =>
        runBlock(plan, b),
      );
      return { followed: followedInputs(plan, pilot, 1), all: plan.space.inputs.length, pilot };
    };
    const far = counts(petrel());
    expect(far.followed.length).toBeGreaterThan(2);
    expect(far.followed.length).toBeLessThan(far.all);
    const near = counts(having(petrel(), { "valve.seat.friction": { from: "0.02", to: "0.6" } }));
    expect(near.pilot.some(({ rows }) => rows.includes(0))).toBe(true);
    expect(near.followed).toHaveLength(near.all);
  });

  it("find the one input that matters and give nothing where none is uncertain", async () => {
    const one = certainBut({ "drive.motor.friction_torque": { from: "2 mN m", to: "10 mN m" } });
    const { effects } = await predict(one, "duty", { seed: 1, samples: 0, effectSamples: 128 }, sequential);
    expect(effects).toHaveLength(1);
    expect(effects[0]?.path).toBe("drive.motor.friction_torque");
    expect(Math.abs((effects[0]?.total.estimate ?? 0) - 1)).toBeLessThan(0.05);
    const none = applyDefaults(certainBut({})).dossier;
    const answer = await predict(none, "duty", { seed: 1, samples: 64, effectSamples: 64 }, sequential);
    expect(answer.effects).toEqual([]);
    const time = answer.band?.figures["opening:command-to-end"];
    expect(time?.low.value).toBe(time?.high.value);
  });
});
