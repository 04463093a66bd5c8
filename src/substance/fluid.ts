/** The fluids: one record for each data file, found by its name or an alias. */
import ethanol from "../../data/fluids/ethanol.json" with { type: "json" };
import helium from "../../data/fluids/helium.json" with { type: "json" };
import methane from "../../data/fluids/methane.json" with { type: "json" };
import nDodecane from "../../data/fluids/n-dodecane.json" with { type: "json" };
import nitrogen from "../../data/fluids/nitrogen.json" with { type: "json" };
import nitrousOxide from "../../data/fluids/nitrous-oxide.json" with { type: "json" };
import oxygen from "../../data/fluids/oxygen.json" with { type: "json" };
import parahydrogen from "../../data/fluids/parahydrogen.json" with { type: "json" };
import propane from "../../data/fluids/propane.json" with { type: "json" };
import water from "../../data/fluids/water.json" with { type: "json" };
import { nearName, refuse } from "../fault/index.js";
import type { Density, Pressure, Temperature } from "../quantity/index.js";
import type { FluidFile } from "./fluidFile.js";
import { packResidual, type ResidualTerms } from "./residual.js";

/**
 * To add a fluid: its file in data/fluids/ and its line here; reference rows in test/reference/fluids/.
 * The tests read every file through its schema; at each start that would cost a tenth of a second.
 */
const files = [
  oxygen,
  nitrogen,
  methane,
  ethanol,
  propane,
  water,
  nitrousOxide,
  helium,
  nDodecane,
  parahydrogen,
] as readonly unknown[] as readonly FluidFile[];

/** A pure fluid with its equation of state, on a mass basis. */
export interface Fluid {
  /** Name in dossiers: "oxygen". */
  readonly id: string;
  /** Name as printed: "Oxygen". */
  readonly name: string;
  readonly formula: string;
  readonly aliases: readonly string[];
  /** Its part in a fire: an oxidiser feeds one, a fuel burns in air, an inert fluid does neither. */
  readonly reaction: "oxidiser" | "fuel" | "inert";
  /** [kg/mol]. */
  readonly molarMass: number;
  /** Gas constant of the equation of state over the molar mass [J/(kg K)]. */
  readonly specificGasConstant: number;
  readonly critical: { readonly T: Temperature; readonly p: Pressure; readonly rho: Density };
  /** Triple point with the densities of liquid and vapour. */
  readonly triple: {
    readonly T: Temperature;
    readonly p: Pressure;
    readonly rhoLiquid: Density;
    readonly rhoVapour: Density;
    /** "triple-point", or what else the lower end of the boiling line is: helium's is the lambda point. */
    readonly called: string;
  };
  /** Published range of the equation of state. */
  readonly validity: { readonly TMin: Temperature; readonly TMax: Temperature; readonly pMax: Pressure };
  /** Limits of use with a notice; beyond them the equation is not evaluated. */
  readonly extrapolation: { readonly TMax: Temperature; readonly pMax: Pressure };
  /** Stated uncertainty of the equation of state, in words. */
  readonly uncertainty: string;
  /** Keys into data/references.json. */
  readonly sources: readonly string[];
  /** Reducing temperature [K] and density [kg/m3] of the equation. */
  readonly reducing: { readonly T: number; readonly rho: number };
  readonly residual: ResidualTerms;
  readonly file: FluidFile;
}

const fluids: readonly Fluid[] = files.map(fluidOf);

/** Names of all fluids, in the order of the list. */
export const fluidNames: readonly string[] = fluids.map((each) => each.id);

/**
 * The fluid of a name or alias ("oxygen", "LOX", "O2"), whatever its case.
 * Refuses a name that is not in the list, with the nearest one that is.
 */
export function fluid(name: string): Fluid {
  const wanted = name.trim().toLowerCase();
  const found = fluids.find((each) =>
    [each.id, each.name, ...each.aliases].some((known) => known.toLowerCase() === wanted),
  );
  if (found !== undefined) return found;
  const known = fluids.flatMap((each) => [each.id, ...each.aliases]);
  return refuse(
    "unknown-fluid",
    `"${name}" is not a fluid on file`,
    `Fluids on file: ${fluidNames.join(", ")}.`,
    "Write one of these names, or add the fluid as a data file.",
    nearName(name, known),
  );
}

/** True where a name is that of a fluid on file. */
export function isFluidName(name: string): boolean {
  const wanted = name.trim().toLowerCase();
  return fluids.some((each) =>
    [each.id, each.name, ...each.aliases].some((known) => known.toLowerCase() === wanted),
  );
}

/** The fluid of a data file: molar values become those of a kilogram. */
export function fluidOf(file: FluidFile): Fluid {
  const M = file.molar_mass_kg_mol;
  const { equation_of_state: equation, critical_point, triple_point, validity, extrapolation } = file;
  return {
    id: file.id,
    name: file.name,
    formula: file.formula,
    aliases: file.aliases,
    reaction: file.reaction,
    molarMass: M,
    specificGasConstant: file.gas_constant_J_mol_K / M,
    critical: {
      T: critical_point.T_K as Temperature,
      p: critical_point.p_Pa as Pressure,
      rho: (critical_point.rho_mol_m3 * M) as Density,
    },
    triple: {
      T: triple_point.T_K as Temperature,
      p: triple_point.p_Pa as Pressure,
      rhoLiquid: (triple_point.rho_liquid_mol_m3 * M) as Density,
      rhoVapour: (triple_point.rho_vapour_mol_m3 * M) as Density,
      called: triple_point.called ?? "triple-point",
    },
    validity: {
      TMin: validity.T_min_K as Temperature,
      TMax: validity.T_max_K as Temperature,
      pMax: validity.p_max_Pa as Pressure,
    },
    extrapolation: {
      TMax: extrapolation.T_max_K as Temperature,
      pMax: extrapolation.p_max_Pa as Pressure,
    },
    uncertainty: equation.uncertainty,
    sources: equation.sources,
    reducing: { T: equation.reducing.T_K, rho: equation.reducing.rho_mol_m3 * M },
    residual: packResidual(equation.residual),
    file,
  };
}
