/** Bolts of a flange under pressure: what each carries, and what still clamps. */
import type { Force, Length } from "../../quantity/index.js";

/** A bolted flange, sealed on a circle. */
export interface BoltedFlange {
  readonly count: number;
  /** Diameter on which the gasket seals. */
  readonly sealedDiameter: Length;
  /** Stiffness of the clamped parts over that of the bolt, s > 0 [-]. */
  readonly stiffnessRatio: number;
}

/** Share of the pressure end load p pi d^2/4 that one bolt sees [N]. */
export function endLoadPerBolt({ count, sealedDiameter }: BoltedFlange, p: number): Force {
  return ((p * Math.PI * sealedDiameter ** 2) / 4 / count) as Force;
}

/**
 * Force of one preloaded bolt and what still clamps beside it, under an external load F_A,
 *
 *   F_bolt = F_0 + F_A / (1 + s),   F_clamp = F_0 - F_A s / (1 + s);   open: F_bolt = F_A
 *
 * @returns  [N]; a clamp below zero: pressure has opened the joint, and by so much the preload is short
 * Valid for a load led in under the heads (load introduction factor 1, the worst); bending of the flange is not in it
 * Source    [vdi-2230-1-2015, sec. 5.3, load factor]
 */
export function loadedBolt(
  { stiffnessRatio: s }: BoltedFlange,
  preload: Force,
  load: Force,
): { readonly bolt: Force; readonly clamp: Force } {
  const clamp = preload - (load * s) / (1 + s);
  return { bolt: (clamp > 0 ? preload + load / (1 + s) : load) as Force, clamp: clamp as Force };
}
