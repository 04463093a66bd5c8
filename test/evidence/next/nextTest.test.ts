import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { type Dossier, readDossier, uncertainInputs, withValues } from "../../../src/dossier/index.js";
import { nextTests } from "../../../src/evidence/index.js";
import { expectedNarrowing } from "../../../src/numerics/index.js";
import { bestCostWords } from "../../../src/question/index.js";

/** The demo's file without what it says of costs. */
const text = readFileSync("demo/petrel-oxygen-main/valve.yaml", "utf8").replace(
  /^tests:\n( {2}- .*\n)+/m,
  "",
);

/** The Petrel dossier with nothing uncertain but the named values. */
function onlyUncertain(paths: readonly string[], change: (text: string) => string = (same) => same): Dossier {
  const { dossier } = readDossier({ valve: { path: "valve.yaml", text: change(text) } });
  const certain = uncertainInputs(dossier)
    .filter(({ path }) => !paths.includes(path))
    .map(({ path, declared }) => [path, { ...declared, law: { kind: "exact" as const } }] as const);
  return withValues(dossier, new Map(certain));
}

const ranking = (dossier: Dossier) => {
  const found = nextTests(dossier, "duty");
  if (found === undefined) throw new Error("not known");
  return found;
};
const narrowings = (dossier: Dossier) =>
  Object.fromEntries(ranking(dossier).tests.map((one) => [one.kind, one.known ? one.narrowing : undefined]));

describe("the linear model with normal errors, closed form [chaloner-verdinelli-1995]", () => {
  it("one input, m readings of error s: variance g^2/(1 + m/s^2)", () => {
    const rows = Array.from({ length: 5 }, () => [1 / 0.5]);
    const found = expectedNarrowing([3], rows);
    expect(found.before).toBeCloseTo(9, 12);
    expect(found.after).toBeCloseTo(9 / (1 + 5 / 0.25), 12);
  });

  it("the sum of two inputs measured exactly leaves half of the variance of each, and none of the sum", () => {
    const found = expectedNarrowing([1, 1], [[1e6, 1e6]]);
    expect(found.after).toBeCloseTo(0, 9);
    expect(found.inputs[0]).toBeCloseTo(0.5, 9);
    expect(expectedNarrowing([1, -1], [[1e6, 1e6]]).after).toBeCloseTo(2, 9);
  });
});

describe("where the answer is known", () => {
  it("the motor constant alone: a free motor and a locked stem tell it, and the cheapest of them is best per hour", () => {
    const cost = "tests:\n  - { kind: motor alone, duration: 1 h }\n  - { kind: oxygen, duration: 40 h }\n";
    const { tests } = ranking(onlyUncertain(["drive.motor.torque_constant"], (same) => `${same}\n${cost}`));
    const rated = tests.flatMap((one) => (one.known ? [one] : []));
    for (const kind of ["motor alone", "stem locked"])
      expect(rated.find((one) => one.kind === kind)?.narrowing, kind).toBeGreaterThan(0.05);
    const perHour = [...rated].sort((a, b) => (b.perHour ?? 0) - (a.perHour ?? 0));
    expect(perHour[0]?.kind).toBe("motor alone");
  });

  it("the cold ratio of friction alone: a cold test first, and no test of the motor tells anything", () => {
    const dossier = onlyUncertain(["valve.seat.friction_cold_ratio"]);
    const found = narrowings(dossier);
    expect(["nitrogen", "oxygen"]).toContain(ranking(dossier).tests[0]?.kind);
    for (const kind of ["dry", "pressurised", "motor alone", "gearbox alone", "stem locked"])
      expect(Math.abs(found[kind] ?? 1), kind).toBeLessThan(0.01);
    expect(found.nitrogen).toBeGreaterThan(0.1);
  });

  it("the seat's contact circle, which only pressure loads: the warm pressurised test before every dry one", () => {
    const found = narrowings(onlyUncertain(["valve.seat_contact_diameter"]));
    expect(found.pressurised).toBeGreaterThan(found.dry ?? 1);
    for (const kind of ["motor alone", "gearbox alone", "stem locked"])
      expect(Math.abs(found[kind] ?? 1), kind).toBeLessThan(0.01);
  });

  it("the gears' no-load torque alone: not the motor alone", () => {
    const found = narrowings(onlyUncertain(["drive.stages[0].no_load_torque"]));
    expect(Math.abs(found["motor alone"] ?? 1)).toBeLessThan(1e-6);
    expect(found["gearbox alone"]).toBeGreaterThan(1e-3);
  });

  it("nothing declared uncertain: what is left is the spread of the defaults, below 5 % of the time", () => {
    const { decision } = ranking(onlyUncertain([]));
    expect(decision.standardUncertainty).toBeLessThan(0.05 * decision.value);
  });
});

describe("what a test costs", () => {
  it("is what the valve file declares, and narrowing per hour follows", () => {
    const declared = "tests:\n  - { kind: dry, duration: 4 h, propellant: 0 kg }\n";
    const { tests } = ranking(onlyUncertain(["valve.seat.friction"], (same) => `${same}\n${declared}`));
    const dry = tests.find(({ kind }) => kind === "dry");
    if (dry?.known !== true) throw new Error("not rated");
    expect(dry.duration_s).toBe(4 * 3600);
    expect(dry.perHour).toBeCloseTo(dry.narrowing / 4, 12);
    expect(tests.find(({ kind }) => kind === "nitrogen")).toMatchObject({ duration_s: undefined });
  });

  it("stands in the first words: of the test that tells most, and of the one that tells most an hour", () => {
    const known = {
      known: true,
      words: "",
      caseId: "a",
      after: 1,
      tells: [],
      propellant_kg: undefined,
    } as const;
    const nitrogen = {
      ...known,
      kind: "nitrogen",
      narrowing: 0.6,
      duration_s: 7200,
      propellant_kg: 140,
    } as const;
    const dry = { ...known, kind: "dry", narrowing: 0.35, duration_s: 3600, perHour: 0.35 } as const;
    const decision = {
      caseId: "a",
      words: "",
      quantity: "opening time",
      value: 1,
      standardUncertainty: 1,
    } as const;
    const words = (tests: Parameters<typeof bestCostWords>[0]["tests"]) => bestCostWords({ decision, tests });
    expect(words([{ ...nitrogen, perHour: 0.3 }, dry])).toBe(
      "It costs 2 h and 140 kg of liquid. For each hour dry tells most: 35 %, before nitrogen with 30 %.",
    );
    expect(
      words([{ ...nitrogen, duration_s: undefined, propellant_kg: undefined, perHour: undefined }]),
    ).toBe("What it costs is not known: `tests` in valve.yaml can say it.");
  });
});

it("a test without conditions in the valve file is not rated, and says why", () => {
  const without = (same: string) =>
    same.replace(/ {2}- id: dry-ambient[\s\S]*?(?=\n {2}- id: pressurised)/, "");
  const { tests } = ranking(onlyUncertain(["valve.seat.friction"], without));
  expect(tests.find(({ kind }) => kind === "dry")).toMatchObject({ known: false });
});
