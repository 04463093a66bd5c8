/** Dynamic viscosity of a homogeneous fluid, by the correlation of its data file. */
import { refuse } from "../fault/index.js";
import { type Density, formatQuantity, type Temperature, type Viscosity } from "../quantity/index.js";
import type { Fluid } from "./fluid.js";
import type { ViscosityData } from "./fluidFile.js";
import { Isotherm } from "./isotherm.js";
import { kelvin } from "./range.js";
import { stateAtTemperatureDensity } from "./stateAt.js";
import { waterViscosity } from "./viscosityOfWater.js";

type SumForm = Extract<ViscosityData, { form: "sum" }>;
type Dilute = SumForm["dilute"];
type Residual = SumForm["residual"];
type FrictionTheory = Extract<Residual, { form: "friction_theory" }>;

/** Friction theory is fitted with pressures in bar. */
const PASCAL_PER_BAR = 1e5;

/**
 * Dynamic viscosity [Pa s].
 *
 * @param T    [K];  @param rho  [kg/m3], outside the two-phase dome
 * Refuses     a two-phase state, which has no one viscosity; a fluid whose data file has no
 *             correlation; and as `stateAtTemperatureDensity`
 * Valid for   the range of the equation of state; its uncertainty is in the data file
 * Source      named in the data file: [lemmon-jacobsen-2004, eq. 1-4], [quinones-deiters-2006],
 *             [iapws-r12-08, eq. 2]
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
  const eta =
    data.form === "sum"
      ? diluteViscosity(data.dilute, T) + residualViscosity(data.residual, isotherm)
      : waterViscosity(data, isotherm);
  return eta as Viscosity;
}

/**
 * Limit of zero density [Pa s].
 *
 *   collision_integral_ln  C sqrt(M T) / (sigma^2 exp(sum a ln(T/eps)^t))   [lemmon-jacobsen-2004, eq. 2]
 *   powers_of_T            sum a (T/T_r)^t                                  [quinones-deiters-2006]
 */
function diluteViscosity(dilute: Dilute, T: number): number {
  if (dilute.form === "powers_of_T") {
    return dilute.terms.reduce((sum, { a_Pa_s, t }) => sum + a_Pa_s * (T / dilute.T_r_K) ** t, 0);
  }
  const lnT = Math.log(T / dilute.epsilon_over_k_K);
  const lnOmega = dilute.terms.reduce((sum, { a, t }) => sum + a * lnT ** t, 0);
  return (dilute.C * Math.sqrt(dilute.molar_mass_g_mol * T)) / (dilute.sigma_nm ** 2 * Math.exp(lnOmega));
}

/**
 * What density adds [Pa s].
 *
 *   batschinski_hildebrand  sum a delta^d tau^t exp(gamma delta^l)          [lemmon-jacobsen-2004, eq. 3]
 *   friction_theory         see `frictionViscosity`
 */
function residualViscosity(residual: Residual, isotherm: Isotherm): number {
  if (residual.form === "friction_theory") return frictionViscosity(residual, isotherm);
  const delta = isotherm.rho / (residual.rho_r_mol_m3 * isotherm.fluid.molarMass);
  const tau = residual.T_r_K / isotherm.T;
  return residual.series.reduce(
    (sum, { a_Pa_s, d, t, gamma, l }) => sum + a_Pa_s * delta ** d * tau ** t * Math.exp(gamma * delta ** l),
    0,
  );
}

/**
 * Viscosity of friction between layers, from the repulsive and attractive parts of the pressure [Pa s].
 *
 *   eta = K_i p_id + K_a p_a + K_r dp_r + K_aa p_a^2 + K_rr dp_r^2 + K_ii p_id^2   (pressures in bar)
 *   p_r = T dp/dT|rho,   p_a = p - p_r,   p_id = rho R T,   dp_r = p_r - p_id
 *   K = (A0 + A1 psi1 + A2 psi2) tau^N,   psi1 = exp(tau) - c1,   psi2 = exp(tau^2) - c2
 *
 * Source  [quinones-deiters-2006]
 */
function frictionViscosity(data: FrictionTheory, isotherm: Isotherm): number {
  const { T, rho, RT, dpdT } = isotherm;
  const tau = data.T_r_K / T;
  const psi1 = Math.exp(tau) - data.c1;
  const psi2 = Math.exp(tau * tau) - data.c2;
  const K = (A: readonly [number, number, number], N: number) =>
    (A[0] + A[1] * psi1 + A[2] * psi2) * tau ** N;
  const pressure = rho * RT * (1 + isotherm.residual.aD);
  const repulsive = (T * dpdT) / PASCAL_PER_BAR;
  const attractive = pressure / PASCAL_PER_BAR - repulsive;
  const ideal = (rho * RT) / PASCAL_PER_BAR;
  const excess = repulsive - ideal;
  return (
    K(data.Ai, 1) * ideal +
    K(data.Aa, data.Na) * attractive +
    K(data.Ar, data.Nr) * excess +
    K(data.Aaa, data.Naa) * attractive ** 2 +
    K(data.Adrdr, data.Nrr) * excess ** 2 +
    K(data.Aii, data.Nii) * ideal ** 2
  );
}
