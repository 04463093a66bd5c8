/**
 * Thermal conductivity of methane [W/(m K)], with the viscosity of the same paper inside.
 *
 *   lambda0 = a eta0 (3.75 - (f0 + f1/x) (tau^2 a0_tautau + 1.5)),   x = T/T*
 *   eta0    = a sqrt(x) sum C_i x^(i/3 - 1),   i = 0 to 8                            [uPa s]
 *   eta     = eta0 + a N / (1 + D),   N and D sums of g delta^r tau^s
 *   res     = a (sum j delta^r tau^s + j7 delta^2 / delta_sigma)
 *   crit    = a / (eta tau^2) (1 + delta ar_d - delta tau ar_dt)^2 chi^0.4681 exp(-F), F as below
 *
 * delta and tau with the reference values of that paper; derivatives of the equation of state.
 * delta_sigma is the density of saturated vapour over the critical one for a vapour, else 1.
 * Source  [friend-1989, eq. 12-18]; the scaled branch within 3 % of the critical point is left out
 */
import type { Temperature } from "../quantity/index.js";
import { idealPart } from "./ideal.js";
import type { Isotherm } from "./isotherm.js";
import { equilibrium } from "./saturation.js";
import type { ConductivityData } from "./transportFile.js";

type MethaneForm = Extract<ConductivityData, { form: "methane_friend_1989" }>;
type Powers = MethaneForm["eta_residual"]["numerator"];

const WATTS_PER_MILLIWATT = 1e-3;

/** At the temperature and density last evaluated on the isotherm. */
export function methaneConductivity(data: MethaneForm, isotherm: Isotherm): number {
  const { T, rho, fluid } = isotherm;
  const tau = data.T_r_K / T;
  const delta = rho / (data.rho_r_mol_m3 * fluid.molarMass);
  const x = T / data.eta_dilute.T_star_K;
  const series = data.eta_dilute.C.reduce((sum, C, i) => sum + C * x ** (i / 3 - 1), 0);
  const eta0 = data.eta_dilute.a_uPa_s * Math.sqrt(x) * series;
  const powers = (terms: Powers) => terms.reduce((sum, { g, r, s }) => sum + g * delta ** r * tau ** s, 0);
  const { a_uPa_s, numerator, denominator } = data.eta_residual;
  const eta = eta0 + (a_uPa_s * powers(numerator)) / (1 + powers(denominator));
  return (
    WATTS_PER_MILLIWATT *
    (dilute(data, isotherm, { x, eta0 }) +
      residual(data, isotherm, { tau, delta }) +
      critical(data, isotherm, { tau, delta, eta }))
  );
}

function dilute(
  { dilute: { a, f0, f1 } }: MethaneForm,
  { T, fluid }: Isotherm,
  { x, eta0 }: { readonly x: number; readonly eta0: number },
): number {
  const { aTT } = idealPart(fluid.file.equation_of_state.ideal, fluid.reducing.T / T);
  return a * eta0 * (3.75 - (f0 + f1 / x) * (aTT + 1.5));
}

interface Reduced {
  readonly tau: number;
  readonly delta: number;
}

function residual({ residual: data }: MethaneForm, isotherm: Isotherm, { tau, delta }: Reduced): number {
  const { T, rho, fluid } = isotherm;
  const isVapour = T < fluid.critical.T && rho < fluid.critical.rho;
  const deltaSigma = isVapour ? equilibrium(fluid, T as Temperature).rhoVapour / fluid.critical.rho : 1;
  const sum = data.terms.reduce((total, { j, r, s }) => total + j * delta ** r * tau ** s, 0);
  return data.a_mW_m_K * (sum + (data.j7 * delta ** 2) / deltaSigma);
}

function critical(
  { critical: data }: MethaneForm,
  { residual: { aD, aDD, aDT } }: Isotherm,
  { tau, delta, eta }: Reduced & { readonly eta: number },
): number {
  const chi = (data.chi_a * delta * tau) / (1 + 2 * aD + aDD);
  if (!(chi > 0 && Number.isFinite(chi))) return 0;
  const F =
    data.F_T * Math.sqrt(Math.abs(1 - 1 / tau)) + data.F_rho * (1 - delta) ** 2 + data.F_A * (1 - delta);
  return (data.a / (eta * tau ** 2)) * (1 + aD - aDT) ** 2 * chi ** data.chi_exp * Math.exp(-F);
}
