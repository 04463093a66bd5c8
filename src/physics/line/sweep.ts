/**
 * One time step of the waves in one pipe: the inner loop of the method of characteristics.
 *
 * The state of a section is the pair of waves that leave it, F to the end of the pipe and G to its start:
 *
 *   F = p + B W,   G = p - B W,   2p = F + G,   2B W = F - G
 *
 * In one step each runs one reach on and loses the friction of it, so that a step is a shift:
 *
 *   F_i+1 = F_i - K d_i|d_i|,   G_i-1 = G_i + K d_i|d_i|,   d = F - G,   K = R/(2B)^2
 *
 * Source  [wylie-streeter-1993, ch. 3], in the invariants; bench/surge.ts measures it
 */

/**
 * Advances a pipe by one step, in place, in one pass, and widens its envelope; the two ends are left to what stands there.
 * @param F,G        waves that leave each section; afterwards those that arrive, which inside leave it again
 * @param high,low   envelope of twice the pressure of each section [Pa]
 * @param first,last sections of the pipe
 * @param K          R/(2B)^2 of one reach, R its steady friction [1/Pa]
 * @returns          twice the lowest pressure inside that is lower than any before; infinite without one [Pa]
 * Valid for         sections that are full of liquid
 */
export function sweep(
  F: Float64Array,
  G: Float64Array,
  high: Float64Array,
  low: Float64Array,
  first: number,
  last: number,
  K: number,
): number {
  let lowest = Number.POSITIVE_INFINITY;
  const f0 = F[first] as number;
  const d0 = f0 - (G[first] as number);
  const f1 = F[first + 1] as number;
  const g1 = G[first + 1] as number;
  const d1 = f1 - g1;
  const loss1 = K * d1 * Math.abs(d1);
  // What arrived one section back, and what arrives at the next.
  let behind = f0 - K * d0 * Math.abs(d0);
  let arriving = f1 - loss1;
  G[first] = g1 + loss1;
  F[first + 1] = behind;
  for (let i = first + 2; i <= last; i++) {
    const f = F[i] as number;
    const g = G[i] as number;
    const d = f - g;
    const loss = K * d * Math.abs(d);
    const back = g + loss;
    const j = i - 1;
    F[i] = arriving;
    G[j] = back;
    const twice = behind + back;
    if (twice > (high[j] as number)) high[j] = twice;
    if (twice < (low[j] as number)) {
      low[j] = twice;
      if (twice < lowest) lowest = twice;
    }
    behind = arriving;
    arriving = f - loss;
  }
  return lowest;
}
