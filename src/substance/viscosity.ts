/** Dynamic viscosity of a homogeneous fluid, by the correlation of its data file. */
import { refuse } from "../fault/index.js";
import { type Density, formatQuantity, type Temperature, type Viscosity } from "../quantity/index.js";
import type { Fluid } from "./fluid.js";
import { Isotherm } from "./isotherm.js";
import { kelvin } from "./range.js";
import { stateAtTemperatureDensity } from "./stateAt.js";
import type { ViscosityData } from "./transportFile.js";
import { heliumViscosity } from "./viscosityOfHelium.js";
import { waterViscosity } from "./viscosityOfWater.js";
import { boilingLiquidViscosity, diluteViscosity, neufeldViscosity, sumViscosity } from "./viscosityTerms.js";

type PartialForm = Extract<ViscosityData, { form: "dilute_and_boiling_liquid" }>;

/** A gas thinner than this share of the critical density is taken as dilute: a few percent. Estimate, no source. */
const DILUTE = 0.1;

/**
 * Dynamic viscosity [Pa s].
 *
 * @param T    [K];  @param rho  [kg/m3], outside the two-phase dome
 * Refuses     a two-phase state, which has no one viscosity; a fluid whose data file has no
 *             correlation, or none for this state; and as `stateAtTemperatureDensity`
 * Valid for   the range of the equation of state; its uncertainty is in the data file
 * Source      named in the data file: [lemmon-jacobsen-2004, eq. 1-4], [quinones-deiters-2006],
 *             [iapws-r12-08, eq. 2], [vogel-1998], [kiselev-2005], [huber-2004], [muzny-2013], [arp-1998]
 */
export function viscosity(fluid: Fluid, T: Temperature, rho: Density): Viscosity {
  const data = fluid.file.viscosity;
  if (data === undefined) {
    return refuse(
      "no-viscosity",
      `${fluid.id} has no viscosity correlation on file`,
      "Fluids whose data file has an entry `viscosity`.",
      "Give the viscosity by hand, or add the correlation to the data file.",
    );
  }
  const state = stateAtTemperatureDensity(fluid, T, rho);
  if (state.phase === "two-phase") {
    return refuse(
      "two-phase",
      `viscosity of ${fluid.id} at ${kelvin(T)} and ${formatQuantity(rho, "density")}: a mixture of liquid and vapour`,
      "Boiling liquid with vapour has no one viscosity.",
      "Ask for the viscosity of the liquid or of the vapour.",
    );
  }
  const isotherm = new Isotherm(fluid).setTemperature(T);
  isotherm.pressure(rho);
  return viscosityOn(data, isotherm) as Viscosity;
}

/** Viscosity at the temperature and density last evaluated on the isotherm [Pa s]. */
export function viscosityOn(data: ViscosityData, isotherm: Isotherm): number {
  switch (data.form) {
    case "sum":
      return sumViscosity(data, isotherm);
    case "iapws_r12_08":
      return waterViscosity(data, isotherm);
    case "helium_arp_1998":
      return heliumViscosity(data, isotherm.T, isotherm.rho);
    case "dilute_and_boiling_liquid":
      return partialViscosity(data, isotherm);
  }
}

/** Limit of zero density [Pa s], for a conductivity that is built on it. */
export function diluteGasViscosity(data: ViscosityData, T: number): number {
  if (data.form === "sum") return diluteViscosity(data.dilute, T);
  if (data.form === "dilute_and_boiling_liquid") return neufeldViscosity(data.dilute, T);
  throw new Error("the conductivity of this data file needs the viscosity of the dilute gas");
}

/** The boiling liquid's value for a liquid, the dilute gas's for a thin gas; between them nothing is on file. */
function partialViscosity(data: PartialForm, isotherm: Isotherm): number {
  const { T, rho, fluid } = isotherm;
  const { T_min_K, T_max_K } = data.boiling_liquid;
  const isLiquid = T < fluid.critical.T && rho > fluid.critical.rho;
  if (isLiquid && T >= T_min_K && T <= T_max_K) return boilingLiquidViscosity(data.boiling_liquid, T);
  const thin = (DILUTE * fluid.critical.rho) as Density;
  if (rho <= thin) return neufeldViscosity(data.dilute, T);
  return refuse(
    "no-viscosity",
    `viscosity of ${fluid.id} at ${kelvin(T)} and ${formatQuantity(rho as Density, "density")}: not on file`,
    `Its data file has the liquid from ${kelvin(T_min_K)} to ${kelvin(T_max_K)} and the gas up to ${formatQuantity(thin, "density")}.`,
    "Give the viscosity by hand, or add a full correlation to the data file.",
  );
}
