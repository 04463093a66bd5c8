/**
 * A wanted history of the angle, followed as closely as a drive with its margins can.
 *
 * Step by step of the time h, the speed is that which closes the distance e to the wanted history, no more of it over the
 * wanted speed v_w than can be braked away on the distance, no more than can be braked away before the next turn of the
 * history, and within what speed and acceleration the drive has at that opening:
 *
 *   v = v_w + sign(e) min(|e|/h, u(|e|)),   |v| <= u(distance to the next turn),   u(d) = a (sqrt(h^2/4 + 2 d/a) - h/2)
 *   v - v_before within +/- a h,   |v| <= ceiling
 *
 * u is the greatest speed from which steps of -a h come to rest within d. The ceiling rules last: no row ever asks for
 * more speed than the drive has.
 *
 * Source  bang-bang braking, textbook [leonhard-2001]; the sum over steps derived here
 */

/** Sense of a motion: opening or closing. */
export type FollowSense = 1 | -1;

/** What a drive can do with its margins. */
export interface FollowLimits {
  /** Greatest speed at an opening [rad/s]. */
  readonly ceiling: (angle: number, sense: FollowSense) => number;
  /** Greatest gain of speed at an opening and speed, and loss of it, both >= 0 [rad/s2]. */
  readonly speedUp: (angle: number, speed: number, sense: FollowSense) => number;
  readonly slowDown: (angle: number, sense: FollowSense) => number;
}

/** Greatest speed from which a drive that loses a h in each step comes to rest within d [rad/s]. */
export function brakedSpeed(d: number, a: number, h: number): number {
  if (!(d > 0 && a > 0)) return 0;
  return a * (Math.sqrt((h * h) / 4 + (2 * d) / a) - h / 2);
}

/**
 * The angle at each row.
 * @param wanted  at each row [rad];  @param step  between rows, > 0 [s]
 * @returns       as many angles, the first the wanted one, none outside the range of the wanted ones
 */
export function followed(wanted: Float64Array, step: number, limits: FollowLimits): Float64Array {
  const n = wanted.length;
  const angles = new Float64Array(n);
  const turn = nextTurns(wanted);
  let angle = wanted[0] ?? 0;
  let speed = 0;
  angles[0] = angle;
  for (let k = 0; k + 1 < n; k++) {
    const now = wanted[k] ?? 0;
    const ahead = ((wanted[k + 1] ?? now) - now) / step;
    const lag = now - angle;
    const braking = limits.slowDown(angle, speed >= 0 ? 1 : -1);
    let next = ahead + Math.sign(lag) * Math.min(Math.abs(lag) / step, brakedSpeed(Math.abs(lag), braking, step));
    const sense = next >= 0 ? 1 : -1;
    const room = sense * ((turn[k + 1] ?? angle) - angle);
    next = sense * Math.min(Math.abs(next), brakedSpeed(room, limits.slowDown(angle, sense), step));
    next = within(next, speed, step, limits, angle);
    const most = limits.ceiling(angle, next >= 0 ? 1 : -1);
    next = Math.min(Math.max(next, -most), most);
    angle += next * step;
    speed = next;
    angles[k + 1] = angle;
  }
  return keptInside(angles, wanted);
}

/** The speed next, no farther from the present one than a step's gain or loss; through rest in two steps. */
function within(wanted: number, speed: number, step: number, limits: FollowLimits, angle: number): number {
  const sense = (speed === 0 ? wanted : speed) >= 0 ? 1 : -1;
  const gain = limits.speedUp(angle, Math.abs(speed), sense) * step;
  const loss = limits.slowDown(angle, sense) * step;
  const along = sense * speed;
  const next = sense * wanted;
  // Through rest within one step a drive would turn round: it stops first.
  return sense * Math.min(Math.max(next, along > 0 ? Math.max(along - loss, 0) : 0, along - loss), along + gain);
}

/** Of each row the value at which the history next turns or comes to its end, beyond which nothing is to be run. */
function nextTurns(wanted: Float64Array): Float64Array {
  const n = wanted.length;
  const turns = new Float64Array(n);
  turns[n - 1] = wanted[n - 1] ?? 0;
  let trend = 0;
  for (let k = n - 2; k >= 0; k--) {
    const change = Math.sign((wanted[k + 1] ?? 0) - (wanted[k] ?? 0));
    if (change !== 0 && change !== trend) {
      trend = change;
      turns[k] = wanted[k + 1] ?? 0;
    } else turns[k] = turns[k + 1] ?? 0;
    if (change !== 0 && trend === change && (turns[k + 1] ?? 0) * change > (turns[k] ?? 0) * change)
      turns[k] = turns[k + 1] ?? 0;
  }
  return turns;
}

function keptInside(angles: Float64Array, wanted: Float64Array): Float64Array {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of wanted) {
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  return angles.map((value) => Math.min(Math.max(value, low), high));
}

/** A stretch of rows in which a history is not followed. */
export interface Missed {
  readonly from: number;
  readonly to: number;
  /** Row of the greatest distance, and the distance, followed less wanted. */
  readonly worst: number;
  readonly distance: number;
}

/** Stretches of rows that are farther from the wanted ones than a tolerance. */
export function missedRows(
  wanted: ArrayLike<number>,
  got: ArrayLike<number>,
  tolerance: number,
): readonly Missed[] {
  const found: Missed[] = [];
  for (let k = 0; k < wanted.length; k++) {
    const distance = (got[k] ?? 0) - (wanted[k] ?? 0);
    if (!(Math.abs(distance) > tolerance)) continue;
    const last = found.at(-1);
    if (last === undefined || last.to < k - 1) found.push({ from: k, to: k, worst: k, distance });
    else {
      const isWorse = Math.abs(distance) > Math.abs(last.distance);
      found[found.length - 1] = { ...last, to: k, ...(isWorse ? { worst: k, distance } : {}) };
    }
  }
  return found;
}
