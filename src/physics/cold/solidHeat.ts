/**
 * Heat content of a solid whose specific heat moves with temperature. The specific heat is taken as straight
 * between nodes, so that the enthalpy is quadratic there and both ways, temperature to enthalpy and back,
 * are closed: what goes in comes out to the last digit.
 */
import type { SpecificEnergy, Temperature } from "../../quantity/index.js";

/** Width of the pieces [K]: the fits of metals and polymers above 70 K are straight over it to 0.3 %. */
const PIECE = 8;

/** Heat content per kilogram between two temperatures; beyond them the specific heat of the end goes on. */
export class SolidHeat {
  private readonly from: number;
  private readonly step: number;
  private readonly last: number;
  private readonly cp: Float64Array;
  private readonly h: Float64Array;

  /**
   * @param specificHeat  at a temperature, positive [J/(kg K)]
   * @param low, high  ends of the range, low < high [K]
   */
  constructor(specificHeat: (T: Temperature) => number, low: Temperature, high: Temperature) {
    const pieces = Math.max(1, Math.ceil((high - low) / PIECE));
    this.from = low;
    this.step = (high - low) / pieces;
    this.last = pieces - 1;
    this.cp = Float64Array.from({ length: pieces + 1 }, (_, i) =>
      specificHeat((low + i * this.step) as Temperature),
    );
    this.h = new Float64Array(pieces + 1);
    for (let i = 0; i < pieces; i++)
      this.h[i + 1] =
        (this.h[i] ?? 0) + (this.step * ((this.cp[i] ?? Number.NaN) + (this.cp[i + 1] ?? Number.NaN))) / 2;
  }

  /** Enthalpy above that at the low end [J/kg]. */
  enthalpy(T: Temperature): SpecificEnergy {
    const x = (T - this.from) / this.step;
    const i = x > 0 ? (x < this.last ? x | 0 : this.last) : 0;
    const c = this.cp[i] ?? Number.NaN;
    const d = T - this.from - i * this.step;
    if (d < 0) return (c * d) as SpecificEnergy;
    const next = this.cp[i + 1] ?? Number.NaN;
    const h = this.h[i] ?? Number.NaN;
    if (d > this.step) return (h + (this.step * (c + next)) / 2 + next * (d - this.step)) as SpecificEnergy;
    return (h + d * (c + ((next - c) * d) / (2 * this.step))) as SpecificEnergy;
  }

  /** Temperature of an enthalpy above that at the low end [K]: the inverse of `enthalpy`. */
  temperature(enthalpy: SpecificEnergy): Temperature {
    const { h, cp, from, step } = this;
    if (enthalpy <= 0) return (from + enthalpy / (cp[0] ?? Number.NaN)) as Temperature;
    let low = 0;
    let high = this.last + 1;
    const top = h[high] ?? Number.NaN;
    if (enthalpy >= top)
      return (from + high * step + (enthalpy - top) / (cp[high] ?? Number.NaN)) as Temperature;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if ((h[middle] ?? Number.NaN) <= enthalpy) low = middle;
      else high = middle;
    }
    const c = cp[low] ?? Number.NaN;
    const slope = ((cp[low + 1] ?? Number.NaN) - c) / step;
    const rest = enthalpy - (h[low] ?? Number.NaN);
    // The root that stays finite where the specific heat is constant.
    return (from + low * step + (2 * rest) / (c + Math.sqrt(c * c + 2 * slope * rest))) as Temperature;
  }

  /** Specific heat at a temperature [J/(kg K)]. */
  specificHeat(T: Temperature): number {
    const x = Math.min(Math.max((T - this.from) / this.step, 0), this.last + 1);
    const i = x < this.last ? x | 0 : this.last;
    const c = this.cp[i] ?? Number.NaN;
    return c + ((this.cp[i + 1] ?? Number.NaN) - c) * (x - i);
  }
}
