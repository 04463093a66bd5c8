import { describe, expect, it } from "vitest";
import { Refusal } from "../../../src/fault/index.js";
import {
  availableMotorTorque,
  runUpConstants,
  standstillCurrent,
  torqueConstantAt,
  windingLawRange,
  windingReference,
  windingResistance,
} from "../../../src/physics/drive/index.js";
import {
  type AngularDamping,
  type AngularSpeed,
  type Current,
  type Inertia,
  parseQuantity,
  type Resistance,
  type Temperature,
  type Torque,
  type TorqueConstant,
  type Voltage,
} from "../../../src/quantity/index.js";
import reference from "../../reference/mechanics-drive.json" with { type: "json" };

const off = (x: number, expected: number) => Math.abs(x / expected - 1);

describe("winding resistance", () => {
  const { R20, rows, tolerance } = reference.winding;
  it.each(rows)(
    "IEC 60028, 0.40 ohm at 20 degC: $resistance ohm at $temperature",
    ({ temperature, resistance }) => {
      const T = parseQuantity(temperature, "temperature") as Temperature;
      expect(off(windingResistance(R20 as Resistance, T), resistance)).toBeLessThan(tolerance.relative);
    },
  );

  const { copper } = reference;
  const ratioAt = (T: number) => windingResistance(1 as Resistance, T as Temperature);
  it.each(copper.rows)("Matula 1979, resistivity of copper at $temperature_K K, within 3 %", (row) => {
    const expected = row["resistivity_1e-8_ohm_m"] / copper["reference_1e-8_ohm_m"];
    const found = ratioAt(row.temperature_K) / ratioAt(copper.reference_K);
    expect(row.temperature_K).toBeGreaterThan(windingLawRange.low);
    expect(row.temperature_K).toBeLessThan(windingLawRange.high);
    expect(off(found, expected)).toBeLessThan(copper.tolerance.relative);
  });
  it("Matula 1979: at 77 K, outside its range, the line lies a sixth to a quarter too high", () => {
    const found = ratioAt(copper.cold.temperature_K);
    expect(found / copper.cold.highest - 1).toBeGreaterThan(0.15);
    expect(found / copper.cold.lowest - 1).toBeLessThan(0.27);
  });
  it("refuses temperatures at which the line has no resistance left, and what is no number", () => {
    for (const T of [38, 4, Number.NaN])
      expect(() => windingResistance(1 as Resistance, T as Temperature)).toThrow(Refusal);
    expect(ratioAt(39)).toBeGreaterThan(0);
  });
});

describe("motor", () => {
  const supply = {
    openCircuitVoltage: 24 as Voltage,
    totalResistance: 0.8 as Resistance,
    currentLimit: Number.POSITIVE_INFINITY as Current,
    torqueConstant: 0.04 as TorqueConstant,
    frictionTorque: 0 as Torque,
    damping: 0 as AngularDamping,
  };
  it("gives k V/R at standstill and nothing at V/k; most power, V^2/(4 R), at half that speed (textbook)", () => {
    expect(availableMotorTorque(supply, 0 as AngularSpeed)).toBeCloseTo((0.04 * 24) / 0.8, 12);
    expect(availableMotorTorque(supply, 600 as AngularSpeed)).toBeCloseTo(0, 12);
    const power = (w: number) => availableMotorTorque(supply, w as AngularSpeed) * w;
    expect(power(300)).toBeCloseTo((24 * 24) / (4 * 0.8), 9);
    expect(power(290)).toBeLessThan(power(300));
    expect(power(310)).toBeLessThan(power(300));
  });
  it("is held to the limit of its driver, and loses its own friction", () => {
    const limited = {
      ...supply,
      currentLimit: 10 as Current,
      frictionTorque: 0.01 as Torque,
      damping: 1e-5 as AngularDamping,
    };
    expect(availableMotorTorque(limited, 100 as AngularSpeed)).toBeCloseTo(0.4 - 0.01 - 1e-3, 12);
    expect(standstillCurrent(24 as Voltage, 0.8 as Resistance, 10 as Current)).toBe(10);
    expect(standstillCurrent(24 as Voltage, 0.8 as Resistance, Number.POSITIVE_INFINITY as Current)).toBe(30);
  });
  it("loses a tenth of its constant 100 K above 20 degC with -0.1 %/K", () => {
    const hot = (windingReference + 100) as Temperature;
    expect(torqueConstantAt(0.04 as TorqueConstant, -0.001, hot)).toBeCloseTo(0.036, 12);
  });
  it("runs up as the closed form says: 375 rad/s with 8.3333 ms (textbook)", () => {
    const row = reference["open-time-closed-form"];
    const { speed, timeConstant } = runUpConstants({
      stallTorque: row.stallTorque as Torque,
      noLoadSpeed: row.noLoadSpeed as AngularSpeed,
      loadTorque: row.loadTorque as Torque,
      inertia: row.inertia as Inertia,
    });
    expect(speed).toBeCloseTo(row.speed, 9);
    expect(off(timeConstant, row.timeConstant)).toBeLessThan(1e-6);
  });
});
