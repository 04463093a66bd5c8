/** A record with several strokes, cut into pieces that hold one each. */
import { movingMedian, quantileOfSorted } from "../../numerics/index.js";

/** One stroke's part of a record, by its clock. */
export interface StrokeWindow {
  readonly from_s: number;
  readonly to_s: number;
  readonly sense: "opening" | "closing";
}

/** Shares of the range of the angle between which a stroke passes; what turns back between them is none. */
const low = 0.3;
const high = 0.7;
/** Readings that make the range: the outermost ones may be spikes. */
const outer = 0.005;
/** A range of fewer degrees is no travel of a valve [rad]. */
const leastRange = (5 * Math.PI) / 180;
const despike = 2;

/**
 * The strokes of a record: passages of the angle between 30 and 70 % of its range, either way. The
 * record is cut midway between the end of one passage and the begin of the next, where the ball rests.
 *
 * @param time_s  ascending [s];  @param angle_rad  NaN for a gap
 * @returns       windows in order; one window over the whole record where there is one stroke or none
 * Valid for      strokes over most of the same travel, each with a rest longer than command and dead time ahead of it
 */
export function strokeWindows(
  time_s: ArrayLike<number>,
  angle_rad: ArrayLike<number>,
): readonly StrokeWindow[] {
  const known: number[] = [];
  for (let i = 0; i < time_s.length; i++) if (Number.isFinite(angle_rad[i])) known.push(i);
  const first = time_s[0] ?? 0;
  const last = time_s[time_s.length - 1] ?? 0;
  const whole = (sense: StrokeWindow["sense"]): readonly StrokeWindow[] => [
    { from_s: first, to_s: last, sense },
  ];
  if (known.length < 2 * despike + 1) return whole("opening");
  const angle = movingMedian(
    known.map((i) => angle_rad[i] ?? 0),
    despike,
  ).values;
  const sorted = Float64Array.from(angle).sort();
  const bottom = quantileOfSorted(sorted, outer);
  const range = quantileOfSorted(sorted, 1 - outer) - bottom;
  if (range < leastRange) return whole("opening");
  const passages = passagesOf(angle, bottom + low * range, bottom + high * range);
  if (passages.length < 2) return whole(passages[0]?.sense ?? "opening");
  const at = (k: number) => time_s[known[k] ?? 0] ?? 0;
  return passages.map(({ sense }, k) => {
    const before = passages[k - 1];
    const here = passages[k];
    const after = passages[k + 1];
    const between = (a: number, b: number) => (at(a) + at(b)) / 2;
    return {
      sense,
      from_s: before === undefined || here === undefined ? first : between(before.end, here.start),
      to_s: after === undefined || here === undefined ? last : between(here.end, after.start),
    };
  });
}

interface Passage {
  readonly sense: StrokeWindow["sense"];
  readonly start: number;
  readonly end: number;
}

function passagesOf(angle: Float64Array, bottom: number, top: number): readonly Passage[] {
  const passages: Passage[] = [];
  let side: "shut" | "open" | undefined;
  let left = 0;
  for (let i = 0; i < angle.length; i++) {
    const a = angle[i] ?? 0;
    const here = a <= bottom ? "shut" : a >= top ? "open" : undefined;
    if (here === undefined) continue;
    if (side !== undefined && here !== side)
      passages.push({ sense: here === "open" ? "opening" : "closing", start: left, end: i });
    side = here;
    left = i;
  }
  return passages;
}
