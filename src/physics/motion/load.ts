/**
 * Friction and fluid torque against angle as a smooth curve through equally spaced values.
 * Between nodes a cubic Hermite polynomial with the slope limiter of [fritsch-butland-1984], so that
 * a curve never leaves the range of its neighbouring values: friction stays positive.
 */
import type { Angle } from "../../quantity/index.js";
import type { AngleLoad } from "./train.js";

/** Numbers kept per node: three curves, each with value and slope. */
export const nodeWidth = 6;

/**
 * A load curve from values at `count` equally spaced angles from 0 to `travel`.
 *
 * @param friction  running friction f >= 0 at each angle [N m]
 * @param excess    what breakaway adds to it, e >= 0 [N m]
 * @param fluid     torque of the fluid, positive towards closed [N m]
 * @param into      reused storage of an earlier curve of the same count
 */
export function angleLoad(
  travel: Angle,
  friction: Float64Array,
  excess: Float64Array,
  fluid: Float64Array,
  into?: AngleLoad,
): AngleLoad {
  const count = friction.length;
  const nodes = into !== undefined && into.count === count ? into.nodes : new Float64Array(count * nodeWidth);
  const step = travel / (count - 1);
  fillCurve(nodes, 0, friction, step);
  fillCurve(nodes, 2, excess, step);
  fillCurve(nodes, 4, fluid, step);
  return { step: step as Angle, count, nodes };
}

function fillCurve(nodes: Float64Array, offset: number, values: Float64Array, step: number): void {
  const last = values.length - 1;
  for (let j = 0; j <= last; j++) {
    const here = values[j] as number;
    nodes[j * nodeWidth + offset] = here;
    const left = j > 0 ? (here - (values[j - 1] as number)) / step : Number.NaN;
    const right = j < last ? ((values[j + 1] as number) - here) / step : Number.NaN;
    nodes[j * nodeWidth + offset + 1] = j === 0 ? right : j === last ? left : limitedSlope(left, right);
  }
}

/** Harmonic mean of the neighbouring slopes, 0 at an extreme [fritsch-butland-1984, eq. 4 with alpha = 1/2]. */
function limitedSlope(left: number, right: number): number {
  const product = left * right;
  return product > 0 ? (2 * product) / (left + right) : 0;
}

/** One curve's value at an angle; which: 0 friction, 2 breakaway excess, 4 fluid [N m]. */
export function loadAt(load: AngleLoad, which: 0 | 2 | 4, angle: number): number {
  const { nodes, step, count } = load;
  const x = Math.min(Math.max(angle / step, 0), count - 1);
  const j = Math.min(Math.floor(x), count - 2);
  const s = x - j;
  const a = j * nodeWidth + which;
  const b = a + nodeWidth;
  const y0 = nodes[a] as number;
  const y1 = nodes[b] as number;
  const m0 = (nodes[a + 1] as number) * step;
  const m1 = (nodes[b + 1] as number) * step;
  const rise = y1 - y0;
  return y0 + s * (m0 + s * (3 * rise - 2 * m0 - m1 + s * (m0 + m1 - 2 * rise)));
}

/** One curve's value at a node; which: 0 friction, 2 breakaway excess, 4 fluid [N m]. */
export function nodeValue(load: AngleLoad, which: 0 | 2 | 4, node: number): number {
  return load.nodes[node * nodeWidth + which] ?? Number.NaN;
}
