/**
 * The parts of a viscosity that is a sum: eta = eta0(T) + initial density + residual(T, rho) [Pa s].
 * Each data file names the form of each part and the paper it is from.
 */
import type { Isotherm } from "./isotherm.js";
import type { ViscosityData } from "./transportFile.js";

type SumForm = Extract<ViscosityData, { form: "sum" }>;
type Dilute = SumForm["dilute"];
type Residual = SumForm["residual"];
type FrictionTheory = Extract<Residual, { form: "friction_theory" }>;
type BatschinskiHildebrand = Extract<Residual, { form: "batschinski_hildebrand" }>;
type Muzny = Extract<Residual, { form: "hydrogen_muzny_2013" }>;
type InitialDensity = NonNullable<SumForm["initial_density"]>;
type PartialForm = Extract<ViscosityData, { form: "dilute_and_boiling_liquid" }>;

/** Friction theory is fitted with pressures in bar. */
const PASCAL_PER_BAR = 1e5;
const METRES_PER_NANOMETRE = 1e-9;
const PASCAL_SECONDS_PER_MILLI = 1e-3;

/** The sum at the temperature and density last evaluated on the isotherm [Pa s]. */
export function sumViscosity(data: SumForm, isotherm: Isotherm): number {
  const eta0 = diluteViscosity(data.dilute, isotherm.T);
  return (
    eta0 +
    (data.initial_density === undefined ? 0 : initialViscosity(data.initial_density, eta0, isotherm)) +
    residualViscosity(data.residual, isotherm)
  );
}

/**
 * Limit of zero density [Pa s].
 *
 *   collision_integral_ln  C sqrt(M T) / (sigma^2 exp(sum a ln(T/eps)^t))   [lemmon-jacobsen-2004, eq. 2]
 *   powers_of_T            sum a (T/T_r)^t                                  [quinones-deiters-2006]
 */
export function diluteViscosity(dilute: Dilute, T: number): number {
  if (dilute.form === "powers_of_T") {
    return dilute.terms.reduce((sum, { a_Pa_s, t }) => sum + a_Pa_s * (T / dilute.T_r_K) ** t, 0);
  }
  const lnT = Math.log(T / dilute.epsilon_over_k_K);
  const lnOmega = dilute.terms.reduce((sum, { a, t }) => sum + a * lnT ** t, 0);
  return (dilute.C * Math.sqrt(dilute.molar_mass_g_mol * T)) / (dilute.sigma_nm ** 2 * Math.exp(lnOmega));
}

/**
 * What a little density adds [Pa s]: eta0 rho N_A sigma^3 sum b (T/eps)^t, rho molar.
 * Source  [vogel-1998, eq. 5-7]
 */
function initialViscosity(data: InitialDensity, eta0: number, isotherm: Isotherm): number {
  const molar = isotherm.rho / isotherm.fluid.molarMass;
  const reduced = isotherm.T / data.epsilon_over_k_K;
  const virial = data.terms.reduce((sum, { b, t }) => sum + b * reduced ** t, 0);
  return eta0 * molar * data.N_A * (data.sigma_nm * METRES_PER_NANOMETRE) ** 3 * virial;
}

/** What more density adds [Pa s]. */
function residualViscosity(residual: Residual, isotherm: Isotherm): number {
  switch (residual.form) {
    case "friction_theory":
      return frictionViscosity(residual, isotherm);
    case "batschinski_hildebrand":
      return batschinskiHildebrand(residual, isotherm);
    case "hydrogen_muzny_2013":
      return muznyViscosity(residual, isotherm);
  }
}

/**
 * Powers with exponentials, and a free-volume term [Pa s].
 *
 *   sum a delta^d tau^t exp(gamma delta^l) + f delta^d tau^t (1 / (d0 - delta) - 1 / d0)
 *   d0 = (sum g tau^h) / (sum p tau^q)
 *
 * Source  [lemmon-jacobsen-2004, eq. 3], [vogel-1998, eq. 8-10]
 */
function batschinskiHildebrand(residual: BatschinskiHildebrand, isotherm: Isotherm): number {
  const delta = isotherm.rho / (residual.rho_r_mol_m3 * isotherm.fluid.molarMass);
  const tau = residual.T_r_K / isotherm.T;
  const series = residual.series.reduce(
    (sum, { a_Pa_s, d, t, gamma, l }) => sum + a_Pa_s * delta ** d * tau ** t * Math.exp(gamma * delta ** l),
    0,
  );
  if (residual.free_volume === undefined) return series;
  const { f_Pa_s, d, t, delta0_numerator, delta0_denominator } = residual.free_volume;
  const numerator = delta0_numerator.reduce((sum, { g, h }) => sum + g * tau ** h, 0);
  const denominator = delta0_denominator.reduce((sum, { p, q }) => sum + p * tau ** q, 0);
  const d0 = numerator / denominator;
  return series + f_Pa_s * delta ** d * tau ** t * (1 / (d0 - delta) - 1 / d0);
}

/**
 * Hydrogen, found by symbolic regression [Pa s]: c1 r^2 exp(c2 x + c3/x + c4 r^2/(c5 + x) + c6 r^6),
 * x = T/T_r, r = rho over a scale.
 * Source  [muzny-2013, eq. 9]
 */
function muznyViscosity(data: Muzny, isotherm: Isotherm): number {
  const x = isotherm.T / data.T_r_K;
  const r2 = (isotherm.rho * data.rho_scale_m3_kg) ** 2;
  const exponent = data.c2 * x + data.c3 / x + (data.c4 * r2) / (data.c5 + x) + data.c6 * r2 ** 3;
  return data.c1_Pa_s * r2 * Math.exp(exponent);
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

/**
 * Dilute gas with the collision integral of Lennard-Jones molecules [Pa s].
 *
 *   C sqrt(M T) / (sigma^2 Omega),   Omega = A x^-B + C exp(-D x) + E exp(-F x),   x = T/eps
 *
 * Source  [neufeld-1972], molecules from [svehla-1962]
 */
export function neufeldViscosity(dilute: PartialForm["dilute"], T: number): number {
  const { A, B, C, D, E, F } = dilute.omega;
  const x = T / dilute.epsilon_over_k_K;
  const Omega = A * x ** -B + C * Math.exp(-D * x) + E * Math.exp(-F * x);
  return (dilute.C * Math.sqrt(dilute.molar_mass_g_mol * T)) / (dilute.sigma_nm ** 2 * Omega);
}

/**
 * Boiling liquid [Pa s]: b4 exp(b1 (th - 1)^(1/3) + b2 (th - 1)^(4/3)),   th = (T_c - b3) / (T - b3).
 * Source  [esdu-91022], from memory
 */
export function boilingLiquidViscosity(data: PartialForm["boiling_liquid"], T: number): number {
  const distance = (data.T_c_K - data.b3_K) / (T - data.b3_K) - 1;
  const exponent = data.b1 * Math.cbrt(distance) + data.b2 * distance * Math.cbrt(distance);
  return data.b4_mPa_s * PASCAL_SECONDS_PER_MILLI * Math.exp(exponent);
}
