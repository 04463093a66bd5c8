/**
 * Steps of a stiff autonomous system y' = f(y) by RODAS (rodas.ts), with the analytic Jacobian that the
 * system itself factorises, so that a matrix with structure is solved by its structure.
 *
 * To integrate a system: give it the five members of `StiffSystem`; ask `attempt` for steps, accept those
 * of error <= 1, take the next size from `nextStep`, read the path inside a step by `stepCurve` functions.
 * Buffers are reused and nothing is allocated in a step. Source: [hairer-wanner-1996, IV.7]; tested for
 * order and against published solutions in test/numerics/rosenbrock.test.ts.
 */
import { rodas } from "./rodas.js";

export interface StiffSystem {
  /** Number of states. */
  readonly size: number;
  /** Writes f(y) into `into`. */
  rates(y: Float64Array, into: Float64Array): void;
  /** Prepares `solve` for the matrix g I - f'(y). */
  factorise(y: Float64Array, g: number): void;
  /** Replaces r by the solution x of (g I - f'(y)) x = r. */
  solve(r: Float64Array): void;
  /** Size of an error against what is tolerated: 1 is just tolerable. @param end state after the step */
  errorOf(error: Float64Array, end: Float64Array): number;
}

/** Accepted errors stay this much under what is tolerated, and steps change within these factors. */
const safety = 0.9;
const largestGrowth = 5;
const smallestShrink = 0.2;

/** Size of the next step after one of an error, order 4 with an estimate of order 3. */
export function nextStep(h: number, error: number): number {
  if (!Number.isFinite(error)) return h * smallestShrink;
  const factor = error > 0 ? safety * error ** -0.25 : largestGrowth;
  return h * Math.min(Math.max(factor, smallestShrink), largestGrowth);
}

export class RosenbrockStep {
  /** State at the start of the step; set it before the first. */
  readonly start: Float64Array;
  /** State at its end, and the two further terms of the path inside it (stepCurve.ts). */
  readonly end: Float64Array;
  readonly bend: Float64Array;
  readonly skew: Float64Array;
  private readonly k1: Float64Array;
  private readonly k2: Float64Array;
  private readonly k3: Float64Array;
  private readonly k4: Float64Array;
  private readonly k5: Float64Array;
  private readonly k6: Float64Array;
  private readonly y: Float64Array;

  constructor(private readonly system: StiffSystem) {
    const states = () => new Float64Array(system.size);
    this.start = states();
    this.end = states();
    this.bend = states();
    this.skew = states();
    this.k1 = states();
    this.k2 = states();
    this.k3 = states();
    this.k4 = states();
    this.k5 = states();
    this.k6 = states();
    this.y = states();
  }

  /** Attempts a step of size h from `start`. @returns its error as of `errorOf` */
  attempt(h: number): number {
    const { system, start, end, bend, skew, k1, k2, k3, k4, k5, k6, y } = this;
    const n = system.size;
    const m = rodas;
    const q = 1 / h;
    system.factorise(start, q / m.gamma);
    system.rates(start, k1);
    system.solve(k1);
    for (let j = 0; j < n; j++) y[j] = (start[j] as number) + m.a21 * (k1[j] as number);
    system.rates(y, k2);
    const c21 = q * m.c21;
    for (let j = 0; j < n; j++) k2[j] = (k2[j] as number) + c21 * (k1[j] as number);
    system.solve(k2);
    for (let j = 0; j < n; j++)
      y[j] = (start[j] as number) + m.a31 * (k1[j] as number) + m.a32 * (k2[j] as number);
    system.rates(y, k3);
    for (let j = 0; j < n; j++)
      k3[j] = (k3[j] as number) + q * (m.c31 * (k1[j] as number) + m.c32 * (k2[j] as number));
    system.solve(k3);
    for (let j = 0; j < n; j++)
      y[j] =
        (start[j] as number) +
        m.a41 * (k1[j] as number) +
        m.a42 * (k2[j] as number) +
        m.a43 * (k3[j] as number);
    system.rates(y, k4);
    for (let j = 0; j < n; j++)
      k4[j] =
        (k4[j] as number) +
        q * (m.c41 * (k1[j] as number) + m.c42 * (k2[j] as number) + m.c43 * (k3[j] as number));
    system.solve(k4);
    for (let j = 0; j < n; j++)
      y[j] =
        (start[j] as number) +
        m.a51 * (k1[j] as number) +
        m.a52 * (k2[j] as number) +
        m.a53 * (k3[j] as number) +
        m.a54 * (k4[j] as number);
    system.rates(y, k5);
    for (let j = 0; j < n; j++)
      k5[j] =
        (k5[j] as number) +
        q *
          (m.c51 * (k1[j] as number) +
            m.c52 * (k2[j] as number) +
            m.c53 * (k3[j] as number) +
            m.c54 * (k4[j] as number));
    system.solve(k5);
    for (let j = 0; j < n; j++) y[j] = (y[j] as number) + (k5[j] as number);
    system.rates(y, k6);
    for (let j = 0; j < n; j++)
      k6[j] =
        (k6[j] as number) +
        q *
          (m.c61 * (k1[j] as number) +
            m.c62 * (k2[j] as number) +
            m.c63 * (k3[j] as number) +
            m.c64 * (k4[j] as number) +
            m.c65 * (k5[j] as number));
    system.solve(k6);
    for (let j = 0; j < n; j++) {
      const x1 = k1[j] as number;
      const x2 = k2[j] as number;
      const x3 = k3[j] as number;
      const x4 = k4[j] as number;
      const x5 = k5[j] as number;
      end[j] = (y[j] as number) + (k6[j] as number);
      bend[j] = m.h21 * x1 + m.h22 * x2 + m.h23 * x3 + m.h24 * x4 + m.h25 * x5;
      skew[j] = m.h31 * x1 + m.h32 * x2 + m.h33 * x3 + m.h34 * x4 + m.h35 * x5;
    }
    return system.errorOf(k6, end);
  }

  /** Writes the state at a share of the step into `into`. */
  along(share: number, into: Float64Array): void {
    const { start, end, bend, skew } = this;
    const rest = 1 - share;
    for (let j = 0; j < into.length; j++)
      into[j] =
        rest * (start[j] as number) +
        share * ((end[j] as number) + rest * ((bend[j] as number) + share * (skew[j] as number)));
  }
}
