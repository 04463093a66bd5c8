/** What is looked for along a cool-down: when parts are cold and alike, the extremes on the way, the histories. */
import type { CoolDownMoment } from "../physics/cold/index.js";

/** What to look for. Places are those of the parts. */
export interface Sought {
  readonly names: readonly string[];
  /** Ball, seats and body. */
  readonly turning: readonly number[];
  /** Temperature at or below which a part counts as cold; NaN where nobody said [K]. */
  readonly coldBelow: number;
  /** Difference among the turning parts below which they are alike; NaN where nobody said [K]. */
  readonly alike: number;
  readonly clearances: readonly { readonly place: number; readonly at: (T: Float64Array) => number }[];
  readonly interference: ((T: Float64Array) => number) | undefined;
}

/** The nominal histories. */
export interface CoolDownHistory {
  readonly time_s: readonly number[];
  /** One column for each part. */
  readonly temperature_K: readonly (readonly number[])[];
  /** Seat interference, where it is known [m]. */
  readonly interference: readonly number[] | undefined;
  /** Clearance of each fit that follows parts, by its place in the file [m]. */
  readonly clearances: readonly { readonly place: number; readonly value: readonly number[] }[];
}

/** Largest difference of temperature between two parts, nominal. */
export interface PeakDifference {
  readonly warmer: string;
  readonly colder: string;
  readonly difference: number;
  readonly time: number;
}

/** What was found. */
export interface Looked {
  /** Heat that the coolant took until the valve may be turned [J]; NaN where that does not come. */
  readonly taken: number;
  readonly figures: Readonly<Record<string, number>>;
  readonly history: CoolDownHistory | undefined;
  readonly peaks: readonly PeakDifference[];
}

/** A quantity that is to come to zero or below and stay there: the last time at which it was above. */
class LastAbove {
  time = 0;
  private before = Number.NaN;
  private at = 0;
  private rate = 0;

  /** @param rate  of the value, for a crossing between two looks [1/s]; NaN draws a straight line */
  look(time: number, value: number, rate: number): void {
    if (value > 0) this.time = Number.POSITIVE_INFINITY;
    else if (this.before > 0) this.time = crossing(this.at, this.before, this.rate, time, value, rate);
    this.before = value;
    this.at = time;
    this.rate = rate;
  }

  /** Time after which it holds [s]; NaN where it does not come to hold, or nothing is known. */
  get holdsAfter(): number {
    return Number.isFinite(this.time) && !Number.isNaN(this.before) ? this.time : Number.NaN;
  }
}

const HALVINGS = 40;

/** Where the cubic with these values and slopes at its ends falls through zero. */
function crossing(t0: number, y0: number, m0: number, t1: number, y1: number, m1: number): number {
  const h = t1 - t0;
  if (Number.isNaN(m0) || Number.isNaN(m1)) return t0 + (h * y0) / (y0 - y1);
  const cubic = (s: number) => {
    const r = 1 - s;
    return r * r * (y0 * (1 + 2 * s) + h * m0 * s) + s * s * (y1 * (1 + 2 * r) - h * m1 * r);
  };
  let low = 0;
  let high = 1;
  for (let i = 0; i < HALVINGS && high - low > 1e-7; i++) {
    const middle = (low + high) / 2;
    if (cubic(middle) > 0) low = middle;
    else high = middle;
  }
  return t0 + h * high;
}

/** Looks at every step of a run. */
export class CoolDownEvents {
  private readonly cold: readonly LastAbove[];
  private readonly alike = new LastAbove();
  private readonly binding = new LastAbove();
  private peak = Number.NEGATIVE_INFINITY;
  private peakTime = 0;
  private readonly leastClearance: Float64Array;
  private tightest = Number.NEGATIVE_INFINITY;
  private loosest = Number.POSITIVE_INFINITY;
  private readonly times: number[] = [];
  private readonly taken: number[] = [];
  private readonly columns: readonly number[][];
  private readonly interferences: number[] = [];
  private readonly clearances: readonly number[][];

  /** @param keeps  whether histories and the peaks of each pair are wanted */
  constructor(
    private readonly sought: Sought,
    private readonly keeps: boolean,
  ) {
    this.cold = sought.names.map(() => new LastAbove());
    this.leastClearance = new Float64Array(sought.clearances.length).fill(Number.POSITIVE_INFINITY);
    this.columns = sought.names.map(() => []);
    this.clearances = sought.clearances.map(() => []);
  }

  look({ time, temperatures: T, rates, taken }: CoolDownMoment): void {
    this.times.push(time);
    this.taken.push(taken);
    const { coldBelow, turning, clearances, interference } = this.sought;
    for (let j = 0; j < this.cold.length; j++)
      this.cold[j]?.look(time, (T[j] ?? Number.NaN) - coldBelow, rates[j] ?? Number.NaN);
    let warmest = Number.NEGATIVE_INFINITY;
    let coldest = Number.POSITIVE_INFINITY;
    for (const j of turning) {
      warmest = Math.max(warmest, T[j] ?? Number.NaN);
      coldest = Math.min(coldest, T[j] ?? Number.NaN);
    }
    const difference = warmest - coldest;
    if (difference > this.peak) {
      this.peak = difference;
      this.peakTime = time;
    }
    this.alike.look(time, difference - this.sought.alike, Number.NaN);
    let tight = Number.POSITIVE_INFINITY;
    for (let i = 0; i < clearances.length; i++) {
      const clearance = clearances[i]?.at(T) ?? Number.NaN;
      this.leastClearance[i] = Math.min(this.leastClearance[i] ?? Number.NaN, clearance);
      tight = Math.min(tight, clearance);
      if (this.keeps) this.clearances[i]?.push(clearance);
    }
    this.binding.look(time, -tight, Number.NaN);
    const held = interference?.(T) ?? Number.NaN;
    this.tightest = Math.max(this.tightest, held);
    this.loosest = Math.min(this.loosest, held);
    if (!this.keeps) return;
    this.columns.forEach((column, j) => {
      column.push(T[j] ?? Number.NaN);
    });
    this.interferences.push(held);
  }

  end(): Looked {
    const { names, turning, coldBelow, alike, clearances, interference } = this.sought;
    const figures: Record<string, number> = {};
    let ready = Number.isNaN(coldBelow) && Number.isNaN(alike) ? Number.NaN : 0;
    for (let j = 0; j < names.length; j++) {
      const after = this.cold[j]?.holdsAfter ?? Number.NaN;
      figures[`cold:${j}`] = after;
      if (turning.includes(j) && !Number.isNaN(coldBelow)) ready = Math.max(ready, after);
    }
    if (!Number.isNaN(alike)) ready = Math.max(ready, this.alike.holdsAfter);
    const turn = clearances.length === 0 ? ready : Math.max(ready, this.binding.holdsAfter);
    for (let i = 0; i < clearances.length; i++)
      figures[`fit:${clearances[i]?.place}`] = this.leastClearance[i] ?? Number.NaN;
    figures.ready = ready;
    figures.turn = turn;
    figures.difference = this.peak;
    figures.differenceTime = this.peakTime;
    figures.tightest = this.tightest;
    figures.loosest = this.loosest;
    return {
      taken: this.takenUntil(turn),
      figures,
      history: !this.keeps
        ? undefined
        : {
            time_s: this.times,
            temperature_K: this.columns,
            interference: interference === undefined ? undefined : this.interferences,
            clearances: clearances.map(({ place }, i) => ({ place, value: this.clearances[i] ?? [] })),
          },
      peaks: this.keeps ? this.peaksOf(names) : [],
    };
  }

  private takenUntil(time: number): number {
    if (Number.isNaN(time)) return Number.NaN;
    let after = 0;
    while (after < this.times.length - 1 && (this.times[after] ?? time) < time) after += 1;
    const q1 = this.taken[after] ?? Number.NaN;
    if (after === 0) return q1;
    const t1 = this.times[after] ?? Number.NaN;
    const t0 = this.times[after - 1] ?? Number.NaN;
    const q0 = this.taken[after - 1] ?? Number.NaN;
    return q0 + ((q1 - q0) * (time - t0)) / (t1 - t0);
  }

  /** Largest difference of each pair of parts, either way round, largest first. */
  private peaksOf(names: readonly string[]): readonly PeakDifference[] {
    const pairs = names.flatMap((_, i) => names.slice(i + 1).map((__, k) => [i, i + 1 + k] as const));
    return pairs
      .map(([i, j]) => {
        let best = 0;
        let at = 0;
        this.times.forEach((_, k) => {
          const difference = (this.columns[i]?.[k] ?? Number.NaN) - (this.columns[j]?.[k] ?? Number.NaN);
          if (Math.abs(difference) > Math.abs(best)) {
            best = difference;
            at = k;
          }
        });
        const [first, second] = [names[i] ?? "", names[j] ?? ""];
        return {
          warmer: best > 0 ? first : second,
          colder: best > 0 ? second : first,
          difference: Math.abs(best),
          time: this.times[at] ?? Number.NaN,
        };
      })
      .sort((a, b) => b.difference - a.difference);
  }
}
