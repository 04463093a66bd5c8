/** Seat preload from what interference remains. */
import type { Force, Length, Si } from "../../quantity/index.js";
import { requireNotNegative } from "../../quantity/index.js";

/** Axial force per axial deflection of a seat. */
export type AxialStiffness = Si<"N/m">;

/**
 * Preload of a seat that is squeezed by an interference, F = k delta; none once a gap has opened.
 *
 * @param k      axial stiffness of the seat at its temperature, >= 0 [N/m]
 * @param delta  interference that remains at temperature; below zero a gap [m]
 * @returns      preload [N]
 * Valid for     elastic seats; creep and yield lower it.
 * Source        derived in docs/theory/seat.md, "Preload".
 */
export function seatPreload(k: AxialStiffness, delta: Length): Force {
  requireNotNegative(k, "seat stiffness", "stiffness", "A seat pushes back.");
  return (k * Math.max(0, delta)) as Force;
}
