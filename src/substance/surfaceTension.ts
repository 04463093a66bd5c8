/** Surface tension of a boiling liquid against its own vapour. */
import { refuse } from "../fault/index.js";
import type { SurfaceTension, Temperature } from "../quantity/index.js";
import type { Fluid } from "./fluid.js";
import { requireSaturationTemperature } from "./range.js";

/**
 * Surface tension of the boiling liquid [N/m]: sigma = sum a (1 - T/T_c)^n, 0 at the critical point.
 *
 * @param T   between triple and critical point [K]
 * Refuses    a temperature outside that range; a fluid whose data file has no correlation
 * Valid for  liquid against its own vapour; another gas above it lowers the value a little
 * Source     [mulero-2012, eq. 3 and table 1]; T_c is that of the correlation
 */
export function surfaceTension(fluid: Fluid, T: Temperature): SurfaceTension {
  const data = fluid.file.surface_tension;
  requireSaturationTemperature(fluid, T);
  if (data === undefined) {
    return refuse(
      "no-surface-tension",
      `${fluid.id} has no surface tension on file`,
      "Fluids whose data file has an entry `surface_tension`.",
      "Add the correlation to the data file.",
    );
  }
  const distance = Math.max(0, 1 - T / data.T_c_K);
  return data.terms.reduce((sum, { a_N_m, n }) => sum + a_N_m * distance ** n, 0) as SurfaceTension;
}
