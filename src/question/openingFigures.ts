/** Pictures of the opening: angle, current and voltage against time, spread of the time, effects, energy. */
import { timeDefinitions } from "../physics/motion/index.js";
import type { Figure, Mark } from "../picture/index.js";
import { columnIndex, type StrokeHistory, valuesOf } from "../predict/index.js";
import { bandFor, type Context, labelOf, nominalValue } from "./context.js";
import { inUnit } from "./flowFigures.js";
import { energyWords, spentEntries } from "./openingTables.js";
import { chanceWords, percentWords, quantityWords, valueWords } from "./words.js";

/** The figures of question 3; none where motion is not known. */
export function openingFigures(context: Context): readonly Figure[] {
  const { opening, closing } = context.prediction.nominal;
  if (opening === undefined) return [];
  return [
    angleFigure(context, opening),
    ...(closing === undefined ? [] : [angleFigure(context, closing)]),
    currentFigure(context, opening),
    voltageFigure(context, opening),
    ...timeFigures(context),
    ...effectsFigure(context),
    ...energyFigure(opening),
  ];
}

const timeAxis = { label: "Time since command", unit: "ms" };
const milliseconds = (seconds: readonly number[]) => inUnit(seconds, "time", "ms");
/** A mark further away than this many lengths of the stroke would squeeze the curve: words name it. */
const roomFor = 1.5;

function definitionOf(context: Context) {
  return timeDefinitions.find(({ id }) => id === context.prediction.definition);
}

function endWords(stroke: StrokeHistory): string {
  if (stroke.outcome === "arrived") {
    const end = stroke.times_s["command-to-end"];
    return end === undefined ? "arrives" : `arrives after ${quantityWords(end, "time", "ms")}`;
  }
  return stroke.stall === undefined
    ? "does not arrive while it is followed"
    : `stalls at ${quantityWords(stroke.stall.angle_rad, "angle", "deg")}`;
}

function angleFigure(context: Context, stroke: StrokeHistory): Figure {
  const { sense } = stroke;
  const x = milliseconds(stroke.time_s);
  return {
    kind: "plot",
    id: `opening-angle-${sense}`,
    title: `Angle against time, ${sense}`,
    words: `Opening angle against time since command, ${sense}: ${endWords(stroke)}.${sense === "opening" ? bandSentence(context) : ""}`,
    x: timeAxis,
    y: { label: "Opening from closed", unit: "deg" },
    marks: [
      ...(sense === "opening" ? openingEvents(context, x.at(-1) ?? 0) : []),
      {
        kind: "line",
        role: "prediction",
        label: "predicted",
        x,
        y: inUnit(stroke.angle_rad, "angle", "deg"),
      },
      ...measuredAngles(context, stroke),
    ],
  };
}

function bandSentence(context: Context): string {
  const column = `opening:${context.prediction.definition}`;
  const value = nominalValue(context, column);
  const band = bandFor(context, column);
  if (value === undefined || band === undefined) return "";
  const show = (si: number) => valueWords(si, band, "time", "ms");
  return ` The time from ${definitionOf(context)?.label ?? ""} is ${show(value)}, ${percentWords(band.coverage)} between ${show(band.low)} and ${show(band.high)}.`;
}

/** The instant that the limit is about with its band, and limit and ceilings where there is room. */
function openingEvents(context: Context, end: number): readonly Mark[] {
  const definition = definitionOf(context);
  if (definition?.from !== "command") return [];
  const column = `opening:${definition.id}`;
  const value = nominalValue(context, column);
  const band = bandFor(context, column);
  const inMs = (seconds: number) => 1e3 * seconds;
  const event: readonly Mark[] =
    value === undefined
      ? []
      : [
          {
            kind: "event",
            role: "prediction",
            x: inMs(value),
            label: definition.to,
            ...(band === undefined ? {} : { low: inMs(band.low), high: inMs(band.high) }),
          },
        ];
  const limit = context.duty.open_within?.time?.value;
  const isNear = limit !== undefined && inMs(limit) <= roomFor * end;
  return [
    ...event,
    ...(isNear
      ? [{ kind: "limit", axis: "x", value: inMs(limit), label: "limit", forbidden: "above" } as const]
      : []),
  ];
}

/** Measured strokes of this case and sense. */
function measuredAngles({ prediction, evidence }: Context, stroke: StrokeHistory): readonly Mark[] {
  const travel = prediction.dossier.valve.valve?.travel?.value ?? Number.NaN;
  return evidence.reconciliations
    .filter(({ caseId, sense }) => caseId === prediction.caseId && sense === stroke.sense)
    .flatMap(({ runId, overlays }): readonly Mark[] => {
      const angle = overlays.find(({ channel }) => channel === "angle");
      if (angle === undefined) return [];
      // Overlays count travel from the start of the stroke.
      const opened = angle.measured.map((a) => (stroke.sense === "opening" ? a : travel - a));
      return [
        {
          kind: "line",
          role: "measurement",
          label: `measured, ${runId}`,
          x: milliseconds(angle.time_s),
          y: inUnit(opened, "angle", "deg"),
        },
      ];
    });
}

function currentFigure(context: Context, stroke: StrokeHistory): Figure {
  const limit = context.prediction.dossier.valve.drive?.driver?.current_limit?.value;
  return {
    kind: "plot",
    id: "opening-current",
    title: "Motor current while opening",
    words: `Motor current against time since command, opening: at most ${quantityWords(stroke.peakCurrent_A, "current", "A")}${limit === undefined ? "" : `, limited at ${quantityWords(limit, "current", "A")}`}.`,
    x: timeAxis,
    y: { label: "Motor current", unit: "A" },
    marks: [
      {
        kind: "line",
        role: "prediction",
        label: "current",
        x: milliseconds(stroke.time_s),
        y: stroke.current_A,
      },
      ...(limit === undefined
        ? []
        : [{ kind: "limit", axis: "y", value: limit, label: "driver's limit", role: "neutral" } as const]),
    ],
  };
}

function voltageFigure(context: Context, stroke: StrokeHistory): Figure {
  const driver = context.prediction.dossier.valve.drive?.driver;
  const trip = driver?.undervoltage?.value;
  const least = trip === undefined ? undefined : trip + (driver?.undervoltage_margin?.value ?? 0);
  return {
    kind: "plot",
    id: "opening-voltage",
    title: "Supply voltage while opening",
    words: `Voltage at the driver against time since command, opening: at least ${quantityWords(stroke.lowestSupplyVoltage_V, "voltage", "V")}${least === undefined ? "" : `, wanted at least ${quantityWords(least, "voltage", "V")}`}.`,
    x: timeAxis,
    y: { label: "Voltage at the driver", unit: "V" },
    marks: [
      {
        kind: "line",
        role: "prediction",
        label: "voltage",
        x: milliseconds(stroke.time_s),
        y: stroke.supplyVoltage_V,
      },
      ...(least === undefined
        ? []
        : [
            {
              kind: "limit",
              axis: "y",
              value: least,
              label: "undervoltage and margin",
              forbidden: "below",
            } as const,
          ]),
    ],
  };
}

/** How the opening times of the band lie: close up, and from ceiling to ceiling. */
function timeFigures(context: Context): readonly Figure[] {
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
  const label = definitionOf(context)?.label ?? prediction.definition;
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
    ...(chance === undefined ? {} : { apart: `does not open: ${chanceWords(chance)} of ${trials} samples` }),
  };
}

const mostSteps = 200;

/** Share of all samples that are open by a time; what is missing from 100 % does not open. */
function sharesFigure(context: Context, times: Float64Array, trials: number): Figure {
  const { prediction, duty } = context;
  const { ceilings, opening } = prediction.nominal;
  const label = definitionOf(context)?.label ?? prediction.definition;
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
    words: `Share of the samples that are open by a time, ${label}: ${times.length} of ${trials} samples open at all. Fastest opening without any friction ${say(ceilings?.fastest, "none")}, slowest before friction stalls the drive ${say(ceilings?.slowest, opening?.outcome === "arrived" ? "none found" : "none: it stalls as it is")}${limit === undefined ? "" : `, limit ${quantityWords(limit, "time", "ms")}`}.`,
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

const mostEffects = 10;

function effectsFigure(context: Context): readonly Figure[] {
  const { effects } = context.prediction;
  const shown = effects.slice(0, mostEffects);
  const first = shown[0];
  if (first === undefined) return [];
  const share = ({ estimate, low, high }: { estimate: number; low: number; high: number }) => ({
    value: 100 * estimate,
    low: 100 * low,
    high: 100 * high,
  });
  return [
    {
      kind: "tornado",
      id: "opening-effects",
      title: "What moves the opening time",
      words: `Share of the variance of the opening rate that each declared input takes part in; the largest is ${labelOf(context, first.path)} with ${percentWords(first.total.estimate, first.total)}.`,
      value: { label: "Share of the variance of the opening rate", unit: "%" },
      effects: shown.map(({ path, first: alone, total }) => ({
        label: labelOf(context, path),
        first: share(alone),
        total: share(total),
      })),
    },
  ];
}

function energyFigure(stroke: StrokeHistory): readonly Figure[] {
  const { entries, residual } = stroke.ledger;
  const spent = spentEntries(stroke.ledger);
  const say = (joule: number) => energyWords(stroke.ledger, joule);
  return [
    {
      kind: "waterfall",
      id: "opening-energy",
      title: "Where the energy of the opening goes",
      words: `Of ${say(entries.supplied)} given by the source: ${spent.map(({ id, label }) => `${say(entries[id])} ${label}`).join(", ")}; ${say(residual)} are not accounted for.`,
      value: { label: "Energy", unit: "J" },
      start: { label: "given by the source", value: entries.supplied, role: "available" },
      contributions: spent.map(({ id, label }) => ({ label, value: -entries[id] })),
      end: { label: "left", value: 0, role: "neutral" },
      increase: "neutral",
      unexplainedLabel: "not accounted for",
    },
  ];
}
