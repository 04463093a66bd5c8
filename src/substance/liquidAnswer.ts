/** All properties of a liquid that is known by correlations, with their spread. */
import { refuse } from "../fault/index.js";
import { formatQuantity, type Pressure, type Temperature } from "../quantity/index.js";
import type { MissingRow, PropertyRow, SubstanceAnswer } from "./answer.js";
import type { CorrelatedLiquid } from "./liquid.js";

/** Molar values of the files are for a kilomole. */
const MOL_PER_KMOL = 1000;

/**
 * The properties of the liquid. @param p  left out: the boiling liquid [Pa]
 * Refuses  a call without a temperature; and as the functions of the liquid
 */
export function liquidAnswer(
  liquid: CorrelatedLiquid,
  T: Temperature | undefined,
  p: Pressure | undefined,
): SubstanceAnswer {
  const { file } = liquid;
  if (T === undefined) {
    return refuse(
      "state-not-fixed",
      `the state of ${file.id} is not fixed by what is given`,
      "A liquid that is known by correlations needs a temperature; with a temperature alone it is taken as boiling.",
      "Give `--temperature 293K --pressure 28bar(a)`, for example.",
    );
  }
  const boiling = liquid.vapourPressure(T);
  const kelvin = (value: number) => formatQuantity(value, "temperature");
  const { density, vapour_pressure, viscosity, conductivity, specific_heat_J_kmol_K, surface_tension } = file;
  const power = (coefficients: readonly number[]) => coefficients.reduceRight((sum, c) => sum * T + c, 0);
  const wanted = [
    row("density", "density", "density", () => liquid.density(p ?? boiling, T), {
      ...density,
      T_max_K: file.validity.T_max_K,
    }),
    row("vapour_pressure", "vapour pressure", "pressure", () => boiling, vapour_pressure),
    row("viscosity", "viscosity", "viscosity", () => liquid.viscosity(T), viscosity),
    row(
      "conductivity",
      "thermal conductivity",
      "conductivity",
      () => power(conductivity.coefficients),
      conductivity,
    ),
    row(
      "cp",
      "specific heat at constant pressure",
      "specific heat",
      () => power(specific_heat_J_kmol_K.coefficients) / (MOL_PER_KMOL * file.molar_mass_kg_mol),
      specific_heat_J_kmol_K,
    ),
    row(
      "surface_tension",
      "surface tension",
      "stiffness",
      () => surface_tension.a_N_m * Math.max(0, 1 - T / surface_tension.T_max_K) ** surface_tension.n,
      surface_tension,
    ),
  ];
  const rows = wanted.map((make) => make(file.validity.T_min_K, T));
  return {
    kind: "fluid",
    id: file.id,
    name: file.name,
    state: "liquid",
    summary: `${file.id} at ${formatQuantity(p ?? boiling, "pressure")} and ${kelvin(T)}: liquid`,
    groups: [
      {
        title: "liquid",
        rows: rows.flatMap((one) => ("value" in one ? [one] : [])),
        missing: [
          ...rows.flatMap((one) => ("reason" in one ? [one] : [])),
          { id: "speed_of_sound", words: "speed of sound", reason: "there is no equation of state on file" },
          { id: "enthalpy", words: "specific enthalpy", reason: "there is no equation of state on file" },
        ],
      },
    ],
    remarks: [file.note, file.validity.note, `Compressibility: ${file.compressibility.note}`],
    notices: [],
  };
}

interface Known {
  readonly sources: readonly string[];
  readonly spread_percent: number;
  readonly T_max_K: number;
}

function row(
  id: string,
  words: string,
  dimension: PropertyRow["dimension"],
  compute: () => number,
  { sources, spread_percent, T_max_K }: Known,
): (TMin: number, T: number) => PropertyRow | MissingRow {
  return (TMin, T) => {
    if (T > T_max_K) {
      return { id, words, reason: `its correlation ends at ${formatQuantity(T_max_K, "temperature")}` };
    }
    const value = compute();
    const half = (value * spread_percent) / 100;
    return {
      id,
      words,
      value,
      low: value - half,
      high: value + half,
      dimension,
      TMin,
      TMax: T_max_K,
      sources,
    };
  };
}
