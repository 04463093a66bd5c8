/** An instant with its uncertainty, and the plainest ways to get one. */

/** Mean, standard deviation and central 95 % interval of an instant. */
export interface Instant {
  readonly time_s: number;
  readonly standardUncertainty_s: number;
  readonly interval95_s: readonly [number, number];
}

/** Coverage factor of the normal law for 95 %. */
const normal95 = 1.959_963_985;

/** An instant of normal law. */
export function normalInstant(time_s: number, u: number): Instant {
  return { time_s, standardUncertainty_s: u, interval95_s: [time_s - normal95 * u, time_s + normal95 * u] };
}

/**
 * An instant known only to lie between two samples: uniform law, u = (to - from)/sqrt(12).
 *
 * @param from  last sample before;  @param to  first sample after, >= from [s]
 * Source  [gum-2008, 4.3.7]
 */
export function bracketed(from: number, to: number): Instant {
  const middle = (from + to) / 2;
  const reach = 0.475 * (to - from);
  return {
    time_s: middle,
    standardUncertainty_s: (to - from) / Math.sqrt(12),
    interval95_s: [middle - reach, middle + reach],
  };
}

/** An instant with a further independent uncertainty, normal, added in quadrature to deviation and half-widths. */
export function widened(instant: Instant, u: number): Instant {
  if (u === 0) return instant;
  const { time_s, interval95_s } = instant;
  return {
    time_s,
    standardUncertainty_s: Math.hypot(instant.standardUncertainty_s, u),
    interval95_s: [
      time_s - Math.hypot(time_s - interval95_s[0], normal95 * u),
      time_s + Math.hypot(interval95_s[1] - time_s, normal95 * u),
    ],
  };
}
