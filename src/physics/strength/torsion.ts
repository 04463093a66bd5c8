/**
 * Torsion of the sections that a stem has: greatest shear stress and twist.
 *
 *   tau_max = T / W,   theta = T L / (G K)
 *
 * with W the resistance [m3] and K the torsion constant [m4] of the section, elastic and far from its
 * ends. A notch is counted apart (concentration.ts).
 *
 * To add a shape: its function here, its row in shapes.ts, and a published value in its test.
 */
import type { AngularStiffness, Length, Stress, Torque } from "../../quantity/index.js";

/** What a section does under torque. */
export interface TorsionSection {
  /** Torque over the greatest shear stress, W [m3]. */
  readonly resistance: number;
  /** Torque over shear modulus and twist per length, K [m4]. */
  readonly constant: number;
}

/** Greatest shear stress of a section without a notch, T / W. */
export function torsionStress({ resistance }: TorsionSection, torque: Torque): Stress {
  return (torque / resistance) as Stress;
}

/** Stiffness of a length of a section, G K / L. @param shearModulus G [Pa] */
export function torsionStiffness(
  { constant }: TorsionSection,
  shearModulus: Stress,
  length: Length,
): AngularStiffness {
  return ((shearModulus * constant) / length) as AngularStiffness;
}

/** Shear modulus of an isotropic solid, G = E / (2 (1 + nu)). @param poissonRatio nu [-] */
export function shearModulus(youngsModulus: Stress, poissonRatio: number): Stress {
  return (youngsModulus / (2 * (1 + poissonRatio))) as Stress;
}

/** Round, W = pi d^3 / 16, K = pi d^4 / 32. @param d > 0.  Source [roark-2002, table 10.1, from memory] */
export function roundSection(d: Length): TorsionSection {
  return tubeSection(d, 0 as Length);
}

/** Tube, W = pi (D^4 - d^4) / (16 D), K = pi (D^4 - d^4) / 32. @param d inner, 0 <= d < D.  Source as the round */
export function tubeSection(D: Length, d: Length): TorsionSection {
  const constant = (Math.PI / 32) * (D ** 4 - d ** 4);
  return { resistance: (2 * constant) / D, constant };
}

/** Square, W = 0.208 a^3 with the greatest stress at the middle of a side, K = 0.1406 a^4. Source as the round */
export function squareSection(a: Length): TorsionSection {
  return { resistance: 0.208 * a ** 3, constant: 0.1406 * a ** 4 };
}

/** Sides ratio b/a with W/(b a^2) and K/(b a^3) [roark-2002, table 10.1, from memory]; beyond it 1/3. */
const rectangles: readonly (readonly [ratio: number, alpha: number, beta: number])[] = [
  [1, 0.208, 0.141],
  [1.5, 0.231, 0.196],
  [2, 0.246, 0.229],
  [2.5, 0.258, 0.249],
  [3, 0.267, 0.263],
  [4, 0.282, 0.281],
  [6, 0.299, 0.299],
  [10, 0.312, 0.312],
];

/**
 * Rectangle, W = alpha b a^2, K = beta b a^3, the greatest stress at the middle of the longer side.
 * @param b, a  the sides, in either order.  Source as the round; straight between its rows
 */
export function rectangleSection(b: Length, a: Length): TorsionSection {
  const [long, short] = b >= a ? [b, a] : [a, b];
  const ratio = long / short;
  const next = rectangles.findIndex(([at]) => at >= ratio);
  const upper = rectangles[next] ?? rectangles.at(-1);
  const lower = rectangles[next - 1] ?? upper;
  if (upper === undefined || lower === undefined) throw new Error("a table of rectangles without rows");
  const share = upper[0] > lower[0] ? (ratio - lower[0]) / (upper[0] - lower[0]) : 0;
  const between = (of: 1 | 2) => lower[of] + share * (upper[of] - lower[of]);
  return { resistance: between(1) * long * short ** 2, constant: between(2) * long * short ** 3 };
}

/**
 * Round of radius r with one flat h deep: with q = h/r,
 *
 *   K = 2 C r^4,  W = r^3 / B,  C and B polynomials of q
 *
 * @param d  diameter of the circle;  @param h  depth that is taken off, 0 <= h <= r
 * Valid for 0 <= q <= 1; K is within 1.5 % of a solution by finite differences for q = 0.1 to 0.4
 * Source    [roark-2002, table 10.1, from memory]
 */
export function oneFlatSection(d: Length, h: Length): TorsionSection {
  const r = 0.5 * d;
  const q = h / r;
  const C = polynomial([0.7854, -0.0333, -2.6183, 4.1595, -3.0769, 0.9299], q);
  const B = polynomial([0.6366, 1.7598, -5.4897, 14.062, -14.51, 6.434], q);
  return { resistance: r ** 3 / B, constant: 2 * C * r ** 4 };
}

/**
 * Round with two flats opposite each other, each h deep (double D); as `oneFlatSection`.
 * Valid for 0 <= q <= 0.6; K lies 0.5 to 2 % below a solution by finite differences for q = 0.1 to 0.4
 * Source    [roark-2002, table 10.1, from memory]
 */
export function twoFlatsSection(d: Length, h: Length): TorsionSection {
  const r = 0.5 * d;
  const q = h / r;
  const C = polynomial([0.7854, -0.4053, -3.581, 5.2708, -2.0772], q);
  const B = polynomial([0.6366, 2.5303, -11.157, 49.568, -85.886, 69.849], q);
  return { resistance: r ** 3 / B, constant: 2 * C * r ** 4 };
}

/**
 * Round with one keyway, against the whole round:
 *
 *   W = W_0 (1 - 0.2 w/d - 1.1 h/d),   K = K_0 / (1 + 0.4 w/d + 0.7 h/d)
 *
 * @param w  width of the keyway;  @param h  its depth in the shaft
 * Valid for keyways of usual proportions, w about d/4. The strength is of a test to yielding: the
 *           fillet at the keyway's bottom is counted apart.
 * Source    [moore-1909, from memory]
 */
export function keyedSection(d: Length, w: Length, h: Length): TorsionSection {
  const { resistance, constant } = roundSection(d);
  return {
    resistance: resistance * (1 - 0.2 * (w / d) - 1.1 * (h / d)),
    constant: constant / (1 + 0.4 * (w / d) + 0.7 * (h / d)),
  };
}

function polynomial(coefficients: readonly number[], x: number): number {
  return coefficients.reduceRight((sum, c) => sum * x + c, 0);
}
