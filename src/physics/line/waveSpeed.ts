/** How fast a pressure wave runs in a pipe full of liquid, and what a stopped flow raises. */
import {
  type Density,
  type Length,
  type Pressure,
  type PressureDifference,
  requireNotNegative,
  requirePositive,
  type Speed,
  type Stress,
  type Time,
} from "../../quantity/index.js";

/** How a pipe is held along its length. */
export const restraints = ["throughout", "upstream", "joints"] as const;
export type Restraint = (typeof restraints)[number];

/** Wall of a round pipe. */
export interface PipeWall {
  /** Inside diameter. */
  readonly bore: Length;
  readonly thickness: Length;
  /** Young's modulus at the temperature of the wall. */
  readonly modulus: Stress;
  readonly poissonRatio: number;
  /** Held against moving along: throughout, at its upstream end only, or with expansion joints. */
  readonly restraint: Restraint;
}

/** Free gas in the liquid, as bubbles. */
export interface FreeGas {
  /** Share of the volume, 0 <= share < 1 [-]. */
  readonly share: number;
  /** Pressure at which it has that share. */
  readonly pressure: Pressure;
  /** Exponent of its compression: 1 isothermal, the ratio of heat capacities adiabatic [-]. */
  readonly exponent: number;
}

/** A wall thinner than the bore over this counts as thin [-]. */
const thinFrom = 25;

/**
 * What the restraint and the thickness of a wall do to its yielding, c1 [-]:
 *
 *   thin   1 - nu^2 throughout | 1 - nu/2 upstream | 1 joints
 *   thick  2 e/D (1 + nu) + D/(D + e) c1_thin
 *
 * @param form  thick unless given where D/e < 25
 * Source  [wylie-streeter-1993, ch. 1 and 2], from memory
 */
export function wallFactor(
  { bore: D, thickness: e, poissonRatio: nu, restraint }: PipeWall,
  form: "thin" | "thick" = D / e < thinFrom ? "thick" : "thin",
): number {
  const thin = { throughout: 1 - nu * nu, upstream: 1 - nu / 2, joints: 1 }[restraint];
  return form === "thin" ? thin : ((2 * e) / D) * (1 + nu) + (D / (D + e)) * thin;
}

/**
 * Wave speed in an elastic pipe, with free gas if any:
 *
 *   1/a^2 = rho_m ( (1 - x)/K + x/(n p) + D c1/(e E) ),   K = rho c^2,   rho_m = (1 - x) rho
 *
 * Without gas this is a = c / sqrt(1 + (K/E)(D/e) c1); in a rigid pipe it is Wood's equation.
 * @param rho  density of the liquid;  @param c  its speed of sound
 * @param wall left out: rigid
 * Valid for   walls that follow at once, bubbles much smaller than a wave is long
 * Source      [wylie-streeter-1993, ch. 1 and 2], from memory
 */
export function waveSpeed(
  rho: Density,
  c: Speed,
  wall?: PipeWall,
  gas?: FreeGas,
  form?: "thin" | "thick",
): Speed {
  requirePositive(rho, "density", "density", "A wave needs mass.");
  requirePositive(c, "speed of sound", "speed", "It is that of the liquid.");
  const x = gas?.share ?? 0;
  requireNotNegative(x, "share of free gas", "ratio", "It is a share of the volume.");
  const ofLiquid = (1 - x) / (rho * c * c);
  const ofGas = gas === undefined || x === 0 ? 0 : x / (gas.exponent * gas.pressure);
  const ofWall =
    wall === undefined ? 0 : (wall.bore * wallFactor(wall, form)) / (wall.thickness * wall.modulus);
  return (1 / Math.sqrt(rho * (1 - x) * (ofLiquid + ofGas + ofWall))) as Speed;
}

/**
 * Rise where a flow is stopped at once, dp = rho a dv.
 * @param dv  loss of speed, positive for a deceleration
 * Source     [wylie-streeter-1993, ch. 1]
 */
export function joukowskyRise(rho: Density, a: Speed, dv: Speed): PressureDifference {
  return (rho * a * dv) as PressureDifference;
}

/** One run of a wave through pipes: its time, and what their liquid's inertia makes of them as one pipe. */
export interface Reach {
  readonly length: Length;
  readonly waveSpeed: Speed;
}

/**
 * Time within which a closing counts as instant at the valve, 2 L/a through all pipes up to the nearest free surface.
 * Source  [chaudhry-2014, ch. 1]
 */
export function criticalTime(pipes: readonly Reach[]): Time {
  return pipes.reduce((sum, { length, waveSpeed: a }) => sum + (2 * length) / a, 0) as Time;
}
