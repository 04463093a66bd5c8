/** Bolted joint and seat contact in the cold. */
import type { Area, Force, Length } from "../../quantity/index.js";

/** A preloaded bolt and what it clamps. */
export interface BoltedJoint {
  /** Preload at assembly [N]. */
  readonly preload: Force;
  readonly stressArea: Area;
  /** Young's modulus of the bolt at temperature [Pa], and over its warm one [-]. */
  readonly modulus: number;
  readonly modulusRatio: number;
  /** Stiffness of the clamped parts over that of the bolt, > 0 [-]. */
  readonly stiffnessShare: number;
  readonly contraction: { readonly bolt: number; readonly clamped: number };
}

/**
 * Bolt force at temperature: the elastic preload grows with the modulus, and a bolt that shrinks more
 * than what it clamps is stretched,
 *
 *   F(T) = F0 E(T)/E(T0) + (c_bolt - c_clamped) L / (1/k_b + 1/k_j),   k_b = E A / L
 *
 * The clamped length L falls out where bolt and joint have the same one, with s = k_j / k_b.
 *
 * @returns  not below zero: the joint has opened [N]
 * Valid for a clamped part whose stiffness changes as the bolt's does; relaxation and embedding are not in it
 * Source    [vdi-2230-1-2015, thermal load]
 */
export function boltForce(joint: BoltedJoint): Force {
  const { preload, stressArea, modulus, modulusRatio, stiffnessShare, contraction } = joint;
  const stiff = (modulus * stressArea * stiffnessShare) / (1 + stiffnessShare);
  const force = preload * modulusRatio + (contraction.bolt - contraction.clamped) * stiff;
  return Math.max(force, 0) as Force;
}

/**
 * Mean contact stress of a ring seat, p = F / (cos g 2 pi r w).
 * @param F  axial force [N];  @param R  ball radius;  @param r  radius of the contact circle;
 * @param w  width of the contact [m]
 * @returns  [Pa]
 */
export function ringContactStress(F: Force, R: Length, r: Length, w: Length): number {
  const cosine = Math.sqrt(1 - (r / R) ** 2);
  return F / (cosine * 2 * Math.PI * r * w);
}
