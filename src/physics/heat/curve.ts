/** A property against temperature, evaluated once at the nodes of an even grid and straight between them. */

/** Step of the grid [K]: straight pieces of the conductivity of steel are 2e-4 off at 90 K. */
const step = 4;

/** Remembers the nodes that were asked for: a band asks for the same ones some ten thousand times. */
export class TemperatureCurve {
  private readonly nodes = new Map<number, number>();

  /** @param at the property; what it refuses is refused here too */
  constructor(private readonly at: (T: number) => number) {}

  value(T: number): number {
    const j = Math.floor(T / step);
    const low = this.node(j);
    return low + (this.node(j + 1) - low) * (T / step - j);
  }

  private node(j: number): number {
    const known = this.nodes.get(j);
    if (known !== undefined) return known;
    const value = this.at(j * step);
    this.nodes.set(j, value);
    return value;
  }
}
