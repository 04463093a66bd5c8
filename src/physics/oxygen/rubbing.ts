/** Rubbing under load: contact pressure times sliding speed, the heat that a contact can make. */
import type { AngularSpeed, Area, Force, Length } from "../../quantity/index.js";

/**
 * Largest heat that a rubbing contact makes per area and unit of friction coefficient:
 *
 *   P v = (F / A) omega r
 *
 * @param pressure  of the contact, >= 0 [Pa]
 * @param speed     of the turning part, >= 0 [rad/s];  @param r  radius at which it rubs, > 0 [m]
 * @returns         [W/m2]; times the friction coefficient it is the heat made per area
 * Source           [astm-g94-2005, friction rubbing], from memory
 */
export function pressureSpeed(pressure: number, speed: AngularSpeed, r: Length): number {
  return pressure * Math.abs(speed) * r;
}

/** Mean pressure of a load on a ring between two diameters, 4 F / (pi (D^2 - d^2)) [Pa]. */
export function collarPressure(F: Force, outer: Length, inner: Length): number {
  const area = ((Math.PI / 4) * (outer ** 2 - inner ** 2)) as Area;
  return F / area;
}
