/** The plan of the demo valve: order, what waits and why, what is ticked, limits and instruments. */
import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, it } from "vitest";
import { parseDocument } from "yaml";
import { applyDefaults, type Dossier, readDossier } from "../../../src/dossier/index.js";
import { type NextTests, type SealedPrediction, sealPrediction } from "../../../src/evidence/index.js";
import { predict, runBlock } from "../../../src/predict/index.js";
import { withDerivedCases } from "../../../src/question/plan/derivedCases.js";
import {
  type PlannedRun,
  planTests,
  type RecordedRun,
  type TestPlan,
} from "../../../src/question/plan/index.js";
import { leakPlan } from "../../../src/question/plan/leakRun.js";

const text = readFileSync("demo/petrel-oxygen-main/valve.yaml", "utf8");
const options = { seed: 1, samples: 12, effectSamples: 0 };
const files = [{ name: "valve.yaml", sha256: "ab".repeat(32) }];
const digest = (of: string) =>
  [...of]
    .reduce((h, c) => (h * 31 + c.charCodeAt(0)) >>> 0, 7)
    .toString(16)
    .padStart(64, "0");

function dossierOf(change: (text: string) => string = (same) => same): Dossier {
  return readDossier({ valve: { path: "valve.yaml", text: change(text) } }).dossier;
}

/** Sections whose answers cost most and say nothing of what most of these tests ask. */
const heavy = [
  ["engine"],
  ["schedule"],
  ["seek"],
  ["oxygen"],
  ["trapped"],
  ["line", "pipes"],
  ["line", "components"],
  ["line", "priming"],
  ["valve", "boundary"],
  ["valve", "cold"],
  ["valve", "cavity"],
  ["drive", "hold"],
  ["drive", "twist_damping"],
];

/** Of these no run of a plan asks: its case for the start and what only question 4 and 10 read. */
const unasked = [
  ["engine"],
  ["schedule"],
  ["seek"],
  ["drive", "hold"],
  ["valve", "cold", "cool_down"],
  ["cases", 0],
];

/** The demo valve without some of its sections. */
function lightOf(
  change: (text: string) => string = (same) => same,
  without: readonly (readonly (string | number)[])[] = heavy,
): Dossier {
  const document = parseDocument(change(text));
  for (const path of without) document.deleteIn(path);
  const { dossier, faults } = readDossier({ valve: { path: "valve.yaml", text: String(document) } });
  expect(faults).toEqual([]);
  return dossier;
}

/** A ranking in which the motor alone is worth a run; the tests of ranking itself are elsewhere. */
const rankedAt = (caseId: string): NextTests => ({
  decision: {
    caseId: "duty",
    quantity: "opening time",
    words: "opening time",
    value: 0.2,
    standardUncertainty: 0.02,
  },
  tests: [
    {
      kind: "motor alone",
      words: "free run-up of the motor",
      known: true,
      caseId,
      after: 0.014,
      narrowing: 0.3,
      tells: [{ path: "drive.motor.friction_torque", narrowing: 0.5 }],
      duration_s: undefined,
      propellant_kg: undefined,
      perHour: undefined,
    },
  ],
});

async function planOf(
  dossier: Dossier,
  runs: readonly RecordedRun[] = [],
  seals: readonly SealedPrediction[] = [],
  as = files,
  dryCase = "dry-ambient",
): Promise<TestPlan> {
  return await planTests(
    {
      dossier,
      caseId: "duty",
      options,
      evidence: { reconciliations: [], day: "2026-04-19" },
      runs,
      seals,
      files: as,
      place: "petrel",
      next: rankedAt(dryCase),
    },
    async (plan, blocks) => blocks.map((block) => runBlock(plan, block)),
  );
}

async function sealOf(dossier: Dossier, caseId: string): Promise<SealedPrediction> {
  const prediction = await predict(
    applyDefaults(dossier, caseId).dossier,
    caseId,
    options,
    async (plan, blocks) => blocks.map((block) => runBlock(plan, block)),
  );
  return sealPrediction(prediction, "2026-04-17T09:00:00Z", files, digest);
}

const recorded = (caseId: string, more: Partial<RecordedRun> = {}): RecordedRun => ({
  id: `2026-04-18-${caseId}`,
  caseId,
  date: "2026-04-18T10:00:00Z",
  finding: "agrees",
  sealed: undefined,
  present: undefined,
  isUsedToFit: false,
  isReduced: true,
  hasLeak: false,
  ...more,
});

let bare: TestPlan;
let tested: TestPlan;
let changed: TestPlan;
let seal: SealedPrediction;

beforeAll(async () => {
  const dossier = lightOf((same) => same, unasked);
  seal = await sealOf(dossier, "nitrogen");
  bare = await planOf(lightOf());
  tested = await planOf(
    dossier,
    [
      recorded("dry-ambient"),
      recorded("pressurised-ambient", { finding: "disagrees", isUsedToFit: true }),
      recorded("nitrogen", { sealed: seal.sha256 }),
    ],
    [seal],
  );
  const other = lightOf((same) => same.replace("value: 0.075 +/- 0.028", "value: 0.11 +/- 0.02"));
  const runs = [
    recorded("dry-ambient", { finding: "disagrees" }),
    recorded("nitrogen", { sealed: seal.sha256 }),
  ];
  changed = await planOf(other, runs, [seal], [{ name: "valve.yaml", sha256: "cd".repeat(32) }]);
}, 240_000);

function runOf(plan: TestPlan, caseId: string, kind: PlannedRun["kind"] = "stroke"): PlannedRun {
  const found = plan.runs.find((run) => run.caseId === caseId && run.kind === kind);
  if (found === undefined) throw new Error(`no run of ${caseId}`);
  return found;
}

describe("the order", () => {
  it("is dry, pressurised, nitrogen, oxygen, the duty last of the strokes", () => {
    const order = ["dry", "pressurised", "nitrogen", "propellant"];
    const ranks = bare.runs.map(({ stage }) => order.indexOf(stage));
    expect(ranks).toEqual([...ranks].sort((a, b) => a - b));
    expect(bare.runs.at(-1)?.caseId).toBe("duty");
    expect(bare.runs.map(({ number }) => number)).toEqual(bare.runs.map((_, i) => i + 1));
  });

  it("without a test only the dry stage can be proposed; every other names the stage before it", () => {
    for (const run of bare.runs) {
      expect(run.state).toBe(run.stage === "dry" ? "to be made" : "waiting");
      if (run.stage !== "dry")
        expect(run.waitsFor[0]).toMatch(/^the (dry|pressurised|nitrogen) run \(.*\): not made yet$/);
    }
  });
});

describe("what a run waits for", () => {
  it("oxygen waits for the record of cleaning and the specialist, whatever nitrogen showed", () => {
    const oxygen = runOf(tested, "duty");
    expect(oxygen.state).toBe("waiting");
    const waits = oxygen.waitsFor.join("\n");
    expect(waits).not.toContain("the nitrogen run");
    expect(waits).toMatch(
      /Cleanliness level with record \(question 8\): not known, needs .*oxygen\.cleaning/,
    );
    expect(waits).toMatch(/Ignition mechanism screen \(question 8\): (not known|fails)/);
    expect(waits).toContain("a register of hazards: none is kept");
    expect(oxygen.made).toEqual([]);
  });

  it("pressure waits for the proof test", () => {
    expect(runOf(bare, "pressurised-ambient").waitsFor.join("\n")).toMatch(
      /Proof pressure, by test \(question 5\)/,
    );
  });

  it("a run that disagrees and was fitted lets the next stage be proposed, one that nobody explained does not", () => {
    const waits = runOf(changed, "pressurised-ambient").waitsFor[0];
    expect(waits).toContain("run 2026-04-18-dry-ambient does not agree, and nothing explains it yet");
    expect(runOf(tested, "nitrogen-pressurised").waitsFor.join("\n")).not.toContain("the pressurised run");
  });

  it("what nobody declared stays not known, never silently good", async () => {
    const { dossier } = readDossier({ valve: { path: "valve.yaml", text: "coldturn: 1\nname: blank\n" } });
    const plan = await planOf(dossier, [], [], files, "plan-dry");
    expect(plan.runs.every(({ state }) => state === "waiting")).toBe(true);
    for (const run of plan.runs.filter(({ kind }) => kind === "stroke")) expect(run.expected).toEqual([]);
    expect(plan.notPlanned.map(({ what }) => what)).toContain("case duty");
  });
});

describe("what is ticked", () => {
  it("a run that agrees with a seal of the files as they are, by its id and hash", () => {
    const run = runOf(tested, "nitrogen");
    expect(run.state).toBe("made");
    expect(run.made.map(({ id, isTicked }) => [id, isTicked])).toEqual([["2026-04-18-nitrogen", true]]);
    expect(run.seal).toEqual({ kind: "sealed", sha256: seal.sha256, made: seal.made });
    expect(run.expected.find(({ id }) => id === "opening:command-to-90-flow")?.value).toBe(
      seal.opening.times_s["command-to-90-flow"],
    );
  });

  it("goes stale with a value that the seal rests on, and names it", () => {
    const run = runOf(changed, "nitrogen");
    expect(run.state).toBe("waiting");
    expect(run.made[0]?.isTicked).toBe(false);
    expect(run.made[0]?.words).toMatch(/^stale: .*since then changed: /);
    expect(changed.runs.length).toBeGreaterThan(4);
    expect(run.seal.kind).toBe("outdated");
  });

  it("a run not sealed before says how to seal", () => {
    expect(runOf(bare, "pressurised-ambient").seal).toMatchObject({
      kind: "none",
      command: "coldturn seal petrel --case pressurised-ambient",
    });
  });
});

describe("expected values, limits, instruments", () => {
  it("every stroke has times with bands, and every limit names its check or says not known why", () => {
    for (const run of [...bare.runs, ...tested.runs].filter(({ kind }) => kind === "stroke")) {
      expect(run.expected.some(({ id, band }) => id.startsWith("opening:") && band !== undefined)).toBe(true);
      expect(run.limits.length).toBeGreaterThan(4);
      for (const limit of run.limits) {
        expect(limit.check).not.toBe("");
        if (limit.limit === undefined) expect(limit.because).toMatch(/^needs |no limit/);
        else expect(Number.isFinite(limit.limit)).toBe(true);
      }
    }
  });

  it("takes the limits that the valve file declares: winding 155 degC, opening 0.8 s, line 64 bar(a) or less", () => {
    const { limits } = runOf(tested, "duty");
    const of = (id: string) => limits.find((one) => one.id === id)?.limit ?? Number.NaN;
    expect(of("winding-temperature")).toBeCloseTo(155 + 273.15, 6);
    expect(of("opening-time")).toBe(0.8);
    expect(of("line-pressure")).toBeLessThanOrEqual(64e5);
    expect(of("cavity:valve.cavity")).toBe(100e5);
    expect(of("stem-torque")).toBeLessThanOrEqual(90);
  });

  const pairs = [
    ["motor current", "peak-current", "motor-current"],
    ["torque at the stem", "breakaway-torque", "stem-torque"],
    ["winding temperature", "winding-temperature", "winding-temperature"],
    ["pressure ahead of the valve", "surge-close", "line-pressure"],
    ["gearbox temperature", "gearbox-temperature", "gearbox-temperature"],
  ] as const;
  it.each(pairs)("the range of %s holds what is expected and the limit", (channel, expected, stop) => {
    const { instruments, expected: values, limits } = runOf(tested, "duty");
    const { range, rate_Hz } = instruments.find((one) => one.channel === channel) ?? {};
    const band = values.find(({ id }) => id === expected)?.band;
    const limit = limits.find(({ id }) => id === stop)?.limit;
    if (range === undefined || band === undefined || limit === undefined)
      throw new Error(`${channel} is not known`);
    for (const value of [band.low, band.high, limit]) {
      expect(value).toBeGreaterThan(range.low);
      expect(value).toBeLessThan(range.high);
    }
    expect(rate_Hz).toBeGreaterThan(0);
  });

  it("the motor alone turns at (V - R i0) / k without load, i0 = T0 / k: direct-current motor, worked by hand", () => {
    const run = runOf(bare, "dry-ambient", "motor alone");
    const idle = 0.006 / 0.045;
    const speed = (25.2 - (2 + 0.06 + 0.08) * idle) / 0.045;
    const end = run.expected.find(({ id }) => id === "speed:at the end")?.value ?? Number.NaN;
    // The last stretch of a run-up over five time constants lies a percent below.
    expect(end / speed).toBeGreaterThan(0.98);
    expect(end / speed).toBeLessThan(1.001);
    expect(run.instruments.find(({ channel }) => channel === "speed")?.range?.high).toBeGreaterThan(
      1.4 * end,
    );
    expect(run.narrows).toContain("drive.motor.friction_torque (50 %)");
    expect(run.made).toEqual([]);
  });

  it("asks 59 openings for the wanted 95 %, with 95 % confidence: Wilks 1941", () => {
    expect(runOf(bare, "dry-ambient").strokes?.forShare).toBe(59);
  });

  it("a leak of 1 cm3/min at 20 degC and 101.325 kPa takes 101.3 Pa a minute from a litre: gas law", () => {
    const dossier = dossierOf((same) =>
      same
        .replace("  mass_flow: 3.8 kg/s", "  mass_flow: 3.8 kg/s\n  largest_leak: 1 mL/min")
        .replace(
          "  - id: dry-ambient",
          "  - id: leak-warm\n    fluid: nitrogen\n    fluid_temperature: 293.15 K\n    supply_pressure: 2 bar(a)\n    outlet: dead-ended\n    leak_test: { volume: 1 L, side: upstream }\n\n  - id: dry-ambient",
        ),
    );
    const conditions = dossier.valve.cases?.find(({ id }) => id === "leak-warm") ?? {};
    const plan = leakPlan(dossier, conditions, "leak-warm", "ambient");
    expect(plan.needs).toEqual([]);
    const fall = plan.values[0]?.value ?? Number.NaN;
    expect(fall / ((plan.hold_s ?? Number.NaN) / 60)).toBeCloseTo(101.325, 6);
  });

  it("derives conditions that the file has no case for, as lines that the file can take", async () => {
    const cut = (same: string) => same.slice(0, same.indexOf("# Each case states its own conditions"));
    const dossier = lightOf(cut);
    const plan = await planOf(dossier, [], [], files, "plan-dry");
    const derived = plan.runs.filter(
      ({ derivedCase, kind }) => derivedCase !== undefined && kind !== "motor alone",
    );
    expect(derived.map(({ caseId }) => caseId)).toEqual(
      expect.arrayContaining([
        "plan-dry",
        "plan-pressurised",
        "plan-nitrogen",
        "plan-leak-ambient",
        "plan-leak-cold",
      ]),
    );
    const lines = derived.flatMap(({ derivedCase }) => derivedCase ?? []);
    const taken = lightOf((same) => `${cut(same)}\ncases:\n${lines.join("\n")}\n`);
    expect(taken.valve.cases?.map(({ id }) => id)).toEqual(derived.map(({ caseId }) => caseId));
    expect(withDerivedCases(taken).lines.size).toBe(0);
  }, 240_000);

  it("calls out who decides, and that a run without oxygen ticks nothing for it", () => {
    for (const run of bare.runs) {
      expect(run.cautions.join(" ")).toContain("belongs to the responsible people");
      if (run.stage !== "propellant") expect(run.cautions[0]).toMatch(/ticks nothing for an oxidiser/);
    }
    expect(JSON.stringify(bare)).not.toMatch(/\bis safe\b|\bcertified\b|\bcomplies\b|\bqualified\b/);
  });
});
