/** Temperatures of gearbox and motor that follow from the extension where a case leaves them open. */
import { describe, expect, it } from "vitest";
import { applyDefaults, type Dossier, readDossier } from "../../src/dossier/index.js";
import { heatOf } from "../../src/predict/heat.js";

const extension = `
    extension:
      orientation: vertical
      length: 120 mm +/- 2 mm
      tube_material: stainless-316
      tube_outer_diameter: 27 mm
      tube_wall: 2 mm
      stem_material: stainless-316
      stem_diameter: 14 mm
      surface: bare
      frost: { thickness: 2 mm, conductivity: { from: 0.08 W/(m K), to: 0.12 W/(m K) } }
      emissivity: { from: 0.7, to: 0.9 }
      ambient_temperature: 15 degC +/- 3 K
      dew_point: 5 degC +/- 1 K
      air_speed: 0 m/s
      gearbox: { area: 0.03 m2 +/- 5 %, diameter: 60 mm, heat_capacity: 900 J/K }
      motor: { to_gearbox: 0.8 K/W }`;
const file = (conditions: string, more = "") => `
duty: { ambient_pressure: 1.013 bar(a), ${conditions} }
cases:
  - { id: warm, valve_temperature: 15 degC }
  - { id: cold, valve_temperature: 92 K, motor_temperature: 20 degC }
drive:
  motor: { case_to_ambient: 5 K/W, case_heat_capacity: 180 J/K, winding_heat_capacity: 20 J/K }
valve:
  cold:${extension}${more}
`;
const read = (text: string): Dossier => readDossier({ valve: { path: "valve.yaml", text } }).dossier;
const cold = "valve_temperature: 92 K";

describe("the drive's temperatures", () => {
  it("are those of the extension, with reason, origin and spread", () => {
    const { dossier, defaults } = applyDefaults(read(file(cold)));
    const { gearbox_temperature: gearbox, motor_temperature: motor } = dossier.valve.duty ?? {};
    const answer = heatOf(dossier, "duty", { seed: 1, samples: 0 }).extension.figures.nominal;
    expect(gearbox?.value).toBeCloseTo(answer.gearbox ?? 0, 1);
    expect(motor?.value).toBeCloseTo(answer.motor ?? 0, 1);
    expect(gearbox?.value).toBeLessThan(motor?.value ?? 0);
    expect(gearbox?.origin).toBe("default");
    const used = defaults.find(({ field }) => field === "duty.gearbox_temperature");
    expect(used?.reason).toContain("valve.cold.extension");
    expect(used?.references[0]).toContain("nist-cryogenics-2010");
  });

  it("spread as the samples of the answer do, to first order", () => {
    const { dossier } = applyDefaults(read(file(cold)));
    const law = dossier.valve.duty?.gearbox_temperature?.law;
    const deviation = law?.kind === "normal" ? law.deviation : Number.NaN;
    const samples = heatOf(dossier, "duty", { seed: 3, samples: 64, least: 64 }).extension.figures.samples
      .gearbox;
    const values = Array.from(samples ?? []);
    const mean = values.reduce((sum, T) => sum + T, 0) / values.length;
    const sampled = Math.sqrt(values.reduce((sum, T) => sum + (T - mean) ** 2, 0) / (values.length - 1));
    // 64 samples know their deviation to 9 %; two of these.
    expect(Math.abs(deviation / sampled - 1)).toBeLessThan(0.18);
  });

  it("of each case follow its own valve; those that are declared stay", () => {
    const warm = applyDefaults(read(file(cold)), "warm").dossier.valve.cases?.[0];
    // A tenth of a kelvin is what is printed.
    expect(Math.abs((warm?.gearbox_temperature?.value ?? 0) - 288.15)).toBeLessThan(0.1);
    const { dossier, defaults } = applyDefaults(read(file(cold)), "cold");
    const made = dossier.valve.cases?.[1];
    expect(made?.motor_temperature?.value).toBe(293.15);
    expect(made?.gearbox_temperature?.value).toBeLessThan(287);
    expect(defaults.map(({ field }) => field)).toContain("cases[1].gearbox_temperature");
    expect(defaults.map(({ field }) => field)).not.toContain("cases[1].motor_temperature");
    expect(dossier.valve.duty?.gearbox_temperature).toBeUndefined();
  });

  it("fall with the dwell where the time in the cold is declared", () => {
    const standing = (dwell: string) => {
      const text = file(`${cold}, dwell: ${dwell}`, "\n      cold_before_dwell: 2 min");
      return applyDefaults(read(text)).dossier.valve.duty?.gearbox_temperature?.value ?? Number.NaN;
    };
    const [soon, later, late] = [standing("1 min"), standing("20 min"), standing("20 h")];
    expect(soon).toBeGreaterThan(later);
    expect(later).toBeGreaterThan(late);
  });
});

describe("nothing stands in for them", () => {
  const filled = (text: string) => applyDefaults(read(text)).defaults.map(({ field }) => field);

  it.each([
    [
      "a faulty temperature of the gearbox",
      file(`${cold}, gearbox_temperature: 5 J`),
      "duty.gearbox_temperature",
    ],
    [
      "a field of the extension that is missing",
      file(cold).replace(/ +air_speed: .*\n/, ""),
      "duty.gearbox_temperature",
    ],
    ["an optional field with a fault", file(cold, "\n      heater: 5 kg"), "duty.gearbox_temperature"],
    [
      "a dwell that is missing where it counts",
      file(cold, "\n      cold_before_dwell: 2 min"),
      "duty.gearbox_temperature",
    ],
    ["a valve whose temperature nobody gave", file("dwell: 1 min"), "duty.motor_temperature"],
    ["a valve beyond the data of its solids", file("valve_temperature: 380 K"), "duty.motor_temperature"],
    [
      "a stem that fills its tube",
      file(cold).replace("tube_wall: 2 mm", "tube_wall: 7 mm"),
      "duty.motor_temperature",
    ],
  ])("where there is %s", (_, text, path) => {
    expect(filled(text)).not.toContain(path);
  });
});
