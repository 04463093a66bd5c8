/**
 * One integration step of the slipping rigid train.
 *
 * RODAS (numerics/rodas.ts) written out for the three states angle, speed, current. The matrix
 * I/(h gamma) - J has zeros where angle meets current, so it is solved in closed form; this is what
 * makes an opening twenty times as fast as a plain loop (bench/opening.ts). Kept in one function with
 * a reused buffer for that reason; test/physics/motion/slip.test.ts holds its order, and
 * test/physics/motion/independent.test.ts whole strokes against a general-purpose integrator.
 */
import { rodas } from "../../numerics/index.js";
import { type Point, type SlipEquations, START } from "./slipEquations.js";
import { ANGLE, along, CURRENT, pathWidth, SPEED, states } from "./stepPath.js";

/** Errors a step may make. */
export interface StepTolerance {
  /** [rad]. */
  readonly angle: number;
  /** At no speed [rad/s], and what a speed adds to it per rad/s. */
  readonly speed: number;
  readonly perSpeed: number;
  /** [A]. */
  readonly current: number;
  /** Angle a step may pass, whatever its error: no feature of the load may hide between its stages [rad]. */
  readonly advance: number;
}

/**
 * Where friction falls with speed the motion can run away. An L-stable method damps that too, and its
 * error estimate does not see it: no step is longer than this many time constants of the growth.
 */
const largestGrowth = 1;

export class SlipStep {
  /** @param path receives y0, y1, e2, e3 of angle, speed and current of each attempted step */
  constructor(
    private readonly equations: SlipEquations,
    private readonly tolerance: StepTolerance,
    readonly path: Float64Array = new Float64Array(pathWidth),
  ) {}

  /** Puts a point of the equations on the path of the last attempted step. */
  probe(point: Point, share: number): void {
    const { path } = this;
    this.equations.put(
      point,
      along(path, ANGLE, share),
      along(path, SPEED, share),
      along(path, CURRENT, share),
    );
  }

  /**
   * Attempts a step of size h from the start; fills `path`.
   * @returns the error relative to the tolerances: accept when <= 1.
   */
  attempt(h: number): number {
    const { path, equations, tolerance } = this;
    const { points, jacobian } = equations;
    const m = rodas;
    const angle = points[ANGLE] as number;
    const speed = points[SPEED] as number;
    const current = points[CURRENT] as number;
    equations.differentiate();
    const wa = jacobian[0] as number;
    const ww = jacobian[1] as number;
    const wi = jacobian[2] as number;
    const iw = jacobian[3] as number;
    const ii = jacobian[4] as number;
    if (ww > 0) {
      const growth = h * growthRate(ww, wi, iw, ii);
      if (growth > largestGrowth) return (growth / largestGrowth) ** 4;
    }
    const g = 1 / (h * m.gamma);
    const gi = 1 / (g - ii);
    const ga = 1 / g;
    const pivot = 1 / (g - ww - wa * ga - wi * iw * gi);
    const q = 1 / h;

    // Stage 1.
    let ra = speed;
    let rw = equations.accelerationAt(START);
    let ri = equations.currentRate(speed, current);
    const w1 = (rw + wa * ra * ga + wi * ri * gi) * pivot;
    const a1 = (ra + w1) * ga;
    const i1 = (ri + iw * w1) * gi;
    // Stage 2.
    let ya = angle + m.a21 * a1;
    let yw = speed + m.a21 * w1;
    let yi = current + m.a21 * i1;
    ra = yw + q * m.c21 * a1;
    rw = equations.acceleration(ya, yw, yi) + q * m.c21 * w1;
    ri = equations.currentRate(yw, yi) + q * m.c21 * i1;
    const w2 = (rw + wa * ra * ga + wi * ri * gi) * pivot;
    const a2 = (ra + w2) * ga;
    const i2 = (ri + iw * w2) * gi;
    // Stage 3.
    ya = angle + m.a31 * a1 + m.a32 * a2;
    yw = speed + m.a31 * w1 + m.a32 * w2;
    yi = current + m.a31 * i1 + m.a32 * i2;
    ra = yw + q * (m.c31 * a1 + m.c32 * a2);
    rw = equations.acceleration(ya, yw, yi) + q * (m.c31 * w1 + m.c32 * w2);
    ri = equations.currentRate(yw, yi) + q * (m.c31 * i1 + m.c32 * i2);
    const w3 = (rw + wa * ra * ga + wi * ri * gi) * pivot;
    const a3 = (ra + w3) * ga;
    const i3 = (ri + iw * w3) * gi;
    // Stage 4.
    ya = angle + m.a41 * a1 + m.a42 * a2 + m.a43 * a3;
    yw = speed + m.a41 * w1 + m.a42 * w2 + m.a43 * w3;
    yi = current + m.a41 * i1 + m.a42 * i2 + m.a43 * i3;
    ra = yw + q * (m.c41 * a1 + m.c42 * a2 + m.c43 * a3);
    rw = equations.acceleration(ya, yw, yi) + q * (m.c41 * w1 + m.c42 * w2 + m.c43 * w3);
    ri = equations.currentRate(yw, yi) + q * (m.c41 * i1 + m.c42 * i2 + m.c43 * i3);
    const w4 = (rw + wa * ra * ga + wi * ri * gi) * pivot;
    const a4 = (ra + w4) * ga;
    const i4 = (ri + iw * w4) * gi;
    // Stage 5.
    ya = angle + m.a51 * a1 + m.a52 * a2 + m.a53 * a3 + m.a54 * a4;
    yw = speed + m.a51 * w1 + m.a52 * w2 + m.a53 * w3 + m.a54 * w4;
    yi = current + m.a51 * i1 + m.a52 * i2 + m.a53 * i3 + m.a54 * i4;
    ra = yw + q * (m.c51 * a1 + m.c52 * a2 + m.c53 * a3 + m.c54 * a4);
    rw = equations.acceleration(ya, yw, yi) + q * (m.c51 * w1 + m.c52 * w2 + m.c53 * w3 + m.c54 * w4);
    ri = equations.currentRate(yw, yi) + q * (m.c51 * i1 + m.c52 * i2 + m.c53 * i3 + m.c54 * i4);
    const w5 = (rw + wa * ra * ga + wi * ri * gi) * pivot;
    const a5 = (ra + w5) * ga;
    const i5 = (ri + iw * w5) * gi;
    // Stage 6: its increment is the error estimate.
    ya += a5;
    yw += w5;
    yi += i5;
    ra = yw + q * (m.c61 * a1 + m.c62 * a2 + m.c63 * a3 + m.c64 * a4 + m.c65 * a5);
    rw =
      equations.acceleration(ya, yw, yi) +
      q * (m.c61 * w1 + m.c62 * w2 + m.c63 * w3 + m.c64 * w4 + m.c65 * w5);
    ri = equations.currentRate(yw, yi) + q * (m.c61 * i1 + m.c62 * i2 + m.c63 * i3 + m.c64 * i4 + m.c65 * i5);
    const w6 = (rw + wa * ra * ga + wi * ri * gi) * pivot;
    const a6 = (ra + w6) * ga;
    const i6 = (ri + iw * w6) * gi;

    path[ANGLE] = angle;
    path[SPEED] = speed;
    path[CURRENT] = current;
    path[states + ANGLE] = ya + a6;
    path[states + SPEED] = yw + w6;
    path[states + CURRENT] = yi + i6;
    path[2 * states + ANGLE] = m.h21 * a1 + m.h22 * a2 + m.h23 * a3 + m.h24 * a4 + m.h25 * a5;
    path[2 * states + SPEED] = m.h21 * w1 + m.h22 * w2 + m.h23 * w3 + m.h24 * w4 + m.h25 * w5;
    path[2 * states + CURRENT] = m.h21 * i1 + m.h22 * i2 + m.h23 * i3 + m.h24 * i4 + m.h25 * i5;
    path[3 * states + ANGLE] = m.h31 * a1 + m.h32 * a2 + m.h33 * a3 + m.h34 * a4 + m.h35 * a5;
    path[3 * states + SPEED] = m.h31 * w1 + m.h32 * w2 + m.h33 * w3 + m.h34 * w4 + m.h35 * w5;
    path[3 * states + CURRENT] = m.h31 * i1 + m.h32 * i2 + m.h33 * i3 + m.h34 * i4 + m.h35 * i5;

    const ea = a6 / tolerance.angle;
    const ew = w6 / (tolerance.speed + tolerance.perSpeed * Math.abs(yw + w6));
    const ei = i6 / tolerance.current;
    const passed = (ya + a6 - angle) / tolerance.advance;
    const tooFar = passed * passed;
    return Math.max(Math.sqrt((ea * ea + ew * ew + ei * ei) / 3), tooFar * tooFar);
  }
}

/** Greatest real part of the eigenvalues of speed and current [1/s]. */
function growthRate(ww: number, wi: number, iw: number, ii: number): number {
  const half = 0.5 * (ww + ii);
  const squared = half * half - ww * ii + wi * iw;
  return squared > 0 ? half + Math.sqrt(squared) : half;
}
