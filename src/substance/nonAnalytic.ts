/**
 * The non-analytic terms of water's equation of state, which shape the critical region.
 *
 *   f     = n Delta^b delta psi
 *   Delta = theta^2 + B ((delta - 1)^2)^a
 *   theta = (1 - tau) + A ((delta - 1)^2)^(1/(2 beta))
 *   psi   = exp(-C (delta - 1)^2 - D (tau - 1)^2)
 *
 * Source  [iapws-r6-95, table 5]
 */

/** Coefficients of one term, named as in the source. */
export interface NonAnalyticTerm {
  readonly n: number;
  readonly a: number;
  readonly b: number;
  readonly beta: number;
  readonly A: number;
  readonly B: number;
  readonly C: number;
  readonly D: number;
}

/** The residual part and its derivatives, each multiplied by its variables; see ResidualIsotherm. */
export interface ResidualSums {
  a: number;
  aD: number;
  aDD: number;
  aT: number;
  aTT: number;
  aDT: number;
}

/** psi below exp(-100) is lost in the rounding of the other terms, whatever its derivatives multiply it by. */
const NEGLIGIBLE_EXPONENT = 100;

/** Second derivatives do not exist at delta = 1: the density is moved off it by this much [-]. */
const LEAST_DISTANCE = 1e-9;

/** Adds the terms to the sums. */
export function addNonAnalytic(
  sums: ResidualSums,
  terms: readonly NonAnalyticTerm[],
  reducedDensity: number,
  tau: number,
): void {
  const isSingular = Math.abs(reducedDensity - 1) < LEAST_DISTANCE;
  const delta = isSingular ? 1 + LEAST_DISTANCE : reducedDensity;
  const x = delta - 1;
  const y = tau - 1;
  const xx = x * x;
  for (const { n, a, b, beta, A, B, C, D } of terms) {
    const exponent = C * xx + D * y * y;
    if (exponent > NEGLIGIBLE_EXPONENT) continue;
    const psi = Math.exp(-exponent);
    const psi_d = -2 * C * x * psi;
    const psi_dd = (2 * C * xx - 1) * 2 * C * psi;
    const psi_t = -2 * D * y * psi;
    const psi_tt = (2 * D * y * y - 1) * 2 * D * psi;
    const psi_dt = 4 * C * D * x * y * psi;

    const m = 1 / (2 * beta);
    // xx^(m - 1) and xx^(a - 1) with a factor x^2 taken out, as every use below has one.
    const xm = xx ** (m - 1);
    const xa = xx ** (a - 1);
    const theta = -y + A * xm * xx;
    const Delta = theta * theta + B * xa * xx;
    const theta_d = 2 * m * A * xm * x;
    const theta_dd = 2 * m * (2 * m - 1) * A * xm;
    const Delta_d = 2 * theta * theta_d + 2 * a * B * xa * x;
    const Delta_dd = 2 * (theta_d * theta_d + theta * theta_dd) + 2 * a * (2 * a - 1) * B * xa;

    const Db = Delta ** b;
    const Db1 = (b * Db) / Delta;
    const Db2 = ((b - 1) * Db1) / Delta;
    const Db_d = Db1 * Delta_d;
    const Db_dd = Db1 * Delta_dd + Db2 * Delta_d * Delta_d;
    const Db_t = -2 * theta * Db1;
    const Db_tt = 2 * Db1 + 4 * theta * theta * Db2;
    const Db_dt = -2 * theta_d * Db1 - 2 * theta * Db2 * Delta_d;

    sums.a += n * Db * delta * psi;
    sums.aD += n * delta * (Db * (psi + delta * psi_d) + Db_d * delta * psi);
    sums.aDD +=
      n *
      delta *
      delta *
      (Db * (2 * psi_d + delta * psi_dd) + 2 * Db_d * (psi + delta * psi_d) + Db_dd * delta * psi);
    sums.aT += n * tau * delta * (Db_t * psi + Db * psi_t);
    sums.aTT += n * tau * tau * delta * (Db_tt * psi + 2 * Db_t * psi_t + Db * psi_tt);
    sums.aDT +=
      n *
      delta *
      tau *
      (Db * (psi_t + delta * psi_dt) +
        delta * Db_d * psi_t +
        Db_t * (psi + delta * psi_d) +
        Db_dt * delta * psi);
  }
}
