/**
 * Concentration of the shear stress at notches of a shaft under torque,
 *
 *   tau_max = K_ts tau_nominal
 *
 * the nominal stress being that of the section beside the notch. Elastic and theoretical: what a
 * material makes of it is said elsewhere.
 */
import type { Length } from "../../quantity/index.js";

/** D/d with A and b of K_ts = A (r/d)^b [pilkey-2008, shoulder fillet in torsion, from memory]. */
const shoulders: readonly (readonly [ratio: number, A: number, b: number])[] = [
  [1.09, 0.903, -0.127],
  [1.2, 0.834, -0.216],
  [1.33, 0.849, -0.232],
  [2, 0.863, -0.239],
];

/** Range of the other fit, depth of the shoulder over radius of its fillet [-]. */
const polynomialRange = { low: 0.25, high: 4 } as const;

/**
 * Fillet where a shaft of diameter d meets one of diameter D > d; the greater of two published fits,
 * where both are valid.
 *
 *   K_ts = A (r/d)^b                                     A, b by D/d, straight between their rows
 *   K_ts = C_1 + C_2 x + C_3 x^2 + C_4 x^3,  x = 2h/D    C_i of the root of h/r, h = (D - d)/2
 *
 * @param d, D  smaller and larger diameter;  @param r  radius of the fillet, > 0
 * Valid for    0.25 <= h/r <= 4 for the second; the first for 0.02 <= r/d <= 0.3
 * Source       [pilkey-2008; roark-2002, table 17.1, shoulder fillet in torsion, coefficients looked up, their signs from memory]
 */
export function shoulderConcentration(d: Length, D: Length, r: Length): number {
  if (!(D > d)) return 1;
  const byCurves = fromCurves(D / d, r / d);
  const h = 0.5 * (D - d);
  const depth = h / r;
  if (depth < polynomialRange.low || depth > polynomialRange.high) return byCurves;
  return Math.max(byCurves, fromPolynomial(depth, (2 * h) / D));
}

function fromCurves(ratio: number, radius: number): number {
  const rows = shoulders.map(([at, A, b]) => [at, A * radius ** b] as const);
  const all = [[1, 1] as const, ...rows];
  const next = all.findIndex(([at]) => at >= ratio);
  const upper = all[next] ?? all.at(-1);
  const lower = all[next - 1] ?? upper;
  if (upper === undefined || lower === undefined) throw new Error("a table of shoulders without rows");
  const share = upper[0] > lower[0] ? (ratio - lower[0]) / (upper[0] - lower[0]) : 0;
  return Math.max(lower[1] + share * (upper[1] - lower[1]), 1);
}

function fromPolynomial(depth: number, x: number): number {
  const root = Math.sqrt(depth);
  const C1 = 0.905 + 0.783 * root - 0.075 * depth;
  const C2 = -0.437 - 1.969 * root + 0.553 * depth;
  const C3 = 1.557 + 1.073 * root - 0.578 * depth;
  const C4 = -1.061 + 0.171 * root + 0.086 * depth;
  return C1 + x * (C2 + x * (C3 + x * C4));
}

/**
 * Bottom of a profile (end-milled) keyway with r/d = 0.021 at its fillet: 2.6 by itself, 3.0 with the key
 * pressing in it. Source [pilkey-2008, keyseat in torsion, from memory; budynas-nisbett-2011, table 7-1: 3.0]
 */
export const keywayConcentration = 3;

/** Root of a spline, the upper end of what is published, 1.3 to 2.8 [dudley-1957, from memory]. */
export const splineConcentration = 2.8;

/**
 * Small hole across a shaft. At its edge the shear T/W stands as tension 4 T/W in one direction; as a
 * shear of the same equivalent stress that is
 *
 *   K_ts = 4 / sqrt(3)
 *
 * Valid for a hole small against the shaft; a wide one also takes away of the section (`holedResistance`)
 * Source    a hole in a plate under shear [timoshenko-goodier-1970, art. 35]
 */
export const holeConcentration = 4 / Math.sqrt(3);

/**
 * Share of the resistance that a hole of diameter a across a shaft of diameter d leaves,
 *
 *   W / W_0 = 1 - (8/(3 pi)) (a/d)
 *
 * polar moment of the section less the strip that the hole takes, a d (d^2 + a^2)/12 with a small a.
 * @param a  < d.  Source [derived in docs/theory/strength.md]
 */
export function holedShare(d: Length, a: Length): number {
  return 1 - (8 / (3 * Math.PI)) * (a / d) * (1 + (a / d) ** 2);
}
