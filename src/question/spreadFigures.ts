/** Pictures of how the opening times of a band lie: close up against the limit, and from ceiling to ceiling. */
import type { Figure, Mark } from "../picture/index.js";
import { columnIndex, valuesOf } from "../predict/index.js";
import { bandFor, type Context } from "./context.js";
import { definitionLabel } from "./definition.js";
import { percentWords, probabilityWords, quantityWords, valueWords } from "./words.js";

/** The figures of a band's opening times; none without a band or where nothing opens. */
export function spreadFigures(context: Context): readonly Figure[] {
  const { band, definition } = context.prediction;
  if (band === undefined) return [];
  const times = valuesOf(band.rows, columnIndex(`opening:${definition}`))
    .map((seconds) => 1e3 * seconds)
    .sort();
  const trials = band.samples - band.impossible;
  if (times.length === 0 || trials < 1) return [];
  return [histogramFigure(context, times, trials), sharesFigure(context, times, trials)];
}

const mostBins = 40;

function histogramFigure(context: Context, times: Float64Array, trials: number): Figure {
  const { prediction, duty } = context;
  const label = definitionLabel(prediction.definition);
  const low = times[0] ?? 0;
  const high = times[times.length - 1] ?? low;
  const width = high - low > 1e-9 * Math.abs(high) ? high - low : Math.max(1e-3 * Math.abs(high), 1e-3);
  const bins = Math.max(1, Math.min(mostBins, Math.round(Math.sqrt(times.length))));
  const edges = Array.from({ length: bins + 1 }, (_, j) => low + (width * j) / bins);
  const counts = new Array<number>(bins).fill(0);
  for (const time of times) {
    const bin = Math.min(Math.floor((bins * (time - low)) / width), bins - 1);
    counts[bin] = (counts[bin] ?? 0) + 1;
  }
  const limit = duty.open_within?.time?.value;
  const limitMs = limit === undefined ? undefined : 1e3 * limit;
  const isNear = limitMs !== undefined && limitMs > low - 2 * width && limitMs < high + 2 * width;
  const chance = prediction.band?.notOpening;
  const interval = bandFor(context, `opening:${prediction.definition}`);
  const median = prediction.band?.figures[`opening:${prediction.definition}`]?.median.value;
  const far =
    limit === undefined || isNear
      ? ""
      : ` The limit, ${quantityWords(limit, "time", "ms")}, lies outside the picture.`;
  return {
    kind: "histogram",
    id: "opening-times",
    title: `Opening time, ${label}`,
    words: `Opening times of ${times.length} samples that open, ${label}${median === undefined ? "" : `: median ${valueWords(median, interval, "time", "ms")}`}${interval === undefined ? "" : `, ${percentWords(interval.coverage)} between ${valueWords(interval.low, interval, "time", "ms")} and ${valueWords(interval.high, interval, "time", "ms")}`}.${far}`,
    value: { label: `Opening time, ${label}`, unit: "ms" },
    height: { label: "Share of the samples that open", unit: "%" },
    edges,
    heights: counts.map((count) => (100 * count) / times.length),
    ...(isNear ? { limit: { value: limitMs, label: "limit", forbidden: "above" as const } } : {}),
    markers:
      interval === undefined
        ? []
        : [
            { value: 1e3 * interval.low, label: "low" },
            { value: 1e3 * interval.high, label: "high" },
          ],
    ...(chance === undefined
      ? {}
      : { apart: `does not open: ${probabilityWords(chance)} of ${trials} samples` }),
  };
}

const mostSteps = 200;

/** Share of all samples that are open by a time; what is missing from 100 % does not open. */
function sharesFigure(context: Context, times: Float64Array, trials: number): Figure {
  const { prediction, duty } = context;
  const { ceilings, opening } = prediction.nominal;
  const label = definitionLabel(prediction.definition);
  const stride = Math.max(1, Math.floor(times.length / mostSteps));
  const x: number[] = [0];
  const y: number[] = [0];
  for (let j = stride - 1; j < times.length; j += stride) {
    x.push(times[j] ?? Number.NaN);
    y.push((100 * (j + 1)) / trials);
  }
  const limit = duty.open_within?.time?.value;
  const last = times[times.length - 1] ?? 0;
  const end = Math.max(
    last,
    1e3 * (limit ?? 0),
    1e3 * (ceilings?.slowest ?? 0),
    1e3 * (ceilings?.fastest ?? 0),
  );
  x.push(Math.max(end, last));
  y.push((100 * times.length) / trials);
  const upright = (seconds: number | undefined, text: string): readonly Mark[] =>
    seconds === undefined
      ? []
      : [{ kind: "limit", axis: "x", value: 1e3 * seconds, label: text, role: "neutral" }];
  const say = (seconds: number | undefined, none: string) =>
    seconds === undefined ? none : quantityWords(seconds, "time", "ms");
  return {
    kind: "plot",
    id: "opening-ceilings",
    title: "Openings done by a time, between the two ceilings",
    words: `Share of the samples that are open by a time, ${label}: ${times.length} of ${trials} samples open at all. Fastest opening without any friction ${say(ceilings?.fastest, "none")}, slowest before friction stalls the drive ${say(ceilings?.slowest, opening?.outcome === "stalled" ? "none: it stalls as it is" : "none found")}${limit === undefined ? "" : `, limit ${quantityWords(limit, "time", "ms")}`}.`,
    x: { label: `Opening time, ${label}`, unit: "ms" },
    y: { label: "Share of the samples that are open", unit: "%", range: [0, 100] },
    marks: [
      { kind: "step", role: "prediction", label: "open", x, y },
      ...upright(ceilings?.fastest, "no friction"),
      ...upright(ceilings?.slowest, "slowest before stall"),
      ...(limit === undefined
        ? []
        : [{ kind: "limit", axis: "x", value: 1e3 * limit, label: "limit", forbidden: "above" } as const]),
    ],
  };
}
