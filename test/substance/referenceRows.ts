/** Reads the reference rows of a fluid and computes the same fields with the program. */
import { readdirSync, readFileSync } from "node:fs";
import { Refusal } from "../../src/fault/index.js";
import type { Density, Pressure, Temperature } from "../../src/quantity/index.js";
import { idealPart } from "../../src/substance/ideal.js";
import {
  type Fluid,
  type HomogeneousState,
  homogeneousPressure,
  isochore,
  type Saturation,
  saturationAtPressure,
  saturationAtTemperature,
  stateAtPressureTemperature,
  stateAtTemperatureDensity,
  surfaceTension,
  thermalConductivity,
  viscosity,
} from "../../src/substance/index.js";
import { Isotherm } from "../../src/substance/isotherm.js";

const folder = new URL("../reference/fluids/", import.meta.url);

/** A row as it stands in the file: numbers, nested records, and its source and tolerance. */
export type Row = { readonly [field: string]: unknown };

export interface ReferenceFile {
  readonly fluid: string;
  readonly rows: readonly Row[];
}

export function referenceFiles(): readonly ReferenceFile[] {
  return readdirSync(folder)
    .filter((name) => name.endsWith(".json"))
    .sort()
    .map((name) => JSON.parse(readFileSync(new URL(name, folder), "utf8")) as ReferenceFile);
}

/** Fields of the rows that nothing computes, with the reason; they are listed in the test log. */
export const notComputed: Readonly<Record<string, string>> = {};

/** Fields that say how a row was made, not what should come out. */
const aboutTheRow = new Set([
  "kind",
  "label",
  "source",
  "note",
  "tolerance",
  "common_practice",
  "extrapolated",
  "phase",
  "quality",
]);

function numberIn(row: Row, field: string): number {
  const value = row[field];
  if (typeof value !== "number") throw new Error(`${field} is not a number in ${JSON.stringify(row)}`);
  return value;
}

function recordsIn(row: Row, field: string): readonly Row[] {
  const value = row[field];
  if (!Array.isArray(value)) throw new Error(`${field} is not a list in ${JSON.stringify(row)}`);
  return value as readonly Row[];
}

/** One compared field: what the row says and what the program says. */
export interface Comparison {
  readonly field: string;
  readonly expected: number;
  readonly found: number;
  readonly permitted: number;
}

/** Compares every computed field of a row. */
export function compareRow(fluid: Fluid, row: Row): readonly Comparison[] {
  const kind = String(row.kind);
  const compute = kinds[kind];
  if (compute === undefined) throw new Error(`no way to compute a row of kind ${kind}`);
  return compareFields(row, compute(fluid, row), row.tolerance as Row, "");
}

function compareFields(expected: Row, found: Row, tolerance: Row, path: string): readonly Comparison[] {
  return Object.entries(expected).flatMap(([field, value]) => {
    if (aboutTheRow.has(field) || field in notComputed || value === null) return [];
    const other = found[field];
    const name = `${path}${field}`;
    if (Array.isArray(value)) {
      return value.flatMap((item, index) =>
        compareFields(item as Row, (other as readonly Row[])[index] ?? {}, tolerance, `${name}[${index}].`),
      );
    }
    if (typeof value === "object")
      return compareFields(value as Row, (other ?? {}) as Row, tolerance, `${name}.`);
    if (typeof value === "boolean") {
      return [{ field: name, expected: Number(value), found: Number(other), permitted: 0 }];
    }
    if (typeof value !== "number") throw new Error(`${name} is neither number nor record`);
    if (typeof other !== "number") throw new Error(`${name} is not computed for this kind of row`);
    return [{ field: name, expected: value, found: other, permitted: permittedFor(field, value, tolerance) }];
  });
}

/** The tolerance rule of the reference files. */
function permittedFor(field: string, value: number, tolerance: Row): number {
  const own: readonly [RegExp, string, "rel" | "abs"][] = [
    [/^p0?_Pa$/, "p_rel", "rel"],
    [/^rho_/, "rho_rel", "rel"],
    [/^eta_/, "eta_rel", "rel"],
    [/^lambda_/, "lambda_rel", "rel"],
    [/^sigma_/, "sigma_rel", "rel"],
    [/^(dpdT_v|isothermal_bulk)/, "derivative_rel", "rel"],
    [/^T_K$/, "T_abs_K", "abs"],
    [/^T_liquid_full_K$/, "T_full_abs_K", "abs"],
    [/^u_minus_u0/, "u_abs_J_kg", "abs"],
    [/^[hu](_liquid|_vapour)?_J_kg$/, "h_u_abs_J_kg", "abs"],
    [/^s_J_kgK$/, "s_abs_J_kgK", "abs"],
  ];
  const general = tolerance.default_rel;
  let relative = typeof general === "number" ? general : 0;
  let absolute = 0;
  for (const [pattern, name, kind] of own) {
    const entry = tolerance[name];
    if (!pattern.test(field) || typeof entry !== "number") continue;
    if (kind === "rel") relative = entry;
    else absolute = entry;
  }
  return Math.max(relative * Math.abs(value), absolute);
}

type Compute = (fluid: Fluid, row: Row) => Row;

const kinds: Readonly<Record<string, Compute>> = {
  normal_boiling_point: (fluid, row) =>
    saturationFields(fluid, saturationAtPressure(fluid, pressureIn(row, "p_Pa"))),
  saturation: (fluid, row) =>
    saturationFields(fluid, saturationAtTemperature(fluid, temperatureIn(row, "T_K"))),
  published: (fluid, row) => ({
    ...row,
    ...molarFields(fluid, homogeneous(fluid, temperatureIn(row, "T_K"), densityIn(fluid, row))),
    rho_mol_m3: densityIn(fluid, row) / fluid.molarMass,
  }),
  single_phase: (fluid, row) =>
    stateFields(fluid, stateAtPressureTemperature(fluid, pressureIn(row, "p_Pa"), temperatureIn(row, "T_K"))),
  transport_sat_liquid: (fluid, row) => ({
    ...row,
    ...transportFields(fluid, saturationAtTemperature(fluid, temperatureIn(row, "T_K")).liquid),
  }),
  transport_dilute_gas: (fluid, row) => ({
    ...row,
    eta_Pa_s: viscosity(fluid, temperatureIn(row, "T_K"), 1e-6 as Density),
  }),
  trapped_isochore: trappedIsochore,
  locked_liquid: lockedLiquid,
  helmholtz: helmholtzFields,
  trade_facts: tradeFacts,
};

function temperatureIn(row: Row, field: string): Temperature {
  return numberIn(row, field) as Temperature;
}

function pressureIn(row: Row, field: string): Pressure {
  return numberIn(row, field) as Pressure;
}

function densityIn(fluid: Fluid, row: Row): Density {
  const molar = row.rho_mol_m3;
  return (typeof molar === "number" ? molar * fluid.molarMass : numberIn(row, "rho_kg_m3")) as Density;
}

function homogeneous(fluid: Fluid, T: Temperature, rho: Density): HomogeneousState {
  const state = stateAtTemperatureDensity(fluid, T, rho);
  if (state.phase === "two-phase") throw new Error(`${fluid.id} at ${T} K and ${rho} kg/m3 is two-phase`);
  return state;
}

function stateFields(fluid: Fluid, state: HomogeneousState): Row {
  return {
    T_K: state.T,
    p_Pa: state.p,
    rho_kg_m3: state.rho,
    h_J_kg: state.h,
    s_J_kgK: state.s,
    u_J_kg: state.u,
    cv_J_kgK: state.cv,
    cp_J_kgK: state.cp,
    w_m_s: state.w,
    ...transportFields(fluid, state),
  };
}

function molarFields(fluid: Fluid, state: HomogeneousState): Row {
  const M = fluid.molarMass;
  return {
    ...stateFields(fluid, state),
    h_J_mol: state.h * M,
    s_J_molK: state.s * M,
    cv_J_molK: state.cv * M,
    cp_J_molK: state.cp * M,
  };
}

function transportFields(fluid: Fluid, { T, rho }: HomogeneousState): Row {
  return {
    eta_Pa_s: orUndefined(() => viscosity(fluid, T, rho)),
    lambda_W_mK: orUndefined(() => thermalConductivity(fluid, T, rho)),
  };
}

/** Undefined where nothing is on file: nitrous oxide's transport properties are not known everywhere. */
function orUndefined(value: () => number): number | undefined {
  try {
    return value();
  } catch (error) {
    if (error instanceof Refusal && error.faults[0]?.code.startsWith("no-")) return undefined;
    throw error;
  }
}

function saturationFields(fluid: Fluid, { T, p, liquid, vapour, latentHeat }: Saturation): Row {
  const M = fluid.molarMass;
  return {
    T_K: T,
    p_Pa: p,
    sigma_N_m: surfaceTension(fluid, T),
    liquid: stateFields(fluid, liquid),
    vapour: stateFields(fluid, vapour),
    rho_liquid_kg_m3: liquid.rho,
    rho_vapour_kg_m3: vapour.rho,
    rho_liquid_mol_m3: liquid.rho / M,
    rho_vapour_mol_m3: vapour.rho / M,
    h_vap_J_kg: latentHeat,
    h_liquid_J_kg: liquid.h,
    h_vapour_J_kg: vapour.h,
    h_liquid_J_mol: liquid.h * M,
    h_vapour_J_mol: vapour.h * M,
    cp_liquid_J_molK: liquid.cp * M,
    cv_liquid_J_molK: liquid.cv * M,
    cp_liquid_J_kgK: liquid.cp,
    w_liquid_m_s: liquid.w,
  };
}

function trappedIsochore(fluid: Fluid, row: Row): Row {
  const T0 = temperatureIn(row, "T0_K");
  const fraction = numberIn(row, "liquid_volume_fraction");
  const { p, liquid, vapour } = saturationAtTemperature(fluid, T0);
  const rho = (fraction * liquid.rho + (1 - fraction) * vapour.rho) as Density;
  const start = stateAtTemperatureDensity(fluid, T0, rho);
  return {
    T0_K: T0,
    liquid_volume_fraction: fraction,
    p0_Pa: p,
    rho_mean_kg_m3: rho,
    quality0: start.phase === "two-phase" ? start.quality : 0,
    T_liquid_full_K: isochore(fluid, rho).fullAt,
    heated_to: recordsIn(row, "heated_to").map((point) => {
      const T = temperatureIn(point, "T_K");
      return {
        T_K: T,
        p_Pa: isochore(fluid, rho).at(T).p,
        u_minus_u0_J_kg: stateAtTemperatureDensity(fluid, T, rho).u - start.u,
      };
    }),
  };
}

function lockedLiquid(fluid: Fluid, row: Row): Row {
  const T0 = temperatureIn(row, "T0_K");
  const p0 = pressureIn(row, "p0_Pa");
  const { rho } = stateAtPressureTemperature(fluid, p0, T0);
  const { dpdT, dpdrho } = homogeneousPressure(fluid, T0, rho);
  return {
    T0_K: T0,
    p0_Pa: p0,
    rho_kg_m3: rho,
    dpdT_v_Pa_K: dpdT,
    isothermal_bulk_modulus_Pa: rho * dpdrho,
    heated_to: recordsIn(row, "heated_to").map((point) => {
      const T = temperatureIn(point, "T_K");
      return { T_K: T, p_Pa: isochore(fluid, rho).at(T).p };
    }),
  };
}

/** The six derivatives as printed, by delta and tau; the program keeps them multiplied by these. */
function helmholtzFields(fluid: Fluid, row: Row): Row {
  const T = temperatureIn(row, "T_K");
  const rho = densityIn(fluid, row);
  const tau = fluid.reducing.T / T;
  const delta = rho / fluid.reducing.rho;
  const ideal = idealPart(fluid.file.equation_of_state.ideal, tau);
  const isotherm = new Isotherm(fluid).setTemperature(T);
  isotherm.pressure(rho);
  const { a, aD, aDD, aT, aTT, aDT } = isotherm.residual;
  return {
    T_K: T,
    rho_kg_m3: rho,
    ideal: { a: ideal.a + Math.log(delta), aT: ideal.aT / tau, aTT: ideal.aTT / tau ** 2 },
    residual: {
      a,
      aD: aD / delta,
      aDD: aDD / delta ** 2,
      aT: aT / tau,
      aTT: aTT / tau ** 2,
      aDT: aDT / (delta * tau),
    },
  };
}

/** Figures of the trade: boiling at one standard atmosphere, and the gas it becomes. */
function tradeFacts(fluid: Fluid): Row {
  const atmosphere = 101_325 as Pressure;
  const { T, liquid, vapour, latentHeat } = saturationAtPressure(fluid, atmosphere);
  const gas = (warm: number) => stateAtPressureTemperature(fluid, atmosphere, warm as Temperature).rho;
  const { dpdT, dpdrho } = homogeneousPressure(fluid, T, liquid.rho);
  const airAt288 = 1.225;
  return {
    T_boil_1atm_K: T,
    rho_liquid_kg_m3: liquid.rho,
    rho_vapour_at_boil_kg_m3: vapour.rho,
    liquid_to_own_vapour_ratio: liquid.rho / vapour.rho,
    rho_gas_1atm_288K_kg_m3: gas(288.15),
    expansion_ratio_288K: liquid.rho / gas(288.15),
    expansion_ratio_273K: liquid.rho / gas(273.15),
    expansion_ratio_293K: liquid.rho / gas(293.15),
    latent_heat_J_kg: latentHeat,
    boiloff_g_per_h_per_W: (3600 * 1000) / latentHeat,
    liquid_bulk_modulus_isothermal_Pa: liquid.rho * dpdrho,
    liquid_volumetric_expansion_1_K: dpdT / (liquid.rho * dpdrho),
    locked_liquid_dpdT_Pa_K: dpdT,
    liquid_speed_of_sound_m_s: liquid.w,
    gas_heavier_than_air_at_boil: vapour.rho > airAt288,
  };
}
