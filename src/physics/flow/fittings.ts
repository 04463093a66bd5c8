/**
 * Reducers close to a valve: the piping geometry factor F_P and the combined factor F_LP.
 *
 * In coherent SI the standard's N2 is the geometry of the pipe itself: a loss coefficient zeta on
 * the valve's nominal area A adds zeta/(2 A^2) to 1/C^2 (docs/theory/flow.md, "Coefficients").
 */
import type { FlowCoefficient, Length } from "../../quantity/index.js";
import { requirePositive } from "../../quantity/index.js";

/** Loss of the reducers at a valve in the form in which it adds to 1/C^2. */
export interface PipingFactors {
  /** Sum zeta / (2 A^2) of both reducers, Bernoulli terms included [1/m4]. */
  readonly lossPerArea: number;
  /** (zeta1 + zB1) / (2 A^2) of the inlet reducer [1/m4]. */
  readonly inletLossPerArea: number;
}

/** Pipe of the valve's own size: no reducers. */
export const noFittings: PipingFactors = { lossPerArea: 0, inletLossPerArea: 0 };

/**
 * Concentric short reducers between a valve and its pipes.
 *
 *   zeta1 = 0.5 (1 - (d/D1)^2)^2,  zeta2 = (1 - (d/D2)^2)^2,  zB = 1 - (d/D)^4
 *
 * @param d   nominal valve size, > 0 [m]
 * @param D1  inside diameter of the upstream pipe, > 0 [m]
 * @param D2  inside diameter of the downstream pipe, > 0 [m]
 * Source     [iec60534-2-1, clause 7.1], from memory.
 */
export function concentricReducers(d: Length, D1: Length, D2: Length): PipingFactors {
  requirePositive(d, "valve size", "length", "It is a diameter.");
  requirePositive(D1, "upstream pipe diameter", "length", "It is a diameter.");
  requirePositive(D2, "downstream pipe diameter", "length", "It is a diameter.");
  const area = (Math.PI / 4) * d * d;
  const zeta1 = 0.5 * (1 - (d / D1) ** 2) ** 2;
  const zeta2 = (1 - (d / D2) ** 2) ** 2;
  const zB1 = 1 - (d / D1) ** 4;
  const zB2 = 1 - (d / D2) ** 4;
  return {
    lossPerArea: (zeta1 + zeta2 + zB1 - zB2) / (2 * area * area),
    inletLossPerArea: (zeta1 + zB1) / (2 * area * area),
  };
}

/**
 * Piping geometry factor: flow with reducers over flow without, at the same drop.
 *
 *   F_P = 1 / sqrt(1 + (sum zeta / N2) (C/d^2)^2)
 *
 * @param C         flow coefficient of the valve alone, >= 0 [m2]
 * @param fittings  reducers at the valve
 * @returns         F_P [-]
 * Source           [iec60534-2-1, clause 7.1], from memory; N2 derived in docs/theory/flow.md.
 */
export function pipingGeometryFactor(C: FlowCoefficient, fittings: PipingFactors): number {
  return 1 / Math.sqrt(1 + fittings.lossPerArea * C * C);
}

/**
 * Combined liquid pressure recovery and piping geometry factor.
 *
 *   F_LP = FL / sqrt(1 + (FL^2 / N2) (zeta1 + zB1) (C/d^2)^2)
 *
 * @param C         flow coefficient of the valve alone, >= 0 [m2]
 * @param FL        liquid pressure recovery factor of the valve alone, 0 < FL <= 1 [-]
 * @param fittings  reducers at the valve
 * @returns         F_LP [-]
 * Source           [iec60534-2-1, clause 7.4], from memory; N2 derived in docs/theory/flow.md.
 */
export function combinedRecoveryFactor(C: FlowCoefficient, FL: number, fittings: PipingFactors): number {
  return FL / Math.sqrt(1 + FL * FL * fittings.inletLossPerArea * C * C);
}
