/**
 * A wanted history of the angle, made into one that a drive can follow with its margins.
 *
 *   1. within speed   x[k+1] = x[k] + clamp(wanted[k+1] - x[k], -c h, c h),   c = share v_0(x, sense)
 *   2. within torque  mean over T_a: the acceleration is at most the change of speed over T_a
 *   3. within jerk    mean over T_j: the acceleration changes by no more than itself in T_j
 *
 * A mean over past and future weighs with positive numbers that sum to 1. So speed stays within what it was, a history
 * that rises keeps rising, none runs past where it is wanted, and a straight piece comes out as it went in. The means
 * look half their length ahead: the history begins that much after the first row.
 *
 * The drive can gain a_0 (1 - v/v_0) at the speed v, for a torque that falls with speed no faster than the straight line
 * from rest to the speed without surplus, and lose a_b. Both and v_0 change with the opening, which the means do not see:
 * the whole is made, held against them row by row, and made again slower until no row asks for more.
 *
 * Source  filters of finite response for bounded speed, acceleration and jerk [biagiotti-2012]; the shares row by row
 *         derived in docs/theory/schedule.md
 */

/** Sense of a motion: opening or closing. */
export type MoveSense = 1 | -1;

/** What a drive can do at even openings from closed to open, in one sense. */
export interface SenseLimits {
  /** Speed at which no torque is left [rad/s]. */
  readonly speed: Float64Array;
  /** Gain of speed from rest [rad/s2]. */
  readonly gain: Float64Array;
  /** Loss of speed [rad/s2]. */
  readonly loss: Float64Array;
}

/** What a drive can do. */
export interface DriveLimits {
  /** Distance of the openings [rad]. */
  readonly spacing: number;
  readonly opening: SenseLimits;
  readonly closing: SenseLimits;
  /** Share of the speed without surplus that a schedule may ask for, below 1 [-]. */
  readonly speedShare: number;
}

/** A schedule of the opening. */
export interface Schedule {
  /** At each row [rad]. */
  readonly angle: Float64Array;
  /** Time of the row at which the wanted history begins; a whole number of steps [s]. */
  readonly lead: number;
  /** Lengths of the means over acceleration and jerk [s]. */
  readonly torqueTime: number;
  readonly jerkTime: number;
  /** The most that a row asks for over what the drive can do with its margins [-]. */
  readonly demand: Demand;
}

/** The most that rows ask for, over what the drive can do [-]. */
export interface Demand {
  readonly speed: number;
  readonly acceleration: number;
}

/** A schedule that cannot be: the opening at which the drive has no torque left [rad]. */
export interface NoSchedule {
  readonly stuckAt: number;
}

/** So often it is made anew, slower. */
const mostTries = 12;
/** Slower than needed by this, so that few tries do [-]. */
const reserve = 1.02;
/** Rounding counts as none [-]. */
const tolerance = 1e-9;
/** Slower is rest [rad/s]. */
const leastSpeed = 1e-9;
/** A schedule that is not at its end so long after the history is given up [s]. */
const longestTail = 20;

/**
 * The schedule of a history.
 * @param wanted    angle at a time from its beginning, before it that of the start [rad]
 * @param duration  of the history [s];  @param step between rows, > 0 [s]
 * @param jerkTime  in which the acceleration may change by itself, >= 0 [s]
 * @returns         rows from rest to rest; where the drive cannot move the ball at an opening on the way, that opening
 */
export function scheduleOf(
  wanted: (t: number) => number,
  duration: number,
  step: number,
  limits: DriveLimits,
  jerkTime: number,
): Schedule | NoSchedule {
  const stuckAt = stuckOpening(wanted, duration, step, limits);
  if (stuckAt !== undefined) return { stuckAt };
  const jerkRows = oddRows(jerkTime / step);
  let torqueRows = 1;
  let speedScale = 1;
  for (let tries = 0; ; tries++) {
    const ahead = (torqueRows + jerkRows - 2) / 2;
    const within = withinSpeed(wanted, duration, step, limits, speedScale);
    const angle = meanOver(meanOver(within, torqueRows), jerkRows);
    const demand = demandOf(angle, step, limits);
    const isWithin = demand.speed <= 1 + tolerance && demand.acceleration <= 1 + tolerance;
    if (isWithin || tries >= mostTries)
      return { angle, lead: ahead * step, torqueTime: torqueRows * step, jerkTime: jerkRows * step, demand };
    if (demand.speed > 1) speedScale /= demand.speed * reserve;
    if (demand.acceleration > 1)
      torqueRows = oddRows(torqueRows * Math.min(demand.acceleration, 8) * reserve);
  }
}

/** Rows of a mean: an odd number, so that it looks as far ahead as back. */
function oddRows(rows: number): number {
  return 2 * Math.ceil((Math.max(rows, 1) - 1 - tolerance) / 2) + 1;
}

/** Rows from the beginning of the history to where it has come to its end, as fast as the speed allows. */
function withinSpeed(
  wanted: (t: number) => number,
  duration: number,
  step: number,
  limits: DriveLimits,
  speedScale: number,
): readonly number[] {
  const rows = [wanted(-step)];
  const end = Math.ceil(duration / step - tolerance);
  const last = end + Math.ceil(longestTail / step);
  for (let k = 1; k <= last; k++) {
    const at = rows[k - 1] ?? Number.NaN;
    const away = wanted(Math.min(k * step, duration)) - at;
    if (k > end && away === 0) break;
    const most = speedScale * limits.speedShare * limitAt(limits, "speed", at, away >= 0 ? 1 : -1) * step;
    rows.push(Math.abs(away) <= most ? at + away : at + Math.sign(away) * most);
    if (k > end && most === 0) break;
  }
  return rows;
}

/** Mean over each row and those before it, the first standing for what was before; on until the last row stands. */
function meanOver(rows: ArrayLike<number>, count: number): Float64Array {
  const n = rows.length + count - 1;
  const first = rows[0] ?? Number.NaN;
  const last = rows[rows.length - 1] ?? Number.NaN;
  const at = (k: number) => (k < 0 ? first : k < rows.length ? (rows[k] ?? Number.NaN) : last);
  const means = new Float64Array(n);
  // Counted from the first value, so that a history at rest stays where it is to the last bit.
  let sum = 0;
  for (let k = 0; k < n; k++) {
    sum += at(k) - at(k - count);
    means[k] = first + sum / count;
  }
  means[n - 1] = last;
  return means;
}

/** A limit at any opening, by straight lines. */
function limitAt(limits: DriveLimits, of: keyof SenseLimits, angle: number, sense: MoveSense): number {
  const column = (sense > 0 ? limits.opening : limits.closing)[of];
  const place = Math.min(Math.max(angle / limits.spacing, 0), column.length - 1);
  const j = Math.min(Math.floor(place), column.length - 2);
  const low = column[j] ?? Number.NaN;
  return low + (place - j) * ((column[j + 1] ?? low) - low);
}

/**
 * The most that a schedule asks for over what the drive can do.
 *
 * Between two rows the speed is theirs, and at each row it changes. Through rest a drive first loses its speed, then
 * gains the other: the times that it needs for both add up.
 * @param angle at each row [rad];  @param step between rows [s]
 */
export function demandOf(angle: ArrayLike<number>, step: number, limits: DriveLimits): Demand {
  let speed = 0;
  let acceleration = 0;
  let before = 0;
  for (let k = 0; k + 1 <= angle.length; k++) {
    const at = angle[k] ?? Number.NaN;
    const now = ((angle[k + 1] ?? at) - at) / step;
    const sense = now >= 0 ? 1 : -1;
    const ceiling = limitAt(limits, "speed", at, sense);
    if (Math.abs(now) > leastSpeed) speed = Math.max(speed, Math.abs(now) / (limits.speedShare * ceiling));
    acceleration = Math.max(acceleration, shareOfTorque(before, now, at, step, limits));
    before = now;
  }
  return { speed, acceleration };
}

function shareOfTorque(before: number, now: number, at: number, step: number, limits: DriveLimits): number {
  const change = Math.abs(now - before);
  if (change <= leastSpeed) return 0;
  const isThroughRest = now * before < 0;
  const lost = isThroughRest ? Math.abs(before) : Math.max(Math.abs(before) - Math.abs(now), 0);
  const gained = isThroughRest ? Math.abs(now) : Math.max(Math.abs(now) - Math.abs(before), 0);
  const loss = limitAt(limits, "loss", at, before >= 0 ? 1 : -1);
  const sense = now >= 0 ? 1 : -1;
  const left = 1 - Math.abs(now) / limitAt(limits, "speed", at, sense);
  const gain = limitAt(limits, "gain", at, sense) * left;
  const takes =
    (lost > 0 ? lost / loss : 0) + (gained > 0 ? (gain > 0 ? gained / gain : Number.POSITIVE_INFINITY) : 0);
  return takes / step;
}

/** First opening on the way, in a sense in which the history moves, where the drive has no speed or torque left. */
function stuckOpening(
  wanted: (t: number) => number,
  duration: number,
  step: number,
  limits: DriveLimits,
): number | undefined {
  const range = new Map<MoveSense, { low: number; high: number }>();
  let before = wanted(-step);
  for (let k = 0; k <= Math.ceil(duration / step - tolerance); k++) {
    const now = wanted(Math.min(k * step, duration));
    if (now !== before) {
      const sense = now > before ? 1 : -1;
      const { low, high } = range.get(sense) ?? { low: before, high: before };
      range.set(sense, { low: Math.min(low, now, before), high: Math.max(high, now, before) });
    }
    before = now;
  }
  for (const [sense, { low, high }] of range) {
    const { speed, gain, loss } = sense > 0 ? limits.opening : limits.closing;
    const last = Math.min(Math.ceil(high / limits.spacing), speed.length - 1);
    for (let j = Math.floor(low / limits.spacing); j <= last; j++) {
      const least = Math.min(speed[j] ?? Number.NaN, gain[j] ?? Number.NaN, loss[j] ?? Number.NaN);
      if (!(least > 0)) return j * limits.spacing;
    }
  }
  return undefined;
}
