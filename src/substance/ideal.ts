/**
 * Ideal-gas part of the reduced Helmholtz energy without its density term ln(delta):
 *
 *   a^0 - ln(delta) = a1 + a2 tau + c ln(tau) + sum n tau^t + sum n ln(1 - exp(-theta tau))
 *
 * theta is dimensionless (characteristic temperature over T_r). a1 and a2 set the zero of entropy and
 * enthalpy, which differs between fluids; the data file says where it lies.
 * Source  [span-2000, eq. 53], [iapws-r6-95, eq. 5]
 */
import type { EquationData } from "./fluidFile.js";

/** Value and derivatives at one tau. */
export interface IdealPart {
  /** a^0 - ln(delta) [-]. */
  readonly a: number;
  /** tau a^0_tau [-]. */
  readonly aT: number;
  /** tau^2 a^0_tautau [-], negative: minus the ideal isochoric heat capacity over R. */
  readonly aTT: number;
}

/** Evaluates the ideal part. @param tau  T_r / T, > 0 [-] */
export function idealPart(ideal: EquationData["ideal"], tau: number): IdealPart {
  let a = ideal.a1 + ideal.a2 * tau + ideal.ln_tau * Math.log(tau);
  let aT = ideal.a2 * tau + ideal.ln_tau;
  let aTT = -ideal.ln_tau;
  for (const { n, t } of ideal.power) {
    const value = n * tau ** t;
    a += value;
    aT += t * value;
    aTT += t * (t - 1) * value;
  }
  for (const { n, theta } of ideal.planck_einstein) {
    const x = theta * tau;
    // expm1 keeps the digits of 1 - exp(-x) at small x, where a hot gas lies.
    const rest = -Math.expm1(-x);
    const share = (1 - rest) / rest;
    a += n * Math.log(rest);
    aT += n * x * share;
    aTT -= n * x * x * share * (1 + share);
  }
  return { a, aT, aTT };
}
