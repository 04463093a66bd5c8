import { describe, expect, it } from "vitest";
import { applyDefaults, readDossier } from "../../../src/dossier/index.js";
import { type Reduction, reduceRun, seriesOf } from "../../../src/evidence/index.js";
import { evaluateSeries, type SeriesStroke } from "../../../src/evidence/series/series.js";
import { randomStream } from "../../../src/numerics/index.js";
import { seriesChecks } from "../../../src/question/index.js";

const strokesOf = (values: readonly number[]): readonly SeriesStroke[] =>
  values.map((value_s, i) => ({
    runId: "r",
    sense: "opening",
    number: i + 1,
    value_s,
    standardUncertainty_s: 0.001,
  }));
const evaluate = (values: readonly number[]) =>
  evaluateSeries("cold", "opening", "command-to-end", strokesOf(values));

describe("twenty openings", () => {
  const random = randomStream(11);
  const level = Array.from({ length: 20 }, () => 0.4 + 0.004 * random.normal());

  it("without drift: p is above 5 %, and the line is level within its uncertainty", () => {
    const { trend, line, drifts } = evaluate(level);
    expect(drifts).toBe(false);
    expect(trend?.how).toBe("exact");
    expect(Math.abs(line?.slope_s ?? 1)).toBeLessThan(2.1 * (line?.slopeUncertainty_s ?? 0));
  });

  it("with a drift of 1 ms per cycle under 4 ms of scatter it is seen, with its slope", () => {
    const { trend, line, drifts } = evaluate(level.map((value, i) => value + 0.001 * i));
    expect(drifts).toBe(true);
    expect(trend?.p).toBeLessThan(0.01);
    expect(Math.abs((line?.slope_s ?? 0) - 0.001)).toBeLessThan(3 * (line?.slopeUncertainty_s ?? 0));
    expect(line?.p).toBeLessThan(0.01);
  });

  it("a false drift is told in about 5 % of a thousand series without one", () => {
    let told = 0;
    for (let k = 0; k < 1000; k++)
      if (evaluate(Array.from({ length: 12 }, () => random.normal() + 10)).drifts) told++;
    // The exact test cannot exceed 5 %; three binomial deviations on either side of 4 to 5 %.
    expect(told).toBeGreaterThan(20);
    expect(told).toBeLessThan(71);
  });

  it("Wilks: 59 are needed for 95/95; twenty bound 86.1 % with 95 % confidence, and 95 % with 64.2 %", () => {
    const { tolerance } = evaluate(level);
    expect(tolerance.neededAt95).toBe(59);
    expect(tolerance.coverageAt95).toBeCloseTo(0.05 ** (1 / 20), 12);
    expect(tolerance.coverageAt95).toBeCloseTo(0.861, 3);
    expect(tolerance.confidence).toBeCloseTo(0.6415, 4);
  });
});

describe("several strokes in one log", () => {
  const text = `
coldturn: 1
valve: { travel: 90 deg, seat: { cycle_life: 500 } }
cases: [{ id: cold, fluid: none, valve_temperature: 80 K }]
`;
  const { dossier } = readDossier({ valve: { path: "valve.yaml", text } });
  const random = randomStream(3);
  const begins = Array.from({ length: 12 }, (_, k) => 1 + 1.5 * k);
  const time_s = Float64Array.from({ length: 20_000 }, (_, i) => i / 1000);
  const duration = (k: number) => 0.3 + 0.004 * Math.floor(k / 2);
  const angle = time_s.map((t) => {
    const k = begins.filter((begin) => begin <= t).length - 1;
    if (k < 0) return 0;
    const x = Math.min((t - (begins[k] ?? 0)) / duration(k), 1);
    return (k % 2 === 0 ? 1.57 * x : 1.57 * (1 - x)) + 0.001 * random.normal();
  });
  const command = time_s.map((t) => begins.filter((begin) => begin - 0.02 <= t).length % 2);
  const reduction: Reduction = reduceRun({
    runId: "r",
    caseId: "cold",
    dossier: applyDefaults(dossier, "cold").dossier,
    log: {
      time_s,
      channels: [
        { role: "angle", values: angle },
        { role: "command", values: command },
      ],
    },
    moves: [],
  });
  const report = seriesOf([reduction]);

  it("six cycles are found, opening and closing apart, each with its time", () => {
    expect(report.cycles).toBe(6);
    expect(report.series.map(({ sense, strokes }) => [sense, strokes.length])).toEqual([
      ["opening", 6],
      ["closing", 6],
    ]);
    for (const [k, { value_s, standardUncertainty_s }] of (report.series[0]?.strokes ?? []).entries())
      expect(Math.abs(value_s - (0.02 + duration(2 * k)))).toBeLessThan(4 * standardUncertainty_s + 1e-3);
  });

  it("each stroke 4 ms slower than the last one of its sense is a drift", () => {
    for (const one of report.series) {
      expect(one.drifts).toBe(true);
      expect(one.line?.slope_s).toBeCloseTo(0.004, 3);
    }
  });

  it("cycles are held against the declared life", () => {
    const checks = seriesChecks(report, 500, 0.95);
    expect(checks.find(({ id }) => id === "cycle-life")).toMatchObject({ verdict: "holds", value: 6 });
    expect(seriesChecks(report, 5, 0.95).at(-1)).toMatchObject({ verdict: "fails" });
    expect(seriesChecks(report, undefined, 0.95).at(-1)).toMatchObject({ verdict: "not known" });
    expect(checks.find(({ id }) => id === "series-drift")?.verdict).toBe("fails");
  });
});
