/**
 * A thermal conductivity that is a sum: lambda = lambda0(T) + residual(T, rho) + critical(T, rho) [W/(m K)].
 * Each data file names the form of each part and the paper it is from.
 */
import { Isotherm } from "./isotherm.js";
import type { HomogeneousState } from "./state.js";
import type { ConductivityData } from "./transportFile.js";
import { diluteGasViscosity, viscosityOn } from "./viscosity.js";

type SumForm = Extract<ConductivityData, { form: "sum" }>;
type Critical = SumForm["critical"];

const MICROPASCAL_SECONDS = 1e6;

/** The sum at the temperature and density last evaluated on the isotherm [W/(m K)]. */
export function sumConductivity(data: SumForm, isotherm: Isotherm, state: HomogeneousState): number {
  return (
    diluteConductivity(data.dilute, isotherm) +
    residualConductivity(data.residual, isotherm) +
    criticalConductivity(data.critical, isotherm, state)
  );
}

/**
 * Limit of zero density [W/(m K)].
 *
 *   viscosity_and_powers  A0 eta0 + sum a tau^t, eta0 in uPa s            [lemmon-jacobsen-2004, eq. 6]
 *   ratio_of_polynomials  (sum a (T/T_r)^n) / (sum b (T/T_r)^m)           [assael-2011, eq. 3]
 */
function diluteConductivity(dilute: SumForm["dilute"], { T, fluid }: Isotherm): number {
  if (dilute.form === "viscosity_and_powers") {
    const data = fluid.file.viscosity;
    if (data === undefined)
      throw new Error(`${fluid.id}: a conductivity built on a viscosity that is not on file`);
    const eta0 = MICROPASCAL_SECONDS * diluteGasViscosity(data, T);
    const tau = fluid.reducing.T / T;
    return dilute.A0_W_mK_uPa_s * eta0 + dilute.terms.reduce((sum, { a, t }) => sum + a * tau ** t, 0);
  }
  const x = T / dilute.T_r_K;
  const numerator = dilute.numerator.reduce((sum, { a, n }) => sum + a * x ** n, 0);
  return numerator / dilute.denominator.reduce((sum, { b, m }) => sum + b * x ** m, 0);
}

/**
 * What density adds [W/(m K)].
 *
 *   polynomial              sum b (T_r/T)^t (rho/rho_r)^d                  [assael-2011, eq. 4]
 *   polynomial_exponential  sum a tau^t delta^d exp(-gamma delta^l)        [lemmon-jacobsen-2004, eq. 7]
 */
function residualConductivity(residual: SumForm["residual"], { T, rho, fluid }: Isotherm): number {
  if (residual.form === "polynomial") {
    const tau = residual.T_r_K / T;
    const delta = rho / residual.rho_r_kg_m3;
    return residual.terms.reduce((sum, { b, d, t }) => sum + b * tau ** t * delta ** d, 0);
  }
  const tau = fluid.reducing.T / T;
  const delta = rho / fluid.reducing.rho;
  return residual.terms.reduce(
    (sum, { a, d, t, gamma, l }) => sum + a * tau ** t * delta ** d * Math.exp(-gamma * delta ** l),
    0,
  );
}

/**
 * Enhancement near the critical point [W/(m K)].
 *
 *   rho cp R0 k_B T / (6 pi eta xi) (Om - Om0),   xi = xi0 (dX / Gamma)^(nu/gamma),   y = q_D xi
 *   Om  = (2/pi) ((cp - cv)/cp atan(y) + cv/cp y)
 *   Om0 = (2/pi) (1 - exp(-1 / (1/y + (y/delta)^2 / 3)))
 *   dX  = X(T) - X(T_ref) T_ref/T,   X = (p_c / rho_r^2) rho / (dp/drho|T);   0 where dX is not above 0
 *
 * Source  [lemmon-jacobsen-2004, eq. 8-11]
 */
function criticalConductivity(critical: Critical, isotherm: Isotherm, state: HomogeneousState): number {
  const { fluid, T, rho } = isotherm;
  const data = fluid.file.viscosity;
  if (data === undefined) return 0;
  const X = (line: Isotherm) => (fluid.critical.p * rho) / (fluid.reducing.rho ** 2 * line.dpdrho);
  const reference = new Isotherm(fluid).setTemperature(critical.T_ref_K);
  reference.pressure(rho);
  const dX = X(isotherm) - (X(reference) * critical.T_ref_K) / T;
  if (!(dX > 0 && Number.isFinite(dX) && Number.isFinite(state.cp))) return 0;
  const xi = critical.xi0_m * (dX / critical.Gamma) ** (critical.nu / critical.gamma);
  const y = critical.q_D_per_m * xi;
  const delta = rho / fluid.reducing.rho;
  const share = state.cv / state.cp;
  const Om = (2 / Math.PI) * ((1 - share) * Math.atan(y) + share * y);
  const Om0 = (2 / Math.PI) * -Math.expm1(-1 / (1 / y + (y / delta) ** 2 / 3));
  const eta = viscosityOn(data, isotherm);
  return ((rho * state.cp * critical.R0 * critical.k_B_J_K * T) / (6 * Math.PI * eta * xi)) * (Om - Om0);
}
