/** What holds a valve at rest: pressure while shut, ratios of each friction, gears that start, a blocked outlet. */
import { describe, expect, it } from "vitest";
import { applyDefaults } from "../../src/dossier/index.js";
import { nominalOf, planFor } from "../../src/predict/index.js";
import { dossierOf, figure, having, petrel, planOf } from "./valveFile.js";

type Changes = Readonly<Record<string, unknown>>;
const answer = (changes: Changes, caseId = "duty") =>
  nominalOf(planOf(having(petrel(), changes), caseId), "command-to-90-flow");
const startOf = (nominal: ReturnType<typeof answer>, id: string) =>
  nominal.torque?.opening.start.find((row) => row.id === id)?.torque_Nm ?? Number.NaN;
const plain = answer({});

describe("a chamber that is empty at the start", () => {
  const started = answer({ "duty.back_pressure_at_start": "1.013 bar(a)" });
  it("the seats carry the whole supply pressure at breakaway: T proportional to the drop", () => {
    expect(startOf(started, "seat-pressure") / startOf(plain, "seat-pressure")).toBeCloseTo(
      (28 - 1.013) / (28 - 18),
      9,
    );
  });
  it("wide open it is the valve of the steady back pressure, and it opens later", () => {
    for (const id of ["mass-flow", "valve-drop"])
      expect(figure(started, id) / figure(plain, id)).toBeCloseTo(1, 9);
    expect(figure(started, "opening:command-to-end")).toBeGreaterThan(
      figure(plain, "opening:command-to-end"),
    );
  });
  it("between them the drop lies between that of an empty chamber and that of a full one", () => {
    const empty = answer({ "duty.back_pressure": "1.013 bar(a)" });
    const drop = (nominal: typeof plain, j: number) => nominal.flow?.drop_Pa[j] ?? Number.NaN;
    for (const j of [10, 20, 30, 40, 50]) {
      expect(drop(started, j)).toBeGreaterThanOrEqual(drop(plain, j));
      expect(drop(started, j)).toBeLessThanOrEqual(drop(empty, j) * (1 + 1e-9));
    }
  });
});

describe("breakaway ratios", () => {
  it("each friction has its own; left out it is the seats', and the list of defaults says so", () => {
    const own = answer({ "valve.packing.breakaway_ratio": "1.1", "valve.stem.collar_breakaway_ratio": "2" });
    expect(startOf(own, "packing") / startOf(plain, "packing")).toBeCloseTo(1.1 / 1.4, 12);
    expect(startOf(own, "stem-thrust") / startOf(plain, "stem-thrust")).toBeCloseTo(2 / 1.4, 12);
    expect(startOf(own, "seat-preload")).toBeCloseTo(startOf(plain, "seat-preload"), 12);
    const { defaults } = applyDefaults(dossierOf(petrel()));
    expect(defaults.find(({ field }) => field === "valve.packing.breakaway_ratio")?.value).toMatch(
      /^as valve\.seat\.breakaway_ratio, 1\.4/,
    );
    expect(defaults.some(({ field }) => field === "valve.bearing.breakaway_ratio")).toBe(false);
  });
  it("the collar's cold ratio acts by its share between ambient and 90 K", () => {
    const cold = answer({ "valve.stem.collar_cold_ratio": "1.5" });
    const share = (293.15 - 92) / (293.15 - 90);
    expect(startOf(cold, "stem-thrust") / startOf(plain, "stem-thrust")).toBeCloseTo(1 + 0.5 * share, 12);
  });
});

describe("a worm from rest", () => {
  const worm = {
    correlations: undefined,
    "drive.stages[1].name": "worm 10:1",
    "drive.stages[1].efficiency": "0.45",
  };
  const given = answer({ ...worm, "drive.stages[1].starting_efficiency": "0.45" });
  it("gives at standstill what its starting efficiency leaves: 0.7 of the running one unless declared (common practice, no source)", () => {
    const standstill = (nominal: typeof plain) => figure(nominal, "standstill-torque");
    expect(standstill(answer(worm)) / standstill(given)).toBeCloseTo(0.7, 4);
    const half = answer({ ...worm, "drive.stages[1].starting_efficiency": "0.225" });
    expect(standstill(half) / standstill(given)).toBeCloseTo(0.5, 9);
  });
  it("in motion it has its running efficiency: only the start changes the torque at the wanted speed", () => {
    const moving = (nominal: typeof plain) => nominal.drive?.atWantedSpeed_Nm ?? Number.NaN;
    expect(moving(answer(worm))).toBeCloseTo(moving(given), 12);
  });
  it("does not break away where the start's share is too small, though it would keep moving", () => {
    const breakaway = figure(given, "breakaway-torque");
    const share = (0.45 * 0.95 * breakaway) / figure(given, "standstill-torque");
    const stuck = answer({ ...worm, "drive.stages[1].starting_efficiency": `${share}` });
    expect(stuck.opening?.outcome).toBe("stalled");
    expect(stuck.opening?.stall?.lackingTorque_Nm).toBeCloseTo(0.05 * breakaway, 6);
  });
  it("a planetary stage of ordinary efficiency starts as it runs, and nothing is filled in", () => {
    const { defaults } = applyDefaults(dossierOf(petrel()));
    expect(defaults.some(({ field }) => field.endsWith("starting_efficiency"))).toBe(false);
  });
});

describe("a blocked outlet", () => {
  it("is at full pressure over the declared angle beyond the first opening; 2 deg is a named default", () => {
    const filled = dossierOf(petrel(), "pressurised-ambient").valve.valve?.equalising_angle;
    expect(filled).toMatchObject({ origin: "default", text: "2 deg" });
    const wide = answer({ "valve.equalising_angle": "20 deg" }, "pressurised-ambient");
    const narrow = answer({}, "pressurised-ambient");
    const running = (nominal: typeof plain, j: number) =>
      nominal.torque?.opening.lines.find(({ id }) => id === "seat-pressure")?.torque_Nm[j] ?? Number.NaN;
    // First opening of a quarter turn: 90 deg - 2 asin(32/52); 16.5 deg lie in the grid.
    const first = 90 - (2 * Math.asin(32 / 52) * 180) / Math.PI;
    expect(running(narrow, 11)).toBe(0);
    expect(running(wide, 11) / running(wide, 0)).toBeCloseTo(1 - (16.5 - first) / 20, 9);
  });
});

describe("a trunnion ball", () => {
  const trunnion: Changes = {
    "valve.support": "trunnion",
    "valve.seat.seal_diameter": "44 mm",
    "valve.bearing": { diameter: "20 mm", friction: "0.1" },
  };
  it("with seats of double piston effect carries the annulus twice: (pi/4)(44^2 - 38^2) mm2 each", () => {
    const single = answer(trunnion);
    const double = answer({ ...trunnion, "valve.seat.pressure_effect": "double piston" });
    expect(startOf(double, "seat-pressure") / startOf(single, "seat-pressure")).toBeCloseTo(2, 12);
  });
  it("has bearings with a breakaway and a cold ratio of their own", () => {
    const single = answer(trunnion);
    const own = answer({
      ...trunnion,
      "valve.bearing.breakaway_ratio": "1.05",
      "valve.bearing.cold_ratio": "2",
    });
    const share = (293.15 - 92) / (293.15 - 90);
    expect(startOf(own, "trunnion") / startOf(single, "trunnion")).toBeCloseTo(
      (1.05 / 1.4) * (1 + share),
      12,
    );
  });
});

describe("a dossier as it was", () => {
  it("without the new fields needs nothing new", () => {
    expect(planFor(dossierOf(petrel()), "duty").missing.motion).toEqual([]);
  });
});
