/** Twelve hidden truths, each with one guilty cause, and two that no input of the file describes. */
import type { HiddenTruth } from "./generator.js";

export interface HiddenCase {
  readonly name: string;
  readonly truth: HiddenTruth;
  /** Paths that name the cause; several where the file has it in several places. */
  readonly guilty: readonly string[];
}

export const hiddenCases: readonly HiddenCase[] = [
  {
    name: "seat friction too high",
    truth: { caseId: "pressurised", values: { "valve.seat.friction": 0.15 } },
    guilty: ["valve.seat.friction"],
  },
  {
    name: "preload lost by cold",
    truth: { caseId: "cold-dry", values: { "valve.seat.preload_cold_ratio": 0.4 } },
    guilty: ["valve.seat.preload_cold_ratio"],
  },
  {
    name: "gearbox efficiency",
    truth: { caseId: "pressurised", values: { "drive.stages[1].efficiency": 0.66 } },
    guilty: ["drive.stages[1].efficiency", "drive.stages[0].efficiency"],
  },
  {
    name: "gearbox no-load torque in the cold",
    truth: {
      caseId: "cold-box",
      values: { "drive.stages[0].no_load_cold_ratio": 18, "drive.stages[1].no_load_cold_ratio": 18 },
    },
    guilty: ["drive.stages[0].no_load_cold_ratio", "drive.stages[1].no_load_cold_ratio"],
  },
  {
    name: "motor torque constant",
    truth: { caseId: "dry", values: { "drive.motor.torque_constant": 0.0475 } },
    guilty: ["drive.motor.torque_constant"],
  },
  {
    name: "supply sag",
    truth: { caseId: "pressurised", values: { "drive.supply.resistance": 0.5 } },
    guilty: ["drive.supply.resistance", "drive.supply.cable_resistance"],
  },
  {
    name: "current limit set lower than believed",
    truth: { caseId: "pressurised", values: { "drive.driver.current_limit": 8 } },
    guilty: ["granted.current_limit_share"],
  },
  {
    name: "inertia forgotten",
    truth: { caseId: "dry", values: { "drive.motor.inertia": 2e-5 } },
    guilty: ["granted.further_inertia", "drive.motor.inertia"],
  },
  {
    name: "valve not under the pressure believed",
    truth: { caseId: "pressurised", values: { "cases[1].supply_pressure": 2e5 } },
    guilty: ["granted.pressure_share", "cases[1].supply_pressure"],
  },
  {
    name: "late command",
    truth: { caseId: "dry", commandDelay_s: 0.045 },
    guilty: ["granted.command_delay"],
  },
  {
    name: "slow angle sensor",
    truth: { caseId: "dry", angleLag_s: 0.025 },
    guilty: ["granted.angle_lag"],
  },
  {
    name: "hydrodynamic torque of wrong sense",
    truth: { caseId: "flowing", values: { "valve.hydrodynamic.scale": -1 } },
    guilty: ["granted.stream_torque", "valve.hydrodynamic.scale"],
  },
];

/** A hump of friction over a few degrees of the travel. */
const hump = (at: number, width: number, height: number) => (share: number) =>
  1 + height * Math.exp(-(((share - at) / width) ** 2));

export const unexplainedCases: readonly { readonly name: string; readonly truth: HiddenTruth }[] = [
  {
    name: "an obstruction in the middle of the travel",
    truth: { caseId: "pressurised", obstruction: hump(0.55, 0.06, 3) },
  },
  {
    name: "a seat that grips twice",
    truth: { caseId: "dry", obstruction: (s) => hump(0.3, 0.05, 4)(s) + hump(0.75, 0.05, 4)(s) - 1 },
  },
];
