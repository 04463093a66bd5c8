/** What an oxidiser does in a valve: which conditions count, and the small band against states anew. */
import { describe, expect, it } from "vitest";
import { compressionTemperature, fastestJet } from "../../src/physics/oxygen/index.js";
import { oxygenOf } from "../../src/predict/oxygen.js";
import { type Pressure, type Temperature, zeroCelsius } from "../../src/quantity/index.js";
import { fluid, stateAtPressureTemperature } from "../../src/substance/index.js";
import type { Section } from "./randomValve.js";
import { dossierOf, having, petrel } from "./valveFile.js";

const options = { seed: 1, samples: 200, least: 200 };
const answerOf = (changes: Readonly<Record<string, unknown>> = {}, caseId = "duty") =>
  oxygenOf(dossierOf(having(petrel(), changes), caseId), caseId, options);
const oxygen = fluid("oxygen");
const bar = 1e5;

describe("the samples follow the equation of state", () => {
  it("of compressed gas, at the ends of what is declared: within 0.3 K", () => {
    const { compression } = answerOf({
      "oxygen.compression.initial_temperature": { from: "0 degC", to: "40 degC" },
      "oxygen.compression.initial_pressure": "1 bar(a)",
      "oxygen.compression.final_pressure": { from: "24 bar(a)", to: "32 bar(a)" },
    });
    const exact = (celsius: number, p: number) =>
      compressionTemperature(
        oxygen,
        bar as Pressure,
        (celsius + zeroCelsius.value) as Temperature,
        (p * bar) as Pressure,
      );
    const samples = compression.figures.samples.compressed ?? new Float64Array(0);
    expect(samples.length).toBe(200);
    // The nominal state is the middle; the ends are approached and never passed.
    expect(compression.figures.nominal.compressed).toBeCloseTo(exact(20, 28), 6);
    expect(Math.max(...samples)).toBeLessThan(exact(40, 32) + 0.3);
    expect(Math.min(...samples)).toBeGreaterThan(exact(0, 24) - 0.3);
    expect(Math.max(...samples) - Math.min(...samples)).toBeGreaterThan(0.9 * (exact(40, 32) - exact(0, 24)));
  });

  it("of gas at the start and of liquid that flashes, at the nominal values exactly", () => {
    const { jets, flashedShare } = answerOf({ "oxygen.start_gas.temperature": "290 K" });
    const jet = (T: number) =>
      fastestJet(
        oxygen,
        stateAtPressureTemperature(oxygen, (28 * bar) as Pressure, T as Temperature),
        (1.013 * bar) as Pressure,
      );
    expect(jets.figures.nominal.gas).toBeCloseTo(jet(290).speed, 6);
    expect(jets.figures.nominal.flash).toBeCloseTo(jet(91).speed, 6);
    expect(flashedShare).toBeCloseTo(jet(91).gas, 9);
  });
});

describe("which conditions count", () => {
  it("those with the largest drop at the start, whichever case is asked for", () => {
    for (const caseId of ["duty", "start-oxygen", "nitrogen"]) {
      const { service } = answerOf({}, caseId);
      expect(service).toMatchObject({ kind: "oxidiser", caseId: "start-oxygen", name: "oxygen" });
      expect(service.kind === "oxidiser" && service.isAsked).toBe(caseId !== "nitrogen");
    }
  });

  it("one without its pressures comes first: it could be the hardest", () => {
    const { service, jets } = answerOf({ "duty.supply_pressure": undefined });
    expect(service).toMatchObject({ caseId: "duty" });
    expect(jets.missing.flash).toContain("duty.supply_pressure");
    expect(jets.missing.pressure).toContain("duty.supply_pressure");
  });

  it("none where neither duty nor a case has an oxidiser, and not known where nobody says what flows", () => {
    const inert = (data: Section) =>
      having(data, {
        "duty.fluid": "water",
        "duty.fluid_temperature": "20 degC",
        "cases[0].fluid": "water",
        "cases[0].fluid_temperature": "20 degC",
      });
    const of = (data: Section) => oxygenOf(dossierOf(data), "duty", options).service;
    expect(of(inert(petrel()))).toEqual({ kind: "none", fluids: ["water", "nitrogen"] });
    expect(of(having(inert(petrel()), { "duty.fluid": undefined }))).toEqual({
      kind: "unknown",
      missing: ["duty.fluid"],
    });
  });
});

describe("contacts", () => {
  it("of the stem's collar on paper: (p - p_atm) pi d^2/4 over the ring of 22 on 14.5 mm", () => {
    const { contacts } = answerOf({
      "oxygen.parts[3].contact": "stem collar",
      "oxygen.parts[3].contact_pressure": undefined,
      "oxygen.parts[3].rubbing_radius": undefined,
    });
    const expected = ((28 - 1.013) * bar * 0.014 ** 2) / (0.022 ** 2 - 0.0145 ** 2);
    expect(contacts[3]?.missing).toEqual([]);
    expect(contacts[3]?.pressure_Pa).toBeCloseTo(expected, 0);
    expect(contacts[3]?.radius_m).toBeCloseTo(0.011, 9);
  });

  it("of a bush are declared, and one without a declared pressure says so", () => {
    const { contacts } = answerOf({ "oxygen.parts[3].contact_pressure": undefined });
    expect(contacts[3]?.missing).toEqual(["oxygen.parts[3].contact_pressure"]);
    expect(contacts[1]?.missing).toEqual(["oxygen.parts[1].contact"]);
  });

  it("of a trunnion ball on its seats is declared", () => {
    const { contacts } = answerOf({ "valve.support": "trunnion" });
    expect(contacts[0]?.missing).toContain("oxygen.parts[0].contact_pressure");
  });
});
