/**
 * An angle whose sensor counts within one turn: where it passes from 360 deg to 0, or from 180 to -180, its
 * reading jumps by a whole turn though the ball does not.
 *
 *   a_i' = a_i - 2 pi n_i,   n_i = n_{i-1} + sign(a_i - a_{i-1}) where that step is about a whole turn
 *
 * Valid for  readings that span no more than a turn: what counts on through several turns does not wrap,
 *            and large steps of such a signal are motion, or its unit is wrong
 */

/** Readings of one turn span no more than this; noise and a scale a little off included [turns]. */
const oneTurn = 1.02;
/** A step from this on is a jump [turns]: no ball turns by three quarters of a turn between two samples. */
const jumpFrom = 0.75;
const turn = 2 * Math.PI;

/** An angle with its jumps taken off. */
interface WithoutTurns {
  readonly values: Float64Array;
  /** Jumps that were taken off; with none the values are those that came. */
  readonly jumps: number;
}

/** Whether readings that span so far may hold a jump. @param span  [rad] */
export function spansJump(span: number): boolean {
  return span >= jumpFrom * turn;
}

/** Takes jumps of a whole turn off an angle. @param values  [rad]; NaN for a gap, over which the last reading counts */
export function withoutTurns(values: Float64Array): WithoutTurns {
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const value of values) {
    low = Math.min(low, Number.isNaN(value) ? low : value);
    high = Math.max(high, Number.isNaN(value) ? high : value);
  }
  if (!(spansJump(high - low) && high - low <= oneTurn * turn)) return { values, jumps: 0 };
  let jumps = 0;
  let turns = 0;
  let last = Number.NaN;
  const even = values.map((value) => {
    if (Number.isNaN(value)) return value;
    const step = value - last;
    if (Math.abs(step) >= jumpFrom * turn) {
      turns += Math.sign(step);
      jumps++;
    }
    last = value;
    return value - turns * turn;
  });
  return jumps === 0 ? { values, jumps } : { values: even, jumps };
}
