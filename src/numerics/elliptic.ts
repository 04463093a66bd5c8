/**
 * Complete elliptic integrals of the first and second kind by the arithmetic-geometric mean.
 * Parameter m = k^2, not the modulus k: books differ.
 */
import { refuse } from "../fault/index.js";

/**
 * Complete elliptic integral of the first kind.
 *
 *   K(m) = integral from 0 to pi/2 of (1 - m sin^2 t)^(-1/2) dt = pi / (2 agm(1, sqrt(1 - m)))
 *
 * @param m  parameter k^2, m < 1 [-]
 * @returns  K(m) [-], about 1e-15 relative
 * Refuses   m >= 1, where the integral is not finite.
 * Source    [abramowitz-stegun-1972, 17.3.1 and 17.6.3]
 */
export function completeEllipticK(m: number): number {
  if (!(m < 1)) {
    refuse(
      "elliptic-parameter",
      `parameter m = ${m} of the elliptic integral K`,
      "m = k^2 below 1: the integral is not finite at 1",
      "Check the ratio it was made from; its square must be below 1.",
    );
  }
  return meanAndSum(m).k;
}

/**
 * Complete elliptic integral of the second kind.
 *
 *   E(m) = integral from 0 to pi/2 of (1 - m sin^2 t)^(1/2) dt
 *
 * @param m  parameter k^2, m <= 1 [-]
 * @returns  E(m) [-], about 1e-15 relative
 * Refuses   m > 1, where the integrand is not real.
 * Source    [abramowitz-stegun-1972, 17.3.3 and 17.6.4]
 */
export function completeEllipticE(m: number): number {
  if (!(m <= 1)) {
    refuse(
      "elliptic-parameter",
      `parameter m = ${m} of the elliptic integral E`,
      "m = k^2 of at most 1: beyond it the root is not real",
      "Check the ratio it was made from; its square must not exceed 1.",
    );
  }
  if (m === 1) return 1;
  const { k, sum } = meanAndSum(m);
  return k * (1 - sum);
}

/** K(m), and the sum of 2^(n-1) c_n^2 that gives E = K (1 - sum) [abramowitz-stegun-1972, 17.6.4]. */
function meanAndSum(m: number): { k: number; sum: number } {
  let a = 1;
  let b = Math.sqrt(1 - m);
  let sum = m / 2;
  let power = 1;
  // The difference a - b is squared at each step, so ten steps exceed double precision for any m.
  for (let n = 0; n < 40 && Math.abs(a - b) > 1e-16 * a; n++) {
    const c = (a - b) / 2;
    const mean = (a + b) / 2;
    b = Math.sqrt(a * b);
    a = mean;
    sum += power * c * c;
    power *= 2;
  }
  return { k: Math.PI / (2 * a), sum };
}
