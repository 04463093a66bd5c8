/**
 * Thermal conductivity of helium without its critical enhancement [W/(m K)].
 *
 *   lambda = a T^n exp(sum b_i / T^i)
 *          + (c0 + c1 T + c2 T^(1/3) + c3 T^(2/3)) rho + (c4 + c5 T^(1/3) + c6 T^(2/3)) rho^3
 *          + (c7 + c8 T^(1/3) + c9 T^(2/3) + c10/T) rho^2 ln(rho/rho_c)
 *
 * Source  [hands-arp-1981]
 */
import type { ConductivityData } from "./transportFile.js";

type HeliumForm = Extract<ConductivityData, { form: "helium_hands_arp_1981" }>;

/** @param T  [K];  @param rho  [kg/m3] */
export function heliumConductivity(data: HeliumForm, T: number, rho: number): number {
  const exponent = data.dilute.b.reduce((sum, b, i) => sum + b / T ** (i + 1), 0);
  const dilute = data.dilute.a * T ** data.dilute.n * Math.exp(exponent);
  const [c0 = 0, c1 = 0, c2 = 0, c3 = 0, c4 = 0, c5 = 0, c6 = 0, c7 = 0, c8 = 0, c9 = 0, c10 = 0] = data.c;
  const third = Math.cbrt(T);
  const linear = (c0 + c1 * T + third * (c2 + third * c3)) * rho;
  const cubic = (c4 + third * (c5 + third * c6)) * rho ** 3;
  const logarithm = rho > 0 ? rho ** 2 * Math.log(rho / data.rho_c_kg_m3) : 0;
  return dilute + linear + cubic + (c7 + third * (c8 + third * c9) + c10 / T) * logarithm;
}
