/**
 * Liquids that are known by correlations only: density, vapour pressure, viscosity, conductivity,
 * specific heat and surface tension. They have no gas, no two-phase state and no enthalpy.
 *
 *   rho(p, T) = rho_boiling(T) exp(kappa (p - p_v(T))),   rho_boiling = M C1 / C2^(1 + (1 - T/C3)^C4)
 *   p_v, eta  = exp(C1 + C2/T + C3 ln T + C4 T^C5)
 *
 * Source  forms and coefficients of the data files, [perry-2008, tables 2-8, 2-32, 2-153, 2-313, 2-315]
 */
import propanol from "../../data/liquids/2-propanol.json" with { type: "json" };
import { refuse } from "../fault/index.js";
import {
  type Density,
  formatQuantity,
  type Pressure,
  type Temperature,
  type Viscosity,
} from "../quantity/index.js";
import type { ExponentialData, LiquidFile } from "./liquidFile.js";

/** To add a liquid: its file in data/liquids/ and its line here. */
const files = [propanol] as readonly unknown[] as readonly LiquidFile[];

/** Names of the liquids that have no equation of state. */
export const liquidNames: readonly string[] = files.map(({ id }) => id);

/** A liquid known by correlations, with what its users ask of it. */
export interface CorrelatedLiquid {
  readonly file: LiquidFile;
  /** Density [kg/m3]. Refuses what is not this liquid within its range, with the bound. */
  readonly density: (p: Pressure, T: Temperature) => Density;
  /** Refuses a temperature outside the range. */
  readonly vapourPressure: (T: Temperature) => Pressure;
  /** Of the boiling liquid [Pa s]. Refuses a temperature outside the range of the correlation. */
  readonly viscosity: (T: Temperature) => Viscosity;
}

/** The liquid of a name or alias, whatever its case; undefined where none has it. */
export function correlatedLiquid(name: string): CorrelatedLiquid | undefined {
  const wanted = name.trim().toLowerCase();
  const file = files.find(({ id, name: full, aliases }) =>
    [id, full, ...aliases].some((known) => known.toLowerCase() === wanted),
  );
  return file === undefined ? undefined : liquidOf(file);
}

/** The functions of a data file. */
export function liquidOf(file: LiquidFile): CorrelatedLiquid {
  const vapourPressure = (T: Temperature): Pressure => {
    requireRange(file, T, file.validity.T_max_K);
    return exponential(file.vapour_pressure, T) as Pressure;
  };
  return {
    file,
    vapourPressure,
    density: (p, T) => {
      const boiling = vapourPressure(T);
      requireLiquid(file, p, T, boiling);
      const { low_1_Pa, high_1_Pa } = file.compressibility;
      return (boilingDensity(file, T) * Math.exp(((low_1_Pa + high_1_Pa) / 2) * (p - boiling))) as Density;
    },
    viscosity: (T) => {
      requireRange(file, T, file.viscosity.T_max_K);
      return exponential(file.viscosity, T) as Viscosity;
    },
  };
}

function boilingDensity(
  { density: { C1_mol_m3, C2, C3_K, C4 }, molar_mass_kg_mol }: LiquidFile,
  T: number,
): number {
  return (molar_mass_kg_mol * C1_mol_m3) / C2 ** (1 + (1 - T / C3_K) ** C4);
}

function exponential({ C1, C2, C3, C4, C5 }: ExponentialData, T: number): number {
  return Math.exp(C1 + C2 / T + C3 * Math.log(T) + C4 * T ** C5);
}

function requireRange({ id, validity, melting_point_K }: LiquidFile, T: number, TMax: number): void {
  if (T >= validity.T_min_K && T <= TMax) return;
  const kelvin = (value: number) => formatQuantity(value, "temperature");
  const where =
    T < validity.T_min_K ? `it freezes at ${kelvin(melting_point_K)}` : "hotter than its correlation";
  refuse(
    "liquid-out-of-range",
    `${id} at ${Number.isFinite(T) ? kelvin(T) : T}: ${where}`,
    `It is known as a liquid from ${kelvin(validity.T_min_K)} to ${kelvin(TMax)}; there is no equation of state for it on file.`,
    "Choose a temperature in that range.",
  );
}

function requireLiquid({ id, validity }: LiquidFile, p: number, T: number, boiling: number): void {
  const bar = (value: number) => formatQuantity(value, "pressure");
  const state = `${id} at ${Number.isFinite(p) ? bar(p) : p} and ${formatQuantity(T, "temperature")}`;
  if (!(p >= boiling)) {
    refuse(
      "not-liquid",
      `liquid ${state}: a gas, below its vapour pressure of ${bar(boiling)}`,
      `${id} is known as a liquid only, above its vapour pressure.`,
      "Raise the pressure or lower the temperature.",
    );
  }
  if (p > validity.p_max_Pa) {
    refuse(
      "liquid-out-of-range",
      `${state}: above ${bar(validity.p_max_Pa)}`,
      "Its density under pressure rests on one compressibility, which is not trusted beyond.",
      "Lower the pressure.",
    );
  }
}
