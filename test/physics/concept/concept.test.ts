import { describe, expect, it } from "vitest";
import {
  chargeMass,
  circle,
  domeThickness,
  fullLift,
  gasOfStroke,
  plateThickness,
  poleForce,
  poppetForce,
  releaseTime,
  shearWork,
  solenoidFor,
  sweptVolume,
} from "../../../src/physics/concept/index.js";
import type {
  Angle,
  Area,
  Density,
  Energy,
  Force,
  Length,
  Pressure,
  PressureDifference,
  Stress,
  Temperature,
  Torque,
  Volume,
} from "../../../src/quantity/index.js";
import { fluid, stateAtPressureTemperature } from "../../../src/substance/index.js";

const material = { fluxDensity: 1.2, ironShare: 0.2, currentDensity: 6e6, fill: 0.6 };

describe("a solenoid", () => {
  it("pulls 39.8 N for each square centimetre at one tesla, the rule of every book on machines [fitzgerald-kingsley-umans-2003]", () => {
    expect(poleForce(1, 1e-4 as Area)).toBeCloseTo(39.79, 2);
    expect(poleForce(2, 1e-4 as Area) / poleForce(1, 1e-4 as Area)).toBeCloseTo(4, 12);
  });

  it("sized for a force has the pole that gives it, and the ampere-turns of its gap", () => {
    const made = solenoidFor(2000 as Force, 0.008 as Length, material);
    expect(poleForce(material.fluxDensity, made.poleArea)).toBeCloseTo(2000, 8);
    // 1 mm of air at 1 T takes 796 ampere-turns: B g/mu_0.
    const oneMillimetre = solenoidFor(2000 as Force, 0.001 as Length, {
      ...material,
      fluxDensity: 1,
      ironShare: 0,
    });
    expect(oneMillimetre.ampereTurns).toBeCloseTo(795.8, 1);
  });

  it("takes the power that its copper turns to heat: current density squared by resistivity by volume", () => {
    const made = solenoidFor(2000 as Force, 0.008 as Length, material);
    const thickness = Math.sqrt(made.ampereTurns / (6e6 * 0.6) / 3);
    const copper = (made.ampereTurns / 6e6) * Math.PI * (made.poleDiameter + thickness);
    expect(made.power / (1.72e-8 * 6e6 ** 2 * copper)).toBeCloseTo(1, 10);
    expect(made.mass).toBeGreaterThan(8960 * copper);
  });
});

describe("a poppet", () => {
  it("is held by the pressure on its seat and lifts a quarter of its diameter for its own area", () => {
    expect(poppetForce(27e5 as PressureDifference, 0.032 as Length, 100 as Force)).toBeCloseTo(
      27e5 * 8.0425e-4 + 100,
      0,
    );
    const lift = fullLift(0.032 as Length);
    expect(Math.PI * 0.032 * lift).toBeCloseTo(circle(0.032 as Length), 15);
  });

  it("is free once its volume has gone through the pilot: water at 10 bar leaves at 44.7 m/s (Torricelli)", () => {
    const time = releaseTime(1e-5 as Volume, 0.002 as Length, 1, 1e6 as PressureDifference, 1000 as Density);
    expect(1e-5 / (time * circle(0.002 as Length))).toBeCloseTo(44.72, 2);
  });
});

describe("a pneumatic actuator", () => {
  it("sweeps the volume whose work at its pressure turns the valve", () => {
    const volume = sweptVolume(30 as Torque, (Math.PI / 2) as Angle, 6e5 as PressureDifference, 0.8);
    expect(0.8 * 6e5 * volume).toBeCloseTo((30 * Math.PI) / 2, 10);
  });

  it("takes gas as the equation of state of nitrogen has it, within half a percent at 7 bar", () => {
    const nitrogen = fluid("nitrogen");
    const mass = gasOfStroke(
      1e-3 as Volume,
      7e5 as Pressure,
      nitrogen.specificGasConstant,
      293.15 as Temperature,
      1,
    );
    const real = stateAtPressureTemperature(nitrogen, 7e5 as Pressure, 293.15 as Temperature).rho * 1e-3;
    expect(Math.abs(mass / real - 1)).toBeLessThan(0.005);
  });
});

describe("a closure that opens once", () => {
  it("as a dome bursts where the stress of a thin sphere, p d/(4 t), is the ultimate strength [roark-2002, table 13]", () => {
    const t = domeThickness(35e5 as Pressure, 0.032 as Length, 550e6 as Stress);
    expect((35e5 * 0.032) / (4 * t)).toBeCloseTo(550e6, 0);
  });

  it("as a clamped plate bears 3 p r^2/(4 t^2) at its edge [roark-2002, table 11]", () => {
    const t = plateThickness(27e5 as Pressure, 0.032 as Length, 200e6 as Stress);
    expect((3 * 27e5 * 0.016 ** 2) / (4 * t ** 2)).toBeCloseTo(200e6, 0);
  });

  it("takes the work of its shear, and a charge whose share of force is that work", () => {
    const work = shearWork(0.032 as Length, 0.0016 as Length, 400e6 as Stress);
    expect(work).toBeCloseTo(Math.PI * 0.032 * 0.0016 * 400e6 * 0.0016, 10);
    expect(0.1 * 1e6 * chargeMass(work as Energy, 0.1, 1e6)).toBeCloseTo(work, 10);
  });
});
