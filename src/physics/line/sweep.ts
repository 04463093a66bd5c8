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
  let i = first + 2;
  // Two sections at a time: the loads of the next are under way while the friction of the first is worked out.
  for (; i < last; i += 2) {
    const fa = F[i] as number;
    const ga = G[i] as number;
    const fb = F[i + 1] as number;
    const gb = G[i + 1] as number;
    const da = fa - ga;
    const db = fb - gb;
    const lossA = K * da * Math.abs(da);
    const lossB = K * db * Math.abs(db);
    const backA = ga + lossA;
    const backB = gb + lossB;
    const next = fa - lossA;
    const j = i - 1;
    F[i] = arriving;
    F[i + 1] = next;
    G[j] = backA;
    G[i] = backB;
    const twiceA = behind + backA;
    const twiceB = arriving + backB;
    if (twiceA > (high[j] as number)) high[j] = twiceA;
    if (twiceA < (low[j] as number)) {
      low[j] = twiceA;
      if (twiceA < lowest) lowest = twiceA;
    }
    if (twiceB > (high[i] as number)) high[i] = twiceB;
    if (twiceB < (low[i] as number)) {
      low[i] = twiceB;
      if (twiceB < lowest) lowest = twiceB;
    }
    behind = next;
    arriving = fb - lossB;
  }
  if (i > last) return lowest;
  const f = F[last] as number;
  const g = G[last] as number;
  const d = f - g;
  const back = g + K * d * Math.abs(d);
  const j = last - 1;
  F[last] = arriving;
  G[j] = back;
  const twice = behind + back;
  if (twice > (high[j] as number)) high[j] = twice;
  if (twice < (low[j] as number)) {
    low[j] = twice;
    if (twice < lowest) lowest = twice;
  }
  return lowest;
}
