/**
 * Residual part of the reduced Helmholtz energy, a^r(delta, tau) of a/(R T) = a^0 + a^r, with the
 * derivatives that thermodynamic properties need, for a whole isotherm at a time.
 *
 *   power        n delta^d tau^t exp(-delta^c), without the exponential where c = 0
 *   gaussian     n delta^d tau^t exp(-eta (delta - epsilon)^2 - beta (tau - gamma)^2)
 *   non-analytic see nonAnalytic.ts
 *
 * delta = rho / rho_r, tau = T_r / T. Every derivative is kept multiplied by its variables
 * (delta a_delta, tau^2 a_tautau, ...), which has no 1/delta and so no special case at d = 0.
 *
 * For a given tau the power terms that share (c, d) are one: their sums over n tau^t are folded once,
 * after which a density costs a few short polynomials in delta and one exponential for each c. This
 * is what makes an iteration for density cheap.
 * Source  form of the terms [span-2000, eq. 53-56], [wagner-pruss-2002, eq. 6 and table 6.5]
 */
import type { EquationData } from "./fluidFile.js";
import { addNonAnalytic, type NonAnalyticTerm } from "./nonAnalytic.js";

/** The terms of one fluid, sorted and packed for evaluation. */
export interface ResidualTerms {
  /** Distinct exponents of tau. */
  readonly exponents: Float64Array;
  /** Power terms in order of their group: factor, exponent of tau, its place in `exponents`. */
  readonly n: Float64Array;
  readonly t: Float64Array;
  readonly exponentOf: Int32Array;
  /** Groups of equal (c, d), sorted by c, then d: exponent of delta, and first term; one entry more closes the last. */
  readonly groupD: Int32Array;
  readonly groupStart: Int32Array;
  /** Blocks of equal c: c, and first group; one entry more closes the last. */
  readonly blockC: Int32Array;
  readonly blockStart: Int32Array;
  /** Gaussian terms, seven numbers each: n, d, t, eta, epsilon, beta, gamma. */
  readonly gaussian: Float64Array;
  readonly nonAnalytic: readonly NonAnalyticTerm[];
  /**
   * What an isotherm's working storage is copied from. A plain array: typed ones of this size are
   * stored apart from their object and cost more than the evaluation. The fractions keep it one of doubles.
   */
  readonly blank: readonly number[];
}

const GAUSSIAN_FIELDS = 7;
const GROUP_SLOTS = 3;
const GAUSSIAN_SLOTS = 4;

/** exp(-100) = 4e-44, times factors of at most 1e12, is lost in the rounding of the other terms. */
const NEGLIGIBLE_EXPONENT = 100;

/** Packs the terms of a data file. */
export function packResidual(residual: EquationData["residual"]): ResidualTerms {
  const power = [...residual.power].sort((x, y) => x.c - y.c || x.d - y.d);
  const exponents = [...new Set(power.map((term) => term.t))];
  const groupD: number[] = [];
  const groupStart: number[] = [];
  const blockC: number[] = [];
  const blockStart: number[] = [];
  power.forEach((term, index) => {
    const before = power[index - 1];
    const isNewBlock = before?.c !== term.c;
    if (isNewBlock) {
      blockC.push(term.c);
      blockStart.push(groupD.length);
    }
    if (isNewBlock || before?.d !== term.d) {
      groupD.push(term.d);
      groupStart.push(index);
    }
  });
  groupStart.push(power.length);
  blockStart.push(groupD.length);
  return {
    exponents: Float64Array.from(exponents),
    n: Float64Array.from(power, (term) => term.n),
    t: Float64Array.from(power, (term) => term.t),
    exponentOf: Int32Array.from(power, (term) => exponents.indexOf(term.t)),
    groupD: Int32Array.from(groupD),
    groupStart: Int32Array.from(groupStart),
    blockC: Int32Array.from(blockC),
    blockStart: Int32Array.from(blockStart),
    gaussian: Float64Array.from(
      residual.gaussian.flatMap(({ n, d, t, eta, epsilon, beta, gamma }) => [
        n,
        d,
        t,
        eta,
        epsilon,
        beta,
        gamma,
      ]),
    ),
    nonAnalytic: residual.non_analytic,
    blank: Array.from(
      {
        length: GROUP_SLOTS * groupD.length + GAUSSIAN_SLOTS * residual.gaussian.length + exponents.length,
      },
      () => 0.5,
    ),
  };
}

/**
 * The residual part along one isotherm. Set a temperature with `setTau`, then evaluate densities; the six
 * fields hold the values at the density evaluated last. One object serves any number of temperatures
 * in turn, without allocation.
 */
export class ResidualIsotherm {
  /** a^r [-]. */
  a = 0;
  /** delta a^r_delta [-]. */
  aD = 0;
  /** delta^2 a^r_deltadelta [-]. */
  aDD = 0;
  /** tau a^r_tau [-]. */
  aT = 0;
  /** tau^2 a^r_tautau [-]. */
  aTT = 0;
  /** delta tau a^r_deltatau [-]. */
  aDT = 0;

  private tau = 0;
  private readonly terms: ResidualTerms;
  /**
   * What is folded for the isotherm, in one array:
   *   three numbers for each group  sums over its terms of n tau^t, n t tau^t, n t (t - 1) tau^t
   *   four for each gaussian        beta (tau - gamma)^2, and n tau^t times 1, B, B^2 - t - 2 beta tau^2
   *   one for each exponent         tau^t
   */
  private readonly folded: number[];
  private readonly gaussianAt: number;
  private readonly powerAt: number;

  constructor(terms: ResidualTerms) {
    this.terms = terms;
    this.gaussianAt = GROUP_SLOTS * terms.groupD.length;
    this.powerAt = this.gaussianAt + GAUSSIAN_SLOTS * (terms.gaussian.length / GAUSSIAN_FIELDS);
    this.folded = terms.blank.slice();
  }

  /** Chooses the isotherm. @param tau  T_r / T, > 0 [-] */
  setTau(tau: number): this {
    this.tau = tau;
    const lnTau = Math.log(tau);
    const { exponents, n, t, exponentOf, groupStart } = this.terms;
    const { folded, powerAt } = this;
    for (let k = 0; k < exponents.length; k++) folded[powerAt + k] = Math.exp((exponents[k] ?? 0) * lnTau);
    let term = 0;
    for (let group = 1; group < groupStart.length; group++) {
      const end = groupStart[group] ?? 0;
      let sum = 0;
      let sumT = 0;
      let sumTT = 0;
      for (; term < end; term++) {
        const exponent = t[term] ?? 0;
        const value = (n[term] ?? 0) * (folded[powerAt + (exponentOf[term] ?? 0)] ?? 0);
        const slope = value * exponent;
        sum += value;
        sumT += slope;
        sumTT += slope * (exponent - 1);
      }
      const slot = GROUP_SLOTS * (group - 1);
      folded[slot] = sum;
      folded[slot + 1] = sumT;
      folded[slot + 2] = sumTT;
    }
    this.foldGaussians(tau, lnTau);
    return this;
  }

  private foldGaussians(tau: number, lnTau: number): void {
    const { gaussian } = this.terms;
    const { folded } = this;
    let slot = this.gaussianAt;
    for (let field = 0; field < gaussian.length; field += GAUSSIAN_FIELDS) {
      const t = gaussian[field + 2] ?? 0;
      const beta = gaussian[field + 5] ?? 0;
      const off = tau - (gaussian[field + 6] ?? 0);
      const value = (gaussian[field] ?? 0) * Math.exp(t * lnTau);
      const B = t - 2 * beta * tau * off;
      folded[slot] = beta * off * off;
      folded[slot + 1] = value;
      folded[slot + 2] = value * B;
      folded[slot + 3] = value * (B * B - t - 2 * beta * tau * tau);
      slot += GAUSSIAN_SLOTS;
    }
  }

  /** Evaluates the six fields. @param delta  rho / rho_r, >= 0 [-] */
  evaluate(delta: number): void {
    const { groupD, blockC, blockStart, gaussian, nonAnalytic } = this.terms;
    const { folded } = this;
    let a = 0;
    let aD = 0;
    let aDD = 0;
    let aT = 0;
    let aTT = 0;
    let aDT = 0;
    let group = 0;
    for (let block = 0; block < blockC.length; block++) {
      const c = blockC[block] ?? 0;
      const end = blockStart[block + 1] ?? 0;
      let power = 1;
      let d = 0;
      let sum = 0;
      let sumD = 0;
      let sumDD = 0;
      let sumT = 0;
      let sumTT = 0;
      let sumDT = 0;
      for (; group < end; group++) {
        const target = groupD[group] ?? 0;
        for (; d < target; d++) power *= delta;
        const slot = GROUP_SLOTS * group;
        const value = (folded[slot] ?? 0) * power;
        const valueT = (folded[slot + 1] ?? 0) * power;
        const slope = d * value;
        sum += value;
        sumD += slope;
        sumDD += (d - 1) * slope;
        sumT += valueT;
        sumDT += d * valueT;
        sumTT += (folded[slot + 2] ?? 0) * power;
      }
      let deltaC = 1;
      for (let k = 0; k < c; k++) deltaC *= delta;
      const decay = c === 0 ? 1 : Math.exp(-deltaC);
      const X = c * deltaC;
      a += decay * sum;
      aD += decay * (sumD - X * sum);
      aDD += decay * (sumDD - 2 * X * sumD + X * (X + 1 - c) * sum);
      aT += decay * sumT;
      aTT += decay * sumTT;
      aDT += decay * (sumDT - X * sumT);
    }
    let slot = this.gaussianAt;
    for (let field = 0; field < gaussian.length; field += GAUSSIAN_FIELDS, slot += GAUSSIAN_SLOTS) {
      const eta = gaussian[field + 3] ?? 0;
      const off = delta - (gaussian[field + 4] ?? 0);
      const exponent = eta * off * off + (folded[slot] ?? 0);
      if (exponent > NEGLIGIBLE_EXPONENT) continue;
      const d = gaussian[field + 1] ?? 0;
      let factor = Math.exp(-exponent);
      for (let k = 0; k < d; k++) factor *= delta;
      const A = d - 2 * eta * delta * off;
      const value = factor * (folded[slot + 1] ?? 0);
      const valueT = factor * (folded[slot + 2] ?? 0);
      a += value;
      aD += value * A;
      aDD += value * (A * A - d - 2 * eta * delta * delta);
      aT += valueT;
      aTT += factor * (folded[slot + 3] ?? 0);
      aDT += valueT * A;
    }
    this.a = a;
    this.aD = aD;
    this.aDD = aDD;
    this.aT = aT;
    this.aTT = aTT;
    this.aDT = aDT;
    if (nonAnalytic.length > 0) addNonAnalytic(this, nonAnalytic, delta, this.tau);
  }
}
