/**
 * Velocity of oxygen gas: the limits of pipeline practice for metals that are not exempt, and what a
 * partly open valve makes of gas or of liquid that flashes.
 */
import { refuse } from "../../fault/index.js";
import { formatQuantity, type Length, type Pressure, type Speed } from "../../quantity/index.js";
import { type Fluid, type FluidState, isentropicExpansion } from "../../substance/index.js";

/** A stretch of a limit curve: up to a pressure [Pa] a speed [m/s], or a product of pressure and speed [Pa m/s]. */
export interface LimitStretch {
  readonly to: number;
  readonly speed?: number;
  readonly pressureSpeed?: number;
}

/**
 * Largest velocity of warm oxygen gas that pipeline practice allows along a metal that is not exempt:
 * a speed, or p v = constant, by stretches of pressure.
 *
 * @param curve  stretches by rising pressure;  @param p  absolute, > 0 [Pa]
 * @returns      [m/s]; undefined beyond the last stretch, where the practice gives none
 * Valid for     gas from -30 to 200 degC; liquid has no such curve
 * Source        [eiga-13-2012, velocity curves], constants from memory
 */
export function velocityLimit(curve: readonly LimitStretch[], p: Pressure): Speed | undefined {
  const stretch = curve.find(({ to }) => p <= to);
  if (stretch === undefined) return undefined;
  const { speed, pressureSpeed } = stretch;
  return (speed ?? (pressureSpeed === undefined ? undefined : pressureSpeed / p)) as Speed | undefined;
}

/** A jet behind a partly open valve. */
export interface OxygenJet {
  /** Largest speed it can reach [m/s]. */
  readonly speed: Speed;
  /** Share of its mass that is gas [-]. */
  readonly gas: number;
}

/**
 * The fastest jet that an opening makes, without loss, expanded to the pressure behind it:
 *
 *   v = sqrt(2 (h1 - h2)),   s2 = s1
 *
 * Gas is driven past the speed of sound; liquid above its boiling pressure flashes in equilibrium. A real
 * jet is slower: this is what cannot be exceeded.
 *
 * @param from  state at rest ahead of the valve;  @param behind  pressure behind it [Pa]
 * Refuses      a pressure behind that is not lower, and as `isentropicExpansion`
 * Source       energy equation of steady adiabatic flow
 */
export function fastestJet(fluid: Fluid, from: FluidState, behind: Pressure): OxygenJet {
  const { state, speed } = isentropicExpansion(fluid, from, behind);
  return { speed, gas: gasShare(state) };
}

/** Share of the mass that is gas; a supercritical fluid counts as gas [-]. */
function gasShare(state: FluidState): number {
  if (state.phase === "two-phase") return state.quality;
  return state.phase === "liquid" ? 0 : 1;
}

/** A pressure up to which a metal of a thickness is exempt from the limits of velocity. */
export interface Exemption {
  readonly gaugePressure: number;
  readonly thickness: number;
}

/**
 * The highest gauge pressure up to which a wetted metal of this thickness is exempt from the limits of
 * velocity and taken not to go on burning.
 *
 * @param exemptions  of its material;  @param thickness  thinnest wetted section, > 0 [m]
 * @returns           [Pa]; undefined where it is thinner than every exemption asks, or has none
 * Source             [eiga-13-2012, exemption pressures], from memory
 */
export function exemptionPressure(exemptions: readonly Exemption[], thickness: Length): number | undefined {
  if (!(thickness > 0))
    return refuse(
      "impossible-value",
      `a thickness of ${formatQuantity(thickness, "length")}`,
      "A wall has a thickness above zero.",
      "Give the thinnest wetted section.",
    );
  const reached = exemptions.filter((one) => thickness >= one.thickness);
  return reached.length === 0 ? undefined : Math.max(...reached.map(({ gaugePressure }) => gaugePressure));
}
