/**
 * The samples that all candidates share. Each uncertain field has its own coordinate of one even sequence,
 * by its path, so that two candidates are compared under the same conditions and with the same friction of
 * the same valve, and a part has the same values in whichever chain it stands.
 */
import { sobolBlock } from "../numerics/index.js";
import { type InputSpace, lawQuantile, valuesAt } from "../predict/index.js";
import type { Declared } from "../quantity/index.js";

export class Draws {
  private readonly coordinates = new Map<string, number>();
  private points: Float64Array = new Float64Array(0);

  constructor(
    private readonly seed: number,
    /** Samples; the nominal values come before them, as sample 0. */
    readonly samples: number,
  ) {}

  /** Gives coordinates to paths that have none yet. All of them, in one order, before any values are asked for. */
  admit(paths: readonly string[]): void {
    for (const path of paths)
      if (!this.coordinates.has(path)) this.coordinates.set(path, this.coordinates.size);
  }

  /**
   * Values of all slots of a space, SI.
   * @param sample  0 for the nominal values, else from 1 to `samples`
   */
  values(space: InputSpace, sample: number): Float64Array {
    const values = Float64Array.from(space.nominal);
    if (sample === 0) return values;
    const u = Float64Array.from(space.inputs, ({ path }) => this.share(path, sample));
    if (space.inputs.length > 0) valuesAt(space, u, values);
    return values;
  }

  /** A declared value at all samples, the nominal one first, SI; not numbers where it is not known. */
  column(path: string, declared: Declared | undefined): Float64Array {
    const column = new Float64Array(this.samples + 1).fill(declared?.value ?? Number.NaN);
    if (declared === undefined || declared.law.kind === "exact") return column;
    for (let i = 1; i <= this.samples; i++)
      column[i] = lawQuantile(declared.law, declared.value, this.share(path, i));
    return column;
  }

  private share(path: string, sample: number): number {
    const coordinate = this.coordinates.get(path);
    if (coordinate === undefined) throw new Error(`${path} was given no coordinate`);
    const width = this.coordinates.size;
    if (this.points.length !== this.samples * width)
      this.points = sobolBlock(0, this.samples, width, this.seed);
    return this.points[(sample - 1) * width + coordinate] ?? 0.5;
  }
}
