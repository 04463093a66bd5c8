/** What keeps pressure from driving the stem out of the bonnet. */
import type { Force, Length } from "../../quantity/index.js";

/** Force by which pressure drives the stem outwards, F = p pi d^2 / 4. @param sealDiameter on which its packing seals [m] */
export function ejectionForce(p: number, sealDiameter: Length): Force {
  return ((p * Math.PI * sealDiameter ** 2) / 4) as Force;
}

/** A shoulder of the stem behind the bore of the bonnet. */
export interface Shoulder {
  readonly outerDiameter: Length;
  readonly height: Length;
  /** Bore of bonnet or gland through which the stem passes and the shoulder must not. */
  readonly bonnetBore: Length;
}

/**
 * Shear of the shoulder over the bore's edge and pressure on the ring between them,
 *
 *   tau = F / (pi d_bore h),   p = F / (pi/4 (d_shoulder^2 - d_bore^2))
 *
 * @returns  [Pa]; infinite pressure for a shoulder that passes the bore
 * Source    statics; that a shoulder must hold with the packing removed [iso-17292-2015, anti-blow-out stem]
 */
export function shoulderStress(
  { outerDiameter, height, bonnetBore }: Shoulder,
  F: Force,
): { readonly shear: number; readonly bearing: number } {
  const ring = (Math.PI / 4) * (outerDiameter ** 2 - bonnetBore ** 2);
  return {
    shear: F / (Math.PI * bonnetBore * height),
    bearing: ring > 0 ? F / ring : Number.POSITIVE_INFINITY,
  };
}
