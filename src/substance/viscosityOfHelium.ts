/**
 * Viscosity of helium, gas and liquid helium I.
 *
 *   ln(eta / 1e-7 Pa s) = Q_eta0(x) + r Q_B(x) + r^2 Q_C(x) + r^3 Q_D(x)            to 100 K
 *   above, the value of zero density is taken from the gas:
 *   eta / 1e-7 Pa s     = exp(e0 + ex) - exp(e0) + a T^n exp(b/T + c/T^2 + d)
 *   Q_q(x) = q0/x + q1 + q2 x + q3 x^2 + q4 x^3,   x = ln(min(T, 300)),   r = rho in g/cm3
 *
 * Source  [arp-1998, section 5]
 */
import type { ViscosityData } from "./transportFile.js";

type HeliumForm = Extract<ViscosityData, { form: "helium_arp_1998" }>;

const PASCAL_SECONDS = 1e-7;
const GRAMS_PER_CM3 = 1e-3;
/** Temperature beyond which the density terms are those at it [K]. */
const WARMEST = 300;

/** @param T  [K];  @param rho  [kg/m3];  @returns  [Pa s] */
export function heliumViscosity(data: HeliumForm, T: number, rho: number): number {
  const x = Math.log(Math.min(T, WARMEST));
  const r = rho * GRAMS_PER_CM3;
  const Q = ([q0 = 0, q1 = 0, q2 = 0, q3 = 0, q4 = 0]: readonly number[]) =>
    q0 / x + q1 + x * (q2 + x * (q3 + x * q4));
  const e0 = Q(data.eta0);
  const whole = Math.exp(e0 + r * (Q(data.B) + r * (Q(data.C) + r * Q(data.D))));
  const { a, n, b, c, d, T_switch_K } = data.eta0_high;
  if (T <= T_switch_K) return PASCAL_SECONDS * whole;
  const gas = a * T ** n * Math.exp(b / T + c / T ** 2 + d);
  return PASCAL_SECONDS * (whole - Math.exp(e0) + gas);
}
