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
}

const GAUSSIAN_FIELDS = 7;

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
  private readonly tauPowers: Float64Array;
  /** For each group three sums over its terms: n tau^t, n t tau^t, n t (t - 1) tau^t. */
  private readonly folded: Float64Array;
  /** For each gaussian its factor in tau and the same times B and B^2 - t - 2 beta tau^2. */
  private readonly foldedGaussian: Float64Array;

  constructor(terms: ResidualTerms) {
    this.terms = terms;
    const groups = 3 * terms.groupD.length;
    const gaussians = 3 * (terms.gaussian.length / GAUSSIAN_FIELDS);
    const room = new Float64Array(groups + gaussians + terms.exponents.length);
    this.folded = room.subarray(0, groups);
    this.foldedGaussian = room.subarray(groups, groups + gaussians);
    this.tauPowers = room.subarray(groups + gaussians);
  }

  /** Chooses the isotherm. @param tau  T_r / T, > 0 [-] */
  setTau(tau: number): this {
    const { terms } = this;
    this.tau = tau;
    const lnTau = Math.log(tau);
    const { exponents, n, t, exponentOf, groupStart } = terms;
    const { tauPowers, folded } = this;
    for (let k = 0; k < exponents.length; k++) tauPowers[k] = Math.exp(element(exponents, k) * lnTau);
    const groups = groupStart.length - 1;
    let term = 0;
    for (let group = 0; group < groups; group++) {
      const end = element(groupStart, group + 1);
      let sum = 0;
      let sumT = 0;
      let sumTT = 0;
      for (; term < end; term++) {
        const exponent = element(t, term);
        const value = element(n, term) * element(tauPowers, element(exponentOf, term));
        sum += value;
        sumT += value * exponent;
        sumTT += value * exponent * (exponent - 1);
      }
      folded[3 * group] = sum;
      folded[3 * group + 1] = sumT;
      folded[3 * group + 2] = sumTT;
    }
    this.foldGaussians(tau, lnTau);
    return this;
  }

  private foldGaussians(tau: number, lnTau: number): void {
    const { gaussian } = this.terms;
    const { foldedGaussian } = this;
    for (let field = 0, slot = 0; field < gaussian.length; field += GAUSSIAN_FIELDS, slot += 3) {
      const t = element(gaussian, field + 2);
      const beta = element(gaussian, field + 5);
      const off = tau - element(gaussian, field + 6);
      const value = element(gaussian, field) * Math.exp(t * lnTau - beta * off * off);
      const B = t - 2 * beta * tau * off;
      foldedGaussian[slot] = value;
      foldedGaussian[slot + 1] = value * B;
      foldedGaussian[slot + 2] = value * (B * B - t - 2 * beta * tau * tau);
    }
  }

  /** Evaluates the six fields. @param delta  rho / rho_r, >= 0 [-] */
  evaluate(delta: number): void {
    const { groupD, blockC, blockStart, gaussian, nonAnalytic } = this.terms;
    const { folded, foldedGaussian } = this;
    let a = 0;
    let aD = 0;
    let aDD = 0;
    let aT = 0;
    let aTT = 0;
    let aDT = 0;
    const blocks = blockC.length;
    let group = 0;
    for (let block = 0; block < blocks; block++) {
      const c = element(blockC, block);
      const end = element(blockStart, block + 1);
      let power = 1;
      let d = 0;
      let sum = 0;
      let sumD = 0;
      let sumDD = 0;
      let sumT = 0;
      let sumTT = 0;
      let sumDT = 0;
      for (; group < end; group++) {
        const target = element(groupD, group);
        for (; d < target; d++) power *= delta;
        const value = element(folded, 3 * group) * power;
        const valueT = element(folded, 3 * group + 1) * power;
        sum += value;
        sumD += d * value;
        sumDD += d * (d - 1) * value;
        sumT += valueT;
        sumDT += d * valueT;
        sumTT += element(folded, 3 * group + 2) * power;
      }
      if (c === 0) {
        a += sum;
        aD += sumD;
        aDD += sumDD;
        aT += sumT;
        aTT += sumTT;
        aDT += sumDT;
        continue;
      }
      let deltaC = delta;
      for (let k = 1; k < c; k++) deltaC *= delta;
      const decay = Math.exp(-deltaC);
      const X = c * deltaC;
      a += decay * sum;
      aD += decay * (sumD - X * sum);
      aDD += decay * (sumDD - 2 * X * sumD + X * (X + 1 - c) * sum);
      aT += decay * sumT;
      aTT += decay * sumTT;
      aDT += decay * (sumDT - X * sumT);
    }
    for (let field = 0, slot = 0; field < gaussian.length; field += GAUSSIAN_FIELDS, slot += 3) {
      const d = element(gaussian, field + 1);
      const eta = element(gaussian, field + 3);
      const off = delta - element(gaussian, field + 4);
      let factor = Math.exp(-eta * off * off);
      for (let k = 0; k < d; k++) factor *= delta;
      const A = d - 2 * eta * delta * off;
      const value = factor * element(foldedGaussian, slot);
      const valueT = factor * element(foldedGaussian, slot + 1);
      a += value;
      aD += value * A;
      aDD += value * (A * A - d - 2 * eta * delta * delta);
      aT += valueT;
      aTT += factor * element(foldedGaussian, slot + 2);
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

/** An element that is known to exist: the loops above stay within their arrays. */
function element(array: Float64Array | Int32Array, index: number): number {
  return array[index] ?? 0;
}
