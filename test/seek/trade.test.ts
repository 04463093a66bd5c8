import { describe, expect, it } from "vitest";
import { stringify } from "yaml";
import { readDossier } from "../../src/dossier/index.js";
import { tradeOf } from "../../src/seek/index.js";
import { having, petrel } from "../predict/valveFile.js";

const declared = (changes: Readonly<Record<string, unknown>> = {}) =>
  readDossier({ valve: { path: "valve.yaml", text: stringify(having(petrel(), changes)) } }).dossier;
const trade = (changes: Readonly<Record<string, unknown>> = {}) => tradeOf(declared(changes), "duty");
const concept = (id: string, changes: Readonly<Record<string, unknown>> = {}) => {
  const found = trade(changes).concepts.find((each) => each.id === id);
  if (found === undefined) throw new Error(`no concept ${id}`);
  return found;
};

describe("the trade of concepts", () => {
  it("answers why not a solenoid: force of the closed poppet by hand", () => {
    // 28 bar(a) tank, 1.013 bar(a) behind the closed valve, bore 32 mm.
    const force = (28e5 - 1.013e5) * (Math.PI / 4) * 0.032 ** 2;
    const { opening, power, mass } = concept("solenoid");
    expect(opening.value).toBeCloseTo(force, 6);
    // More than a hundred watts and more than the whole drive weighs: by the same equations as in test/physics/concept.
    expect(power?.value).toBeGreaterThan(100);
    expect(mass.value).toBeGreaterThan(concept("motor").mass.value ?? Number.NaN);
  });

  it("sizes the pneumatic actuator by the high end of the breakaway torque, with its margin", () => {
    const torque = concept("motor").opening.value ?? Number.NaN;
    expect(torque).toBeGreaterThan(10);
    expect(concept("pneumatic").opening.value).toBeCloseTo(1.5 * torque, 10);
    expect(concept("pneumatic", { "trade.torque_margin": "0" }).opening.value).toBeCloseTo(torque, 10);
  });

  it("says what of the duty a concept cannot do", () => {
    expect(concept("motor").against).toEqual([]);
    expect(concept("solenoid").against).toEqual(["the duty throttles"]);
    expect(concept("disc").against.join()).toMatch(/command.*throttles.*abort.*400 openings/);
    expect(concept("solenoid", { "duty.throttle": undefined }).against).toEqual([]);
    expect(concept("piloted", { "duty.largest_valve_drop": "0.2 bar" }).against.join()).toMatch(/drop/);
  });

  it("says of each input whether it is declared or a usual value, and why", () => {
    const { inputs } = trade({ "trade.flux_density": "0.9" });
    expect(inputs.find(({ name }) => name === "flux_density")).toMatchObject({
      value: 0.9,
      origin: "declared",
    });
    for (const { origin, because, reference } of inputs)
      if (origin === "default")
        expect([because.length > 10, (reference ?? "").length > 3]).toEqual([true, true]);
  });

  it.each([
    ["valve.bore", ["solenoid", "charge"]],
    ["duty.supply_pressure", ["solenoid", "piloted", "disc", "charge"]],
    ["valve.seat_contact_diameter", ["pneumatic", "motor"]],
    ["drive.motor.build", []],
  ])("without %s no number stands in: not known, and it says what it needs", (path, ids) => {
    const { concepts } = trade({ [path]: undefined });
    for (const id of ids) {
      const found = concepts.find((each) => each.id === id);
      expect(found?.opening.value).toBeNull();
      expect(found?.needs.length).toBeGreaterThan(0);
    }
    if (path === "drive.motor.build") expect(concepts[0]?.mass.value).toBeNull();
  });

  it("a field with a fault is not known: no usual value takes its place", () => {
    expect(concept("solenoid", { "trade.flux_density": "much" }).power?.value).toBeNull();
  });
});
