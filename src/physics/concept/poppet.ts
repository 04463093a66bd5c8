/**
 * A poppet on its seat: what holds it closed, how far it must lift, and a pilot that lets the pressure
 * behind it go.
 *
 *   force  F = dp (pi/4) d^2 + F_s          pressure on the seat's circle, and its spring
 *   lift   s = d/4                          the curtain pi d s is as large as the seat
 *   time   t = V/(C_d A_p sqrt(2 dp/rho))   volume behind the poppet through the pilot's bore
 *
 * Valid for a flat seat and a liquid that does not flash in the pilot. Source: textbook statics and
 * Bernoulli's equation [esposito-2009], from memory.
 */
import type { Area, Density, Force, Length, PressureDifference, Time, Volume } from "../../quantity/index.js";

/** Area of a circle. @param diameter > 0 */
export function circle(diameter: Length): Area {
  return ((Math.PI / 4) * diameter * diameter) as Area;
}

/** Force that opens a poppet against its pressure. @param difference >= 0;  @param spring >= 0 */
export function poppetForce(difference: PressureDifference, seat: Length, spring: Force): Force {
  return (difference * circle(seat) + spring) as Force;
}

/** Lift at which the curtain is as large as the seat. */
export function fullLift(seat: Length): Length {
  return (seat / 4) as Length;
}

/** Time in which a pilot lets a volume of liquid go. @param discharge coefficient of the pilot [-] */
export function releaseTime(
  volume: Volume,
  pilot: Length,
  discharge: number,
  difference: PressureDifference,
  density: Density,
): Time {
  return (volume / (discharge * circle(pilot) * Math.sqrt((2 * difference) / density))) as Time;
}
