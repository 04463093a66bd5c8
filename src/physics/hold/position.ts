/** How surely a position can be set: play, wind-up and what the sensor resolves. */
import type { Angle, Torque } from "../../quantity/index.js";

/** A link of the train between motor and ball. */
export interface ElasticLink {
  /** Torsional stiffness at its output, > 0 [N m/rad]. */
  readonly stiffness: number;
  /** Speed of its output over that of the stem, >= 1 [-]. */
  readonly ratio: number;
}

/**
 * Stiffness of links in series as felt at the stem, 1/k = sum 1/(k_j n_j^2): a link that turns n times as fast
 * as the stem is n^2 times as stiff there.
 * @returns  infinite without links [N m/rad]
 * Source    reflection of springs through gears [leonhard-2001]
 */
export function stiffnessAtStem(links: readonly ElasticLink[]): number {
  const compliance = links.reduce((sum, { stiffness, ratio }) => sum + 1 / (stiffness * ratio * ratio), 0);
  return 1 / compliance;
}

/**
 * Angle by which the ball may stand off from where the motor puts it,
 *
 *   d = backlash + T/k + sensor step
 *
 * with T the friction that winds the train up before the ball moves.
 * @param backlash  of all links, at the stem [rad];  @param T  friction of the ball at rest [N m]
 * @param k         see `stiffnessAtStem` [N m/rad];  @param sensor  its smallest step at the stem [rad]
 * Source           common practice, no source
 */
export function positionUncertainty(backlash: Angle, T: Torque, k: number, sensor: Angle): Angle {
  return (backlash + T / k + sensor) as Angle;
}
