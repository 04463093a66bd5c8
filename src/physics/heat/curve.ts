/** A property against temperature, evaluated once at the nodes of an even grid and straight between them. */

/** Step of the grid [K]: straight pieces of the conductivity of steel are 2e-4 off at 90 K. */
const step = 4;

/** Nodes that are remembered, from 0 K. */
const nodes = 256;

/** Remembers the nodes that were asked for: a band asks for the same ones some ten thousand times. */
export class TemperatureCurve {
  private readonly known = new Float64Array(nodes).fill(Number.NaN);

  /** @param at the property; what it refuses is refused here too */
  constructor(private readonly at: (T: number) => number) {}

  /** @param T  0 to 1000 K */
  value(T: number): number {
    const x = T / step;
    const j = Math.floor(x);
    const low = this.node(j);
    return low + (this.node(j + 1) - low) * (x - j);
  }

  private node(j: number): number {
    const known = this.known[j] ?? Number.NaN;
    if (!Number.isNaN(known)) return known;
    const value = this.at(j * step);
    this.known[j] = value;
    return value;
  }
}
