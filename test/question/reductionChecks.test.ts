import { describe, expect, it } from "vitest";
import type { Reduction } from "../../src/evidence/index.js";
import { answersOf, type Check } from "../../src/question/index.js";
import { answerNumbered, type Edits, predictionOf } from "./answering.js";

const warm = 293;
const reduction = (change: Partial<Reduction>): Reduction => ({
  runId: "bench",
  caseId: "duty",
  valveTemperature_K: warm,
  isPressurised: false,
  fluid: "none",
  strokes: [],
  leak: undefined,
  friction: undefined,
  clockUncertainty_s: 0,
  files: 1,
  notices: [],
  ...change,
});

const known = (id: string, dimension: "time" | "torque" | "volume flow", value: number, u: number) => ({
  known: true as const,
  id,
  name: id,
  dimension,
  equation: "",
  source: "",
  assumptions: [],
  value,
  standardUncertainty: u,
  degreesOfFreedom: undefined,
  interval95: [value - 2 * u, value + 2 * u] as const,
  intervalFrom: "first order" as const,
  contributions: [],
});

async function checkOf(id: string, reductions: readonly Reduction[], edits: Edits = {}): Promise<Check> {
  const prediction = await predictionOf({ edits, samples: 0 });
  const { checks } = answerNumbered(answersOf(prediction, { reconciliations: [], reductions }), 11);
  const found = checks.find((check) => check.id === id);
  if (found === undefined) throw new Error(`no check ${id}`);
  return found;
}

const leak = (mm3_s: number, u: number, T = warm) =>
  reduction({
    fluid: "nitrogen",
    valveTemperature_K: T,
    leak: known("leak", "volume flow", 1e-9 * mm3_s, 1e-9 * u),
  });

describe("seat leakage against its class", () => {
  // ISO 5208 rate B: 0.3 mm3/s of gas per millimetre of nominal size, 9.6 mm3/s for DN 32.
  const edits: Edits = {
    "valve.nominal_size": "32 mm",
    "valve.seat.leakage": { ambient: "iso-5208-b", cold: "bs-6364" },
  };

  it.each([
    [9.0, 0.2, "holds"],
    [9.4, 0.3, "thin"],
    [9.7, 0.1, "fails"],
  ] as const)("ISO 5208 rate B, DN 32: %d +/- %d mm3/s %s", async (q, u, verdict) => {
    const check = await checkOf("seat-leak-ambient", [leak(q, u)], edits);
    expect(check.verdict).toBe(verdict);
    expect(check.kind === "known" && check.limit.most).toBeCloseTo(9.6e-9, 15);
  });

  it("the cold class is held against the cold run alone, and says that nitrogen is not oxygen", async () => {
    const runs = [leak(9, 0.2), leak(3000, 20, 81)];
    const check = await checkOf("seat-leak-cold", runs, edits);
    // BS 6364, from memory: 100 mm3/s per millimetre, 3200 mm3/s for DN 32.
    expect(check.verdict).toBe("holds");
    expect(check.assumptions.join(" ")).toContain("tick nothing for oxygen");
    expect(check.assumptions.join(" ")).toContain("memory, uncertain");
  });

  it("IEC 60534-4 class VI at DN 40 is 0.30 mL/min", async () => {
    const check = await checkOf("seat-leak-ambient", [leak(4, 0.1)], {
      "valve.nominal_size": "40 mm",
      "valve.seat.leakage": { ambient: "iec-60534-4-vi" },
    });
    expect(check.kind === "known" && (check.limit.most ?? 0) * 6e7).toBeCloseTo(0.3, 9);
  });

  it("rate A asks for a look, which no pressure gives", async () => {
    const check = await checkOf("seat-leak-ambient", [leak(0.1, 0.01)], {
      "valve.nominal_size": "32 mm",
      "valve.seat.leakage": { ambient: "iso-5208-a" },
    });
    expect(check).toMatchObject({ kind: "unknown" });
  });

  it("without class, size or test it is not known, and says what is needed", async () => {
    const check = await checkOf("seat-leak-cold", []);
    expect(check.kind === "unknown" && check.needs.slice(0, 2)).toEqual([
      "valve.seat.leakage.cold",
      "valve.nominal_size",
    ]);
  });
});

describe("the leak result", () => {
  it("keeps the duty's limit with its expanded uncertainty [jcgm-106-2012]", async () => {
    const edits: Edits = { "duty.largest_leak": "0.6 mL/min" };
    expect(await checkOf("leak-unc", [leak(9.0, 0.2)], edits)).toMatchObject({ verdict: "holds" });
    const thin = await checkOf("leak-unc", [leak(9.8, 0.2)], edits);
    expect(thin.verdict).toBe("thin");
    // (10 - 9.8)/0.2 = 1: the normal law gives 84.1 %.
    expect(thin.kind === "known" && thin.probability?.estimate).toBeCloseTo(0.841, 3);
  });
});

describe("torque at six points", () => {
  const stroke = (sense: "opening" | "closing", measured: number) => ({
    sense,
    from_s: 0,
    to_s: 1,
    events: [],
    times: [],
    quantities: [],
    torques: [
      {
        sense,
        what: "running" as const,
        measured: known("running", "torque", measured, 0.2),
        predicted: { nominal_Nm: 6, low_Nm: 5, high_Nm: 7 },
      },
    ],
  });
  const both = (change: Partial<Reduction>, measured = 6) =>
    reduction({ ...change, strokes: [stroke("opening", measured), stroke("closing", measured)] });
  const six = [
    both({}),
    both({ isPressurised: true }),
    both({ isPressurised: true, valveTemperature_K: 81 }),
  ];

  it("holds with all six inside", async () => {
    expect(await checkOf("torque-shape-test", six)).toMatchObject({ verdict: "holds", value: 6 });
  });

  it("is not known while one is missing, and names it", async () => {
    const check = await checkOf("torque-shape-test", six.slice(0, 2));
    expect(check.kind === "unknown" && check.needs).toEqual([
      "a reduced run cold under pressure, opening",
      "a reduced run cold under pressure, closing",
    ]);
  });

  it("fails with one outside the band widened by k u", async () => {
    const check = await checkOf("torque-shape-test", [
      ...six.slice(0, 2),
      both({ runId: "x", isPressurised: true, valveTemperature_K: 81 }, 7.5),
    ]);
    expect(check.kind === "failed" && check.finding).toContain("running torque of run x");
    const inside = [...six.slice(0, 2), both({ isPressurised: true, valveTemperature_K: 81 }, 7.3)];
    expect(await checkOf("torque-shape-test", inside)).toMatchObject({ verdict: "holds" });
  });
});

describe("clock alignment", () => {
  const run = (u: number) =>
    reduction({
      clockUncertainty_s: u,
      files: 2,
      strokes: [
        {
          sense: "opening",
          from_s: 0,
          to_s: 1,
          events: [],
          times: [known("command-to-end", "time", 0.2, 0.001)],
          quantities: [],
          torques: [],
        },
      ],
    });
  it("a tenth of the time tested: 15 ms of 200 ms hold, 25 ms do not", async () => {
    expect(await checkOf("time-base", [run(0.015)])).toMatchObject({ verdict: "holds" });
    expect(await checkOf("time-base", [run(0.025)])).toMatchObject({ verdict: "fails" });
    expect(await checkOf("time-base", [])).toMatchObject({ verdict: "not known" });
  });
});
