/** Straight lines through values at even steps: the table of inner loops, without a search. */
export class EvenTable {
  private readonly perStep: number;

  /** @param values  at equal steps from `low` to `high`, at least two; the end lines go on beyond them */
  constructor(
    private readonly low: number,
    high: number,
    private readonly values: Float64Array,
  ) {
    this.perStep = (values.length - 1) / (high - low);
  }

  value(x: number): number {
    const at = (x - this.low) * this.perStep;
    const last = this.values.length - 2;
    const i = at > 0 ? (at < last ? at | 0 : last) : 0;
    const lower = this.values[i] ?? Number.NaN;
    return lower + ((this.values[i + 1] ?? Number.NaN) - lower) * (at - i);
  }
}
