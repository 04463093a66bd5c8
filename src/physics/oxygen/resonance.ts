/** Sound of a cavity that gas flows past. */
import type { Length, Speed } from "../../quantity/index.js";

/**
 * Lowest and highest speed of the stream that sounds a closed cavity on its ground note:
 *
 *   w / (4 L) = St v / d,   v = w d / (4 L St)
 *
 * @param w   speed of sound in the cavity [m/s];  @param L  its depth, > 0 [m];  @param d  its mouth along the stream, > 0 [m]
 * @param St  range of Strouhal numbers at which the shear layer locks [-]
 * Source     [astm-g88-2021, resonance], Strouhal numbers from memory
 */
export function soundingSpeeds(
  w: Speed,
  L: Length,
  d: Length,
  St: { readonly low: number; readonly high: number },
): { readonly low: Speed; readonly high: Speed } {
  const note = w / (4 * L);
  return { low: ((note * d) / St.high) as Speed, high: ((note * d) / St.low) as Speed };
}
