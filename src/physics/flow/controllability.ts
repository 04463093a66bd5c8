/** How finely an installed valve meters: flow per angle, and the flow step of an angle step. */
import type { Angle, MassFlow, Si } from "../../quantity/index.js";
import { requirePositive } from "../../quantity/index.js";
import type { InherentCharacteristic } from "./characteristic.js";
import { type InstalledSystem, installedFlow } from "./installed.js";
import type { RecoveryCurve } from "./recovery.js";

/** Mass flow per angle. */
export type FlowSlope = Si<"kg/(s rad)">;

/** Half width of the central difference: far above rounding, far below any bend of the curve [rad]. */
const halfWidth = 1e-4;

/** A valve with its curves, in its line. */
export interface InstalledValve {
  readonly system: InstalledSystem;
  readonly characteristic: InherentCharacteristic;
  readonly recovery: RecoveryCurve;
}

/** Mass flow of the installed valve at an opening. @param opening from closed [rad] @returns [kg/s] */
export function installedMassFlow(valve: InstalledValve, opening: Angle): MassFlow {
  return installedFlow(valve.system, valve.characteristic(opening), valve.recovery(opening)).massFlow;
}

/**
 * Slope of the installed flow, dW/d(angle), by central difference.
 *
 * @param opening  from closed [rad]
 * @returns        slope [kg/(s rad)]
 */
export function installedFlowSlope(valve: InstalledValve, opening: Angle): FlowSlope {
  const above = installedMassFlow(valve, (opening + halfWidth) as Angle);
  const below = installedMassFlow(valve, (opening - halfWidth) as Angle);
  return ((above - below) / (2 * halfWidth)) as FlowSlope;
}

/**
 * Flow step that follows from an angle step (backlash, sensor and stiction together): the larger of
 * the steps to either side.
 *
 * @param opening    from closed [rad]
 * @param angleStep  smallest angle step that the drive resolves, > 0 [rad]
 * @returns          flow step [kg/s]
 * Source            common practice, no source.
 */
export function flowStep(valve: InstalledValve, opening: Angle, angleStep: Angle): MassFlow {
  requirePositive(angleStep, "angle step", "angle", "It is what the drive can resolve.");
  const here = installedMassFlow(valve, opening);
  const up = installedMassFlow(valve, (opening + angleStep) as Angle);
  const down = installedMassFlow(valve, (opening - angleStep) as Angle);
  return Math.max(Math.abs(up - here), Math.abs(here - down)) as MassFlow;
}
