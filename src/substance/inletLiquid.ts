/**
 * What the flow through a valve needs of a liquid, whether it has an equation of state or correlations
 * only: one face for both, so that every fluid on file can stand in a valve file.
 */
import { type Notice, nearName, refuse } from "../fault/index.js";
import type { Density, Pressure, Temperature } from "../quantity/index.js";
import { fluid, fluidNames, isFluidName } from "./fluid.js";
import { correlatedLiquid, liquidNames } from "./liquid.js";
import { vapourPressure } from "./saturation.js";
import type { Phase } from "./state.js";
import { liquidAtPressureTemperature, stateAtPressureTemperature } from "./stateAt.js";

/** A fluid as it enters a valve. */
export interface InletLiquid {
  readonly id: string;
  readonly critical: { readonly T: Temperature; readonly p: Pressure };
  /** Lowest temperature at which it is liquid at moderate pressure. */
  readonly coldest: Temperature;
  readonly reaction: "oxidiser" | "fuel" | "inert";
  /** Phase, density and caveats at a pressure and a temperature. Refuses states that are not on file. */
  readonly at: (p: Pressure, T: Temperature) => InletState;
  /** The same; refuses what is no liquid, with the bound that it passes. */
  readonly liquidAt: (p: Pressure, T: Temperature) => InletState;
  readonly vapourPressure: (T: Temperature) => Pressure;
}

export interface InletState {
  readonly phase: Phase;
  readonly rho: Density;
  readonly notices: readonly Notice[];
}

/** Names that may stand as the fluid of a valve, in the order of the lists. */
export const inletNames: readonly string[] = [...fluidNames, ...liquidNames];

/** The fluid of a name or alias. Refuses a name that is not on file, with the nearest one that is. */
export function inletLiquid(name: string): InletLiquid {
  const correlated = correlatedLiquid(name);
  if (correlated !== undefined) {
    const { file, density } = correlated;
    const at = (p: Pressure, T: Temperature): InletState => ({
      phase: "liquid",
      rho: density(p, T),
      notices: [],
    });
    return {
      id: file.id,
      critical: { T: file.critical_point.T_K as Temperature, p: file.critical_point.p_Pa as Pressure },
      coldest: file.validity.T_min_K as Temperature,
      reaction: file.reaction,
      at,
      liquidAt: at,
      vapourPressure: correlated.vapourPressure,
    };
  }
  if (!isFluidName(name)) {
    return refuse(
      "unknown-fluid",
      `"${name}" is not a fluid on file`,
      `Fluids on file: ${inletNames.join(", ")}.`,
      "Write one of these names, or add the fluid as a data file.",
      nearName(name, inletNames),
    );
  }
  const named = fluid(name);
  return {
    id: named.id,
    critical: named.critical,
    coldest: named.triple.T,
    reaction: named.reaction,
    at: (p, T) => stateAtPressureTemperature(named, p, T),
    liquidAt: (p, T) => liquidAtPressureTemperature(named, p, T),
    vapourPressure: (T) => vapourPressure(named, T),
  };
}
