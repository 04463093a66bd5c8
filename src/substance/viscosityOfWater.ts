/**
 * The viscosity formulation of water and steam, with its critical enhancement.
 *
 *   eta = eta_r mu0(T) mu1(T, rho) mu2(T, rho)
 *   mu0 = 100 sqrt(Tb) / sum H_i Tb^-i
 *   mu1 = exp(rhob sum H_ij (1/Tb - 1)^i (rhob - 1)^j)
 *   mu2 = exp(x_mu Y(xi)),   xi = xi0 (dChi / Gamma0)^(nu/gamma)
 *   dChi = rhob (zeta(Tb) - zeta(Tb_R) Tb_R / Tb),   zeta = d rhob / d pb at constant T
 *
 * Tb, rhob, pb: temperature, density and pressure over their reference values. Source [iapws-r12-08, eq. 2-22].
 */
import { Isotherm } from "./isotherm.js";
import type { ViscosityData } from "./transportFile.js";

type WaterForm = Extract<ViscosityData, { form: "iapws_r12_08" }>;
type Critical = WaterForm["critical"];

/** Correlation length up to which Y is a polynomial [nm]. */
const SHORT_CORRELATION = 0.381_701_641_6;

/** Viscosity [Pa s] at the temperature and density last evaluated on the isotherm. */
export function waterViscosity(data: WaterForm, isotherm: Isotherm): number {
  const Tb = isotherm.T / data.T_r_K;
  const rhob = isotherm.rho / data.rho_r_kg_m3;
  const mu0 = (100 * Math.sqrt(Tb)) / data.H0.reduce((sum, H, i) => sum + H / Tb ** i, 0);
  const exponent = data.H.reduce((sum, { i, j, H }) => sum + H * (1 / Tb - 1) ** i * (rhob - 1) ** j, 0);
  return data.eta_r_Pa_s * mu0 * Math.exp(rhob * exponent) * criticalEnhancement(data, isotherm);
}

function criticalEnhancement(data: WaterForm, isotherm: Isotherm): number {
  const { critical, T_r_K, rho_r_kg_m3 } = data;
  const xi = waterCorrelationLength(critical, { T_r: T_r_K, rho_r: rho_r_kg_m3 }, isotherm);
  return xi > 0 ? Math.exp(critical.x_mu * crossover(critical, xi)) : 1;
}

/** What the correlation length is computed from; names as in the source. */
interface CorrelationLength {
  readonly xi0_nm: number;
  readonly Gamma0: number;
  readonly nu: number;
  readonly gamma: number;
  readonly Tbar_R: number;
}

/**
 * Correlation length xi of water [nm] at the temperature and density last evaluated on the isotherm;
 * 0 away from the critical point. @param T_r, rho_r  reference temperature [K] and density [kg/m3]
 */
export function waterCorrelationLength(
  critical: CorrelationLength,
  { T_r, rho_r }: { readonly T_r: number; readonly rho_r: number },
  isotherm: Isotherm,
): number {
  const zetaOf = (line: Isotherm) => isotherm.fluid.critical.p / (rho_r * line.dpdrho);
  const reference = new Isotherm(isotherm.fluid).setTemperature(critical.Tbar_R * T_r);
  reference.pressure(isotherm.rho);
  const Tb = isotherm.T / T_r;
  const dChi = (isotherm.rho / rho_r) * (zetaOf(isotherm) - (zetaOf(reference) * critical.Tbar_R) / Tb);
  return dChi > 0 ? critical.xi0_nm * (dChi / critical.Gamma0) ** (critical.nu / critical.gamma) : 0;
}

/** Y(xi), equations 14 to 19 of the source. */
function crossover(critical: Critical, xi: number): number {
  const qC = critical.q_C_inv_nm * xi;
  const qD = critical.q_D_inv_nm * xi;
  if (xi <= SHORT_CORRELATION) return 0.2 * qC * qD ** 5 * (1 - qC + qC ** 2 - (765 / 504) * qD ** 2);
  const psi = Math.acos((1 + qD * qD) ** -0.5);
  const w = Math.sqrt(Math.abs((qC - 1) / (qC + 1))) * Math.tan(psi / 2);
  const L = qC > 1 ? Math.log((1 + w) / (1 - w)) : 2 * Math.atan(w);
  return (
    Math.sin(3 * psi) / 12 -
    Math.sin(2 * psi) / (4 * qC) +
    ((1 - 1.25 * qC ** 2) * Math.sin(psi)) / qC ** 2 -
    ((1 - 1.5 * qC ** 2) * psi - Math.abs(qC ** 2 - 1) ** 1.5 * L) / qC ** 3
  );
}
