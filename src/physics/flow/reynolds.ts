/** Valve Reynolds number: whether the turbulent sizing equations apply. */
import type { Notice } from "../../fault/index.js";
import type { FlowCoefficient, KinematicViscosity, Length, VolumeFlow } from "../../quantity/index.js";
import { requirePositive } from "../../quantity/index.js";

/** Below this valve Reynolds number the turbulent equations lose validity [iec60534-2-1, clause 5.1]. */
const turbulentFrom = 10_000;

/**
 * Valve Reynolds number.
 *
 *   Re_v = N4 F_d Q / (nu sqrt(C FL)) (FL^2 C^2 / (N2 d^4) + 1)^(1/4)
 *
 * with N4 and N2 in coherent SI: the diameter behind Q/sqrt(C FL) is that of a round jet of area
 * C FL / sqrt 2, and N2 d^4 is 2 A^2 (docs/theory/flow.md, "Coefficients").
 *
 * @param Q   volume flow [m3/s]
 * @param nu  kinematic viscosity, > 0 [m2/s]
 * @param C   flow coefficient, > 0 [m2]
 * @param FL  liquid pressure recovery factor, 0 < FL <= 1 [-]
 * @param Fd  valve style modifier, > 0 [-]
 * @param d   nominal valve size, > 0 [m]
 * @returns   Re_v [-]
 * Source     [iec60534-2-1, clause 7.2], from memory.
 */
export function valveReynoldsNumber(
  Q: VolumeFlow,
  nu: KinematicViscosity,
  C: FlowCoefficient,
  FL: number,
  Fd: number,
  d: Length,
): number {
  requirePositive(nu, "kinematic viscosity", "kinematic viscosity", "The Reynolds number divides by it.");
  requirePositive(C, "flow coefficient", "flow coefficient", "A shut valve has no Reynolds number.");
  requirePositive(FL, "pressure recovery factor FL", "ratio", "It compares choked with unchoked flow.");
  requirePositive(Fd, "valve style modifier Fd", "ratio", "It is a ratio of diameters.");
  requirePositive(d, "valve size", "length", "It is a diameter.");
  const area = (Math.PI / 4) * d * d;
  const jetDiameter = Math.sqrt((4 / Math.PI) * ((C * FL) / Math.SQRT2));
  const approach = (1 + (FL * C) ** 2 / (2 * area * area)) ** 0.25;
  return ((4 * Math.abs(Q)) / (Math.PI * nu * jetDiameter)) * Fd * approach;
}

/** The caveat of a flow that is not turbulent, or none. @param reynolds valve Reynolds number [-] */
export function turbulenceNotices(reynolds: number): readonly Notice[] {
  if (reynolds >= turbulentFrom) return [];
  return [
    {
      code: "flow-not-turbulent",
      text: `valve Reynolds number ${reynolds.toPrecision(3)} lies below ${turbulentFrom}, where the turbulent equations hold: true flow is smaller than stated`,
    },
  ];
}
