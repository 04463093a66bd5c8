/** Thermal conductivity of a homogeneous fluid, by the correlation of its data file. */
import { refuse } from "../fault/index.js";
import { type Conductivity, type Density, formatQuantity, type Temperature } from "../quantity/index.js";
import { heliumConductivity } from "./conductivityOfHelium.js";
import { methaneConductivity } from "./conductivityOfMethane.js";
import { waterConductivity } from "./conductivityOfWater.js";
import { sumConductivity } from "./conductivityTerms.js";
import type { Fluid } from "./fluid.js";
import { Isotherm } from "./isotherm.js";
import { kelvin } from "./range.js";
import type { HomogeneousState } from "./state.js";
import { stateAtTemperatureDensity } from "./stateAt.js";
import type { ConductivityData } from "./transportFile.js";

type BoilingLiquid = Extract<ConductivityData, { form: "boiling_liquid_powers" }>;

const WATTS_PER_MILLIWATT = 1e-3;

/**
 * Thermal conductivity [W/(m K)].
 *
 * @param T    [K];  @param rho  [kg/m3], outside the two-phase dome
 * Refuses     a two-phase state, which has no one conductivity; a fluid whose data file has no
 *             correlation, or none for this state; and as `stateAtTemperatureDensity`
 * Valid for   the range of the equation of state; its uncertainty is in the data file
 * Source      named in the data file: [lemmon-jacobsen-2004, eq. 5-11], [friend-1989], [iapws-r15-11],
 *             [assael-2013], [marsh-2002], [huber-2004], [assael-2011], [hands-arp-1981]
 */
export function thermalConductivity(fluid: Fluid, T: Temperature, rho: Density): Conductivity {
  const data = fluid.file.thermal_conductivity;
  if (data === undefined) {
    return refuse(
      "no-conductivity",
      `${fluid.id} has no thermal conductivity on file`,
      "Fluids whose data file has an entry `thermal_conductivity`.",
      "Add the correlation to the data file.",
    );
  }
  const state = stateAtTemperatureDensity(fluid, T, rho);
  if (state.phase === "two-phase") {
    return refuse(
      "two-phase",
      `thermal conductivity of ${fluid.id} at ${kelvin(T)} and ${formatQuantity(rho, "density")}: a mixture of liquid and vapour`,
      "Boiling liquid with vapour has no one thermal conductivity.",
      "Ask for the conductivity of the liquid or of the vapour.",
    );
  }
  const isotherm = new Isotherm(fluid).setTemperature(T);
  isotherm.pressure(rho);
  return conductivityOn(data, isotherm, state) as Conductivity;
}

/** Conductivity of a state at the temperature and density last evaluated on the isotherm [W/(m K)]. */
export function conductivityOn(data: ConductivityData, isotherm: Isotherm, state: HomogeneousState): number {
  switch (data.form) {
    case "sum":
      return sumConductivity(data, isotherm, state);
    case "iapws_r15_11":
      return waterConductivity(data, isotherm, state);
    case "helium_hands_arp_1981":
      return heliumConductivity(data, isotherm.T, isotherm.rho);
    case "methane_friend_1989":
      return methaneConductivity(data, isotherm);
    case "boiling_liquid_powers":
      return boilingLiquidConductivity(data, isotherm);
  }
}

/**
 * Boiling liquid [W/(m K)]: b1 (1 + b2 y^(1/3) + b3 y^(2/3) + b4 y),   y = 1 - T/T_c.
 * Source  [esdu-91022], from memory
 */
function boilingLiquidConductivity(data: BoilingLiquid, { T, rho, fluid }: Isotherm): number {
  const { T_min_K, T_max_K, b2, b3, b4 } = data;
  if (!(rho > fluid.critical.rho && T >= T_min_K && T <= T_max_K)) {
    refuse(
      "no-conductivity",
      `thermal conductivity of ${fluid.id} at ${kelvin(T)} and ${formatQuantity(rho as Density, "density")}: not on file`,
      `Its data file has the liquid from ${kelvin(T_min_K)} to ${kelvin(T_max_K)}.`,
      "Add a full correlation to the data file.",
    );
  }
  const y = 1 - T / data.T_c_K;
  const root = Math.cbrt(y);
  return data.b1_mW_m_K * WATTS_PER_MILLIWATT * (1 + root * (b2 + root * b3) + b4 * y);
}
