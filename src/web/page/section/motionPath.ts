/** The computed motion of the ball, out of the picture of angle against time that an answer has. */
import type { Figure } from "../../../picture/index.js";

export interface MotionPath {
  readonly time_ms: ArrayLike<number>;
  readonly angle_deg: ArrayLike<number>;
}

/** The path of the opening; undefined where no motion is known. */
export function motionPath(figures: readonly Figure[]): MotionPath | undefined {
  const figure = figures.find(({ id }) => id === "opening-angle-opening");
  if (figure?.kind !== "plot") return undefined;
  const line = figure.marks.find((mark) => mark.kind === "line" && mark.role === "prediction");
  return line?.kind === "line" && line.x.length > 1 ? { time_ms: line.x, angle_deg: line.y } : undefined;
}

/** Angle at a time, straight between two instants; the ends stand before and after the motion [deg]. */
export function angleAt({ time_ms, angle_deg }: MotionPath, time: number): number {
  let [low, high] = [0, time_ms.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((time_ms[middle] ?? 0) <= time) low = middle;
    else high = middle;
  }
  const [t0 = 0, t1 = 0, a0 = 0, a1 = 0] = [time_ms[low], time_ms[high], angle_deg[low], angle_deg[high]];
  const share = t1 > t0 ? Math.min(Math.max((time - t0) / (t1 - t0), 0), 1) : 1;
  return a0 + share * (a1 - a0);
}
