/** Friction of the stem packing. */
import type { Length, PressureDifference, Torque } from "../../quantity/index.js";
import { requireNotNegative, requirePositive, requireShare } from "../../quantity/index.js";
import { noLoad, type TurningTerm } from "./term.js";

/** Least axial packing stress in use, and its ratio to the sealed pressure. Common practice, no source. */
const leastAxialStress = 5e6;
const axialStressOverPressure = 1.5;

/**
 * Friction torque of packing rings on a stem.
 *
 *   T = mu pi d^2 L sigma_r / 2
 *
 * @param mu      friction coefficient packing on stem, >= 0 [-]
 * @param d       stem diameter, > 0 [m]
 * @param L       height of the packing set, > 0 [m]
 * @param sigmaR  radial stress on the stem, even over the height, >= 0 [Pa]
 * @returns       magnitude; opposes motion [N m]
 * Source         stuffing-box theory, derived in docs/theory/seat.md, "Packing".
 */
export function packingTorque(mu: number, d: Length, L: Length, sigmaR: PressureDifference): Torque {
  requireNotNegative(mu, "packing friction coefficient", "ratio", "Friction opposes motion.");
  requirePositive(d, "stem diameter", "length", "It is a length.");
  requirePositive(L, "packing height", "length", "It is a length.");
  requireNotNegative(sigmaR, "radial packing stress", "pressure difference", "A packing pushes on the stem.");
  return ((mu * Math.PI * d * d * L * sigmaR) / 2) as Torque;
}

/**
 * Radial stress of a packing from the gland stress that seals a pressure.
 *
 *   sigma_r = K max(1.5 p, 5 MPa)
 *
 * @param K  radial over axial stress, 0 < K <= 1: 0.5 to 0.7 PTFE, 0.3 to 0.5 graphite [-]
 * @param p  sealed gauge pressure, >= 0 [Pa]
 * @returns  radial stress [Pa]
 * Source    common practice, no source; from memory.
 */
export function packingRadialStress(K: number, p: PressureDifference): PressureDifference {
  requireShare(K, "radial over axial packing stress", "A packing passes on part of the gland load.");
  requireNotNegative(p, "sealed pressure", "pressure difference", "Give the gauge pressure.");
  return (K * Math.max(axialStressOverPressure * p, leastAxialStress)) as PressureDifference;
}

/** Packing friction, from its geometry or as measured. */
export const packingTerm: TurningTerm = {
  id: "packing",
  name: "stem packing",
  character: "friction",
  breakaway: { ratio: "packing", dwell: true },
  marginClass: "variable",
  motorisationClass: "friction",
  load: ({ packing }) => {
    if (packing === "none") return noLoad;
    if (packing.kind === "measured") {
      requireNotNegative(packing.torque, "packing torque", "torque", "Friction opposes motion.");
      return { ...noLoad, constant: packing.torque };
    }
    const { friction, stemDiameter, height, radialStress } = packing;
    return { ...noLoad, constant: packingTorque(friction, stemDiameter, height, radialStress) };
  },
};
