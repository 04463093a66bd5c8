/**
 * The delay between two records of one quantity, by least squares over the delay, a gain and a level.
 * Both records are smoothed alike, so that the smoothing shifts neither against the other
 * (docs/theory/clocks.md).
 */

/** A record on its own clock, rising in time, without gaps in its values. */
export interface RecordOfTime {
  readonly time_s: Float64Array;
  readonly values: Float64Array;
}

export interface Delay {
  /** What is added to the time of the second record to get the time of the first [s]. */
  readonly offset_s: number;
  readonly standardUncertainty_s: number;
  /** Correlation coefficient at that delay, -1 to 1. */
  readonly correlation: number;
}

/** Samples of the coarse search: its cost goes with their square. */
const coarseSamples = 1500;
/** Samples of the fine search. */
const fineSamples = 40_000;
/** Width of the smoothing, in steps of the fine grid: enough for a derivative of noisy samples. */
const smoothing = 4;
/** Records that overlap by less than this share of the shorter one are not compared. */
const leastOverlap = 0.3;
const mostRounds = 30;

/**
 * Finds the delay of a record against another.
 * @returns undefined where neither varies or no delay lets both agree
 */
export function delayBetween(first: RecordOfTime, second: RecordOfTime): Delay | undefined {
  const span = Math.min(spanOf(first), spanOf(second));
  const step = Math.max(stepOf(first), stepOf(second));
  if (!(span > 0) || !(step > 0)) return undefined;
  const longest = Math.max(spanOf(first), spanOf(second));
  const coarseStep = Math.max(step, longest / coarseSamples);
  const coarse = coarseDelay(gridOf(first, coarseStep), gridOf(second, coarseStep), coarseStep);
  if (coarse === undefined) return undefined;
  const start = (first.time_s[0] ?? 0) - (second.time_s[0] ?? 0) + coarse;
  const fineStep = Math.max(step, longest / fineSamples);
  return refined(first, second, start, fineStep);
}

const spanOf = ({ time_s }: RecordOfTime): number => (time_s.at(-1) ?? 0) - (time_s[0] ?? 0);
const stepOf = (record: RecordOfTime): number => spanOf(record) / Math.max(1, record.time_s.length - 1);

/** Values on even steps from the start of a record: means where it is denser, in between where not. */
function gridOf({ time_s, values }: RecordOfTime, step: number): Float64Array {
  const start = time_s[0] ?? 0;
  const grid = new Float64Array(Math.floor(((time_s.at(-1) ?? 0) - start) / step) + 1);
  let i = 0;
  for (let at = 0; at < grid.length; at++) {
    const t = start + at * step;
    let [sum, count] = [0, 0];
    while (i < time_s.length - 1 && (time_s[i + 1] ?? 0) < t + step / 2) {
      i++;
      if ((time_s[i] ?? 0) < t - step / 2) continue;
      sum += values[i] ?? 0;
      count++;
    }
    // Two samples in one step lie evenly about it only by chance: means are for many.
    grid[at] = count > meansFrom ? sum / count : valueAt(time_s, values, i, t);
  }
  return grid;
}

/** Samples in one step from which their mean stands for it. */
const meansFrom = 3;

/** Between the samples about a time; near `i`. */
function valueAt(time_s: Float64Array, values: Float64Array, i: number, t: number): number {
  let k = Math.min(i, time_s.length - 2);
  while (k > 0 && (time_s[k] ?? 0) > t) k--;
  const [t0 = 0, t1 = 0, v0 = 0, v1 = 0] = [time_s[k], time_s[k + 1], values[k], values[k + 1]];
  return t1 > t0 ? v0 + ((v1 - v0) * (t - t0)) / (t1 - t0) : v0;
}

/** Delay of the grids with the largest correlation, in seconds between their starts. */
function coarseDelay(a: Float64Array, b: Float64Array, step: number): number | undefined {
  const least = Math.max(5, Math.floor(leastOverlap * Math.min(a.length, b.length)));
  let best: { readonly lag: number; readonly worth: number } | undefined;
  for (let lag = least - b.length; lag <= a.length - least; lag++) {
    const from = Math.max(0, lag);
    const to = Math.min(a.length, b.length + lag);
    const r = correlationAt(a, b, lag, from, to);
    // A short overlap agrees by chance: the same correlation over more samples is worth more.
    const worth = Math.abs(r) * Math.sqrt((to - from) / Math.min(a.length, b.length));
    if (worth > (best?.worth ?? 0)) best = { lag, worth };
  }
  // The second record begins `lag` steps behind the first.
  return best === undefined ? undefined : best.lag * step;
}

function correlationAt(a: Float64Array, b: Float64Array, lag: number, from: number, to: number): number {
  let [sa, sb, saa, sbb, sab] = [0, 0, 0, 0, 0];
  for (let i = from; i < to; i++) {
    const [x = 0, y = 0] = [a[i], b[i - lag]];
    sa += x;
    sb += y;
    saa += x * x;
    sbb += y * y;
    sab += x * y;
  }
  const n = to - from;
  const spread = (saa - (sa * sa) / n) * (sbb - (sb * sb) / n);
  return spread > 0 ? (sab - (sa * sb) / n) / Math.sqrt(spread) : 0;
}

/** Gauss-Newton over delay, gain and level, with the residual's own correlation in the uncertainty. */
function refined(first: RecordOfTime, second: RecordOfTime, start: number, step: number): Delay | undefined {
  const a = smoothed(gridOf(first, step));
  const b = smoothed(gridOf(second, step));
  const [a0 = 0, b0 = 0] = [first.time_s[0], second.time_s[0]];
  let offset = start;
  let found: Round | undefined;
  for (let round = 0; round < mostRounds; round++) {
    // Place of the second record's first sample in the grid of the first.
    found = roundAt(a, b, (b0 + offset - a0) / step);
    if (found === undefined) return undefined;
    const move = Math.min(2, Math.max(-2, found.move));
    offset += move * step;
    if (Math.abs(move) < 1e-6) break;
  }
  if (found === undefined) return undefined;
  // A sharp edge lies anywhere between two samples, in both records; smoothing makes no more edges of it.
  const edges = Math.max(1, found.informative / (4 * smoothing));
  const grid = Math.hypot(stepOf(first), stepOf(second)) / Math.sqrt(12 * edges);
  return {
    offset_s: offset,
    standardUncertainty_s: Math.hypot(found.u * step, grid),
    correlation: found.correlation,
  };
}

interface Round {
  /** Steps by which the delay is to be moved. */
  readonly move: number;
  /** Standard uncertainty of the delay [steps]. */
  readonly u: number;
  readonly correlation: number;
  /** Samples that tell something of the delay. */
  readonly informative: number;
}

/** One round at a place of the second grid on the first: residuals, their slope against the place, the step. */
function roundAt(a: Float64Array, b: Float64Array, place: number): Round | undefined {
  const from = Math.max(0, Math.ceil(-place) + 1);
  const to = Math.min(b.length, Math.floor(a.length - 2 - place));
  const n = to - from;
  if (n < 10) return undefined;
  const x = new Float64Array(n);
  const slope = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const at = i + from + place;
    const k = Math.floor(at);
    const f = at - k;
    x[i] = (1 - f) * (a[k] ?? 0) + f * (a[k + 1] ?? 0);
    slope[i] = ((a[k + 2] ?? a[k + 1] ?? 0) - (a[k - 1] ?? a[k] ?? 0)) / 3;
  }
  const y = b.subarray(from, to);
  const { gain, level, correlation } = line(x, y);
  const residual = Float64Array.from(y, (value, i) => value - level - gain * (x[i] ?? 0));
  // The slope counts as far as gain and level do not take its part.
  const own = line(x, slope);
  const j = slope.map((s, i) => gain * (s - own.level - own.gain * (x[i] ?? 0)));
  const information = j.reduce((sum, value) => sum + value * value, 0);
  if (!(information > 0)) return undefined;
  const push = j.reduce((sum, value, i) => sum + value * (residual[i] ?? 0), 0);
  return {
    move: push / information,
    u: sandwich(j, residual) / information,
    correlation,
    informative: information / Math.max(...j.map((value) => value * value)),
  };
}

function line(x: Float64Array, y: Float64Array) {
  const n = x.length;
  let [sx, sy, sxx, sxy, syy] = [0, 0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    const [u = 0, v = 0] = [x[i], y[i]];
    sx += u;
    sy += v;
    sxx += u * u;
    sxy += u * v;
    syy += v * v;
  }
  const spread = sxx - (sx * sx) / n;
  const gain = spread > 0 ? (sxy - (sx * sy) / n) / spread : 0;
  const other = syy - (sy * sy) / n;
  const correlation = spread > 0 && other > 0 ? (sxy - (sx * sy) / n) / Math.sqrt(spread * other) : 0;
  return { gain, level: (sy - gain * sx) / n, correlation };
}

/** Lags over which neighbouring residuals are taken to hang together, in steps. */
const lags = 3 * smoothing;

/**
 * Deviation of sum j r where neighbours of r hang together: Newey and West's weights (1 - k/(L+1)).
 * The terms j r themselves are summed, so that noise that differs along the record counts where it lies.
 */
function sandwich(j: Float64Array, residual: Float64Array): number {
  const g = j.map((value, i) => value * (residual[i] ?? 0));
  let sum = 0;
  for (let k = 0; k <= lags; k++) {
    let product = 0;
    for (let i = k; i < g.length; i++) product += (g[i] ?? 0) * (g[i - k] ?? 0);
    sum += (k === 0 ? 1 : 2) * (1 - k / (lags + 1)) * product;
  }
  return Math.sqrt(Math.max(0, sum));
}

/** Binomial smoothing, the same for both records. */
function smoothed(grid: Float64Array): Float64Array {
  let values = grid;
  for (let round = 0; round < 2 * smoothing; round++) {
    const before = values;
    values = before.map((value, i) => (2 * value + (before[i - 1] ?? value) + (before[i + 1] ?? value)) / 4);
  }
  return values;
}
