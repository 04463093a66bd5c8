/**
 * The motor current while the ball rests: without back-EMF it runs along exponentials
 *
 *   i(t) = A + (i_0 - A) exp(-t/tau)
 *
 * so that the instant at which the drive breaks away has a closed form. Derived in docs/theory/motion.md.
 */

/** One exponential piece of the current. */
export interface RestCurrent {
  /** A [A]. */
  readonly asymptote: number;
  /** tau [s]. */
  readonly timeConstant: number;
  /** Current at which another piece follows, between the present one and A; NaN if none does [A]. */
  readonly ends: number;
}

/** A current that stays. */
export function steadyCurrent(current: number): RestCurrent {
  return { asymptote: current, timeConstant: 1, ends: Number.NaN };
}

/**
 * Current led to a wanted value with a lag, within the voltage there is:
 *
 *   i' = min(max((W - i)/lag, (-V - R i)/L), (V - R i)/L)
 *
 * Each bound falls with i, so the current runs one way, to W or to what V can hold, and passes from
 * piece to piece where two bounds meet.
 *
 * @param current i_0;  @param wanted W [A];  @param lag > 0 [s];  @param voltage V >= 0 [V]
 * @param resistance R > 0 [ohm];  @param inductance L > 0 [H]
 */
export function ledCurrent(
  current: number,
  wanted: number,
  lag: number,
  voltage: number,
  resistance: number,
  inductance: number,
): RestCurrent {
  const greatest = voltage / resistance;
  const end = Math.min(Math.max(wanted, -greatest), greatest);
  let next = end;
  for (const full of [voltage, -voltage]) {
    const meets = (wanted * inductance - full * lag) / (inductance - resistance * lag);
    if ((meets > current && meets < next) || (meets < current && meets > next)) next = meets;
  }
  // Between here and the next meeting point one bound holds throughout; the middle tells which.
  const middle = 0.5 * (current + next);
  const byLag = (wanted - middle) / lag;
  const loss = resistance * middle;
  const ends = next === end ? Number.NaN : next;
  if (Math.abs(byLag * inductance + loss) <= voltage) return { asymptote: wanted, timeConstant: lag, ends };
  const full = byLag * inductance + loss > 0 ? voltage : -voltage;
  return { asymptote: full / resistance, timeConstant: inductance / resistance, ends };
}

/** Time until a piece that starts at i0 reaches a value; infinite if it never does [s]. */
export function timeTo(piece: RestCurrent, i0: number, value: number): number {
  if (value === i0) return 0;
  const share = (value - piece.asymptote) / (i0 - piece.asymptote);
  return share > 0 && share < 1 ? -piece.timeConstant * Math.log(share) : Number.POSITIVE_INFINITY;
}

/** Time until a piece that starts at i0 is about to lie beyond a value in a sense; infinite if it never is [s]. */
export function timeBeyond(piece: RestCurrent, i0: number, value: number, sense: 1 | -1): number {
  if (sense * (i0 - value) > 0) return 0;
  if (!(sense * (piece.asymptote - value) > 0)) return Number.POSITIVE_INFINITY;
  return timeTo(piece, i0, value);
}

/** Current after a time [A]. */
export function currentAfter(piece: RestCurrent, i0: number, time: number): number {
  return piece.asymptote + (i0 - piece.asymptote) * Math.exp(-time / piece.timeConstant);
}
