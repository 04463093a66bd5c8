/**
 * Closures that open once: a domed membrane that bursts, and a plate that a charge shears out.
 *
 *   dome    t = p d/(4 s_u)                  thin sphere of the bore's diameter at its ultimate strength
 *   plate   t = (d/2) sqrt(0.75 p/s)         round plate with a clamped edge, stress s at the edge
 *   shear   W = pi d t tau t                 force over the plate's thickness, tau kept to the end
 *   charge  m = W/(eta lambda)               lambda the force of the propellant, p V = m lambda
 *
 * Sources: sphere and plate [roark-2002, tables 13 and 11], from memory; force of a propellant
 * [corner-1950], from memory. The shear work is on the high side: a real plate parts before its whole
 * thickness is passed.
 */
import type { Energy, Length, Mass, Pressure, Stress } from "../../quantity/index.js";

/** Thickness at which a dome of the bore's diameter bursts. */
export function domeThickness(burst: Pressure, bore: Length, ultimate: Stress): Length {
  return ((burst * bore) / (4 * ultimate)) as Length;
}

/** Thickness of a clamped plate that bears a pressure. */
export function plateThickness(pressure: Pressure, bore: Length, allowed: Stress): Length {
  return ((bore / 2) * Math.sqrt((0.75 * pressure) / allowed)) as Length;
}

/** Work that shears a plate out along the edge of the bore. */
export function shearWork(bore: Length, thickness: Length, shearStrength: Stress): Energy {
  return (Math.PI * bore * thickness * shearStrength * thickness) as Energy;
}

/** Charge that does a work. @param efficiency share of its force that becomes work;  @param force of the propellant [J/kg] */
export function chargeMass(work: Energy, efficiency: number, force: number): Mass {
  return (work / (efficiency * force)) as Mass;
}
