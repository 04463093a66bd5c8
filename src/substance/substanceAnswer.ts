/** Everything on file about a fluid or a solid that is named, whichever it is. */
import { nearName, refuse } from "../fault/index.js";
import type { Density, Pressure, Temperature } from "../quantity/index.js";
import type { SubstanceAnswer } from "./answer.js";
import { fluid, isFluidName } from "./fluid.js";
import { fluidAnswer } from "./fluidAnswer.js";
import { inletNames } from "./inletLiquid.js";
import { correlatedLiquid } from "./liquid.js";
import { liquidAnswer } from "./liquidAnswer.js";
import { isSolidName, solid, solidNames } from "./solid.js";
import { solidAnswer } from "./solidAnswer.js";
import type { SolidFile } from "./solidFile.js";

/** The condition at which properties are wanted. */
export interface WantedCondition {
  readonly T?: Temperature | undefined;
  readonly p?: Pressure | undefined;
  readonly rho?: Density | undefined;
  /** Where a solid was measured, for its contraction; 293 K where it is left out. */
  readonly from?: Temperature | undefined;
  /** Follow a liquid below its vapour pressure. */
  readonly isSuperheated?: boolean;
}

/** Where lengths are measured unless another temperature is given [K]. */
const inspection = 293 as Temperature;

/**
 * The properties of a substance.
 * @param own  solids of a team, looked up first
 * Refuses     an unknown name, a solid without a temperature, and as the functions that compute states
 */
export function substanceAnswer(
  name: string,
  { T, p, rho, from = inspection, isSuperheated = false }: WantedCondition,
  own: readonly SolidFile[] = [],
): SubstanceAnswer {
  if (isFluidName(name))
    return fluidAnswer(fluid(name), {
      ...(T === undefined ? {} : { T }),
      ...(p === undefined ? {} : { p }),
      ...(rho === undefined ? {} : { rho }),
      isSuperheated,
    });
  const correlated = correlatedLiquid(name);
  if (correlated !== undefined) return liquidAnswer(correlated, T, p);
  const known = [...own.map(({ id }) => id), ...solidNames];
  if (!isSolidName(name, own)) {
    refuse(
      "unknown-substance",
      `"${name}" is neither a fluid nor a solid on file`,
      `Fluids: ${inletNames.join(", ")}. Solids: ${known.join(", ")}.`,
      "Write one of these names, or describe a solid in the folder parts/ of a dossier and name that by --in.",
      nearName(name, [...inletNames, ...known]),
    );
  }
  if (T === undefined) {
    return refuse(
      "temperature-missing",
      `the properties of ${name} are asked for without a temperature`,
      "Every property of a solid depends on its temperature.",
      "Add --temperature 90K, for example.",
    );
  }
  return solidAnswer(solid(name, own), T, from);
}
