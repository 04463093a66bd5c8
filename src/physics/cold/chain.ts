/**
 * Chains of parts that shrink: what is left of a fit or an interference when each part is at its own
 * temperature. A length L shrinks by c L, with c the integral contraction between the temperature of
 * inspection and that of the part, (L(T0) - L(T)) / L(293 K) (docs/theory/cold.md).
 */
import type { Length } from "../../quantity/index.js";

/** One link of a chain: its length at inspection and its contraction; c > 0 where it has shrunk. */
export interface Link {
  readonly length: Length;
  readonly contraction: number;
}

/**
 * What remains between parts that hold and parts that fill, one or several of each,
 *
 *   gap(T) = gap0 - sum over the holding links of c L + sum over the filling links of c L
 *
 * @param gap0  at inspection; positive for play, negative for interference [m]
 * @returns     positive for play [m]
 */
export function gapRemaining(gap0: Length, holding: readonly Link[], filling: readonly Link[]): Length {
  const shrunk = (links: readonly Link[]) =>
    links.reduce((sum, { length, contraction }) => sum + length * contraction, 0);
  return (gap0 - shrunk(holding) + shrunk(filling)) as Length;
}

/** Sizes and contractions of the loop body, seat, ball, seat along the pipe. */
export interface SeatLoop {
  /** Compression of both seats together at inspection [m]. */
  readonly interference: Length;
  readonly ballRadius: Length;
  readonly contactRadius: Length;
  /** Height of one seat from its support in the body to its contact with the ball [m]. */
  readonly seatHeight: Length;
  readonly contraction: { readonly body: number; readonly ball: number; readonly seat: number };
}

/**
 * Interference of both seats that remains, along the pipe. The ball fills 2 R cos g between the contact
 * circles, each seat its height; the body holds their sum less the interference:
 *
 *   delta(T) = delta0 - 2 h c_seat - 2 R cos g c_ball + (2 h + 2 R cos g - delta0) c_body,   sin g = r / R
 *
 * @returns  negative where the seats have come off the ball [m]
 * Valid for a seat ring that the body holds in its radius; a free ring shrinks on to the ball and keeps
 *           more (docs/theory/cold.md, "The seat ring")
 * Source    derived in docs/theory/cold.md
 */
export function interferenceRemaining(loop: SeatLoop): Length {
  const { interference, ballRadius: R, contactRadius: r, seatHeight: h, contraction: c } = loop;
  const chord = 2 * Math.sqrt(R * R - r * r);
  const body = chord + 2 * h - interference;
  const gap = gapRemaining(
    -interference as Length,
    [{ length: body as Length, contraction: c.body }],
    [
      { length: chord as Length, contraction: c.ball },
      { length: (2 * h) as Length, contraction: c.seat },
    ],
  );
  return -gap as Length;
}

/**
 * Preload that remains over that at inspection: remaining over first interference, times the stiffness
 * of the seat over its warm one; none where the seats have come off.
 */
export function preloadRatio(remaining: Length, interference: Length, stiffnessRatio: number): number {
  return Math.max(remaining / interference, 0) * stiffnessRatio;
}
