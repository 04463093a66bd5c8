/**
 * A chamber with a choked throat whose gas is perfect and everywhere the same:
 *
 *   tau dp/dt = W c* / A_t - p,   tau = V / (A_t c* Gamma^2),   Gamma^2 = k (2/(k+1))^((k+1)/(k-1))
 *
 * since (c* Gamma)^2 = R T of the gas that burns as it flows. What burns in a closed volume gets hotter, since no work
 * is done: c_v (T_v - T_0) = q = c_p (T_p - T_0), so T_v <= k T_p, and a mass m gives at most k m (c* Gamma)^2 / V.
 *
 * Source     [nasa-sp-125], characteristic velocity and chamber filling; from memory
 * Valid for  a choked throat; below about twice the pressure outside the throat passes less, and p is taken low.
 */
import {
  type Area,
  type Pressure,
  requireNotNegative,
  requirePositive,
  type Speed,
  type Time,
  type Volume,
} from "../../quantity/index.js";

/** Characteristic velocity against mixture ratio, ratios ascending. */
export interface CharacteristicVelocity {
  /** Oxidiser over fuel [-] and c* there [m/s]. */
  readonly ratio: readonly number[];
  readonly velocity: readonly number[];
}

/** What burns and where. */
export interface Chamber {
  readonly volume: Volume;
  readonly throat: Area;
  /** Ratio of heat capacities of the burnt gas, above 1 [-]. */
  readonly heatRatio: number;
  /** With the combustion efficiency in it. */
  readonly velocity: CharacteristicVelocity;
  /** That efficiency: c* over that of complete combustion [-]. */
  readonly efficiency: number;
  /** Pressure outside, and inside before ignition [Pa]. */
  readonly ambient: Pressure;
}

/** Refuses a chamber that is none. */
export function requireChamber(chamber: Chamber): void {
  const { volume, throat, heatRatio, velocity, efficiency, ambient } = chamber;
  requirePositive(volume, "chamber volume", "volume", "It holds the gas.");
  requirePositive(throat, "throat area", "area", "The gas leaves through it.");
  requirePositive(heatRatio - 1, "ratio of heat capacities less one", "ratio", "cp exceeds cv.");
  requirePositive(efficiency, "combustion efficiency", "ratio", "What comes burns.");
  requireNotNegative(ambient, "ambient pressure", "pressure", "It is absolute.");
  for (const c of velocity.velocity)
    requirePositive(c, "characteristic velocity", "speed", "Pressure follows from it.");
}

/** Gamma [-]. */
export function throatFunction(k: number): number {
  return Math.sqrt(k) * (2 / (k + 1)) ** ((k + 1) / (2 * (k - 1)));
}

/** c* at a mixture ratio; beyond the table that of its end. */
export function velocityAt({ ratio, velocity }: CharacteristicVelocity, at: number): Speed {
  const last = ratio.length - 1;
  if (!(at > (ratio[0] ?? 0))) return (velocity[0] ?? Number.NaN) as Speed;
  if (at >= (ratio[last] ?? 0)) return (velocity[last] ?? Number.NaN) as Speed;
  let j = 0;
  while (j < last - 1 && at > (ratio[j + 1] ?? 0)) j++;
  const [r0, r1] = [ratio[j] ?? 0, ratio[j + 1] ?? 1];
  const [c0, c1] = [velocity[j] ?? 0, velocity[j + 1] ?? 0];
  return (c0 + ((at - r0) / (r1 - r0)) * (c1 - c0)) as Speed;
}

/** tau [s]. */
export function fillingTime({ volume, throat, heatRatio }: Chamber, velocity: Speed): Time {
  return (volume / (throat * velocity * throatFunction(heatRatio) ** 2)) as Time;
}

/**
 * Pressure of two masses that burn at once in the closed volume, at the ratio of the table at which they give most [Pa]:
 *
 *   p = p_a + k max over r of min(m_o (1 + 1/r), m_f (1 + r)) (c*(r) Gamma)^2 / V, c* of complete combustion
 *
 * An upper bound of what they do with each other: all of it burns, nothing leaves, none of the rest takes heat. One
 * alone burns nothing. The table's c* is that of its own pressure; at a higher one less of the gas is dissociated.
 */
export function burntAtOnce(
  { volume, heatRatio, velocity, efficiency, ambient }: Chamber,
  oxidiser: number,
  fuel: number,
): Pressure {
  const most = velocity.ratio.reduce((sum, r, j) => {
    const burns = Math.min(oxidiser * (1 + 1 / r), fuel * (1 + r));
    return Math.max(sum, burns * ((velocity.velocity[j] ?? 0) / efficiency) ** 2);
  }, 0);
  return (ambient + (heatRatio * most * throatFunction(heatRatio) ** 2) / volume) as Pressure;
}
