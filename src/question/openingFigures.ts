/** Pictures of the opening: angle, current and voltage against time, effects, energy. */

import { piecewiseLinear } from "../numerics/index.js";
import type { LedgerEntryId } from "../physics/motion/index.js";
import type { Figure, Mark, Role } from "../picture/index.js";
import { pathLevels, type StrokeHistory } from "../predict/index.js";
import { bandFor, type Context, labelOf, nominalValue } from "./context.js";
import { definitionLabel, definitionOf } from "./definition.js";
import { inUnit } from "./inUnit.js";
import { motorFigure } from "./motorFigure.js";
import { energyWords, spentEntries } from "./openingTables.js";
import { percentWords, quantityWords, valueWords } from "./words.js";

/** The figures of question 3; none where motion is not known. */
export function openingFigures(context: Context): readonly Figure[] {
  const { opening, closing } = context.prediction.nominal;
  if (opening === undefined) return [];
  return [
    angleFigure(context, opening),
    ...(closing === undefined ? [] : [angleFigure(context, closing)]),
    currentFigure(context, opening),
    voltageFigure(context, opening),
    ...motorFigure(context, opening),
    ...effectsFigure(context),
    ...energyFigure(opening),
  ];
}

const timeAxis = { label: "Time since command", unit: "ms" };
const milliseconds = (seconds: readonly number[]) => inUnit(seconds, "time", "ms");
/** A mark further away than this many lengths of the stroke would squeeze the curve: words name it. */
const roomFor = 1.5;

function endWords(stroke: StrokeHistory): string {
  if (stroke.outcome === "arrived") {
    const end = stroke.times_s["command-to-end"];
    return end === undefined ? "arrives" : `arrives after ${quantityWords(end, "time", "ms")}`;
  }
  return stroke.stall === undefined
    ? "is late, and not followed to the end of travel"
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
      ...(sense === "opening" ? pathBand(context) : []),
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

/** Levels of travel with the column of the time at which an opening passes them. */
const bandLevels: readonly (readonly [number, string])[] = [
  [0, "opening:command-to-first-motion"],
  ...pathLevels.map((level) => [level, `opening-path:${level}`] as const),
  [0.9, "opening:command-to-90-travel"],
  [0.99, "opening:command-to-99-travel"],
  [1, "opening:command-to-end"],
];
const bandPoints = 120;

/**
 * The band of the path: at each level of travel the band of the time at which it is passed, read the
 * other way round, as the angles between which the openings of the band lie at each instant.
 */
function pathBand(context: Context): readonly Mark[] {
  const travel = context.prediction.dossier.valve.valve?.travel?.value;
  const levels = bandLevels.flatMap(([level, column]) => {
    const band = bandFor(context, column);
    return band === undefined ? [] : [{ level, ...band }];
  });
  const end = levels.at(-1)?.high;
  const coverage = levels[0]?.coverage;
  if (
    travel === undefined ||
    end === undefined ||
    coverage === undefined ||
    levels.length < bandLevels.length
  )
    return [];
  const times = Array.from({ length: bandPoints }, (_, j) => (end * j) / (bandPoints - 1));
  const angles = (edge: "low" | "high") => {
    const curve = piecewiseLinear(
      levels.map((row, k) => row[edge] + k * apart_s),
      levels.map(({ level }) => level * travel),
      "clamp",
    );
    return inUnit(
      times.map((t) => curve.value(t)),
      "angle",
      "deg",
    );
  };
  return [
    {
      kind: "band",
      role: "band",
      label: `${percentWords(coverage)} of openings`,
      x: milliseconds(times),
      low: angles("high"),
      high: angles("low"),
    },
  ];
}

/** Keeps the instants of two levels apart where nothing separates them [s]. */
const apart_s = 1e-9;

function bandSentence(context: Context): string {
  const column = `opening:${context.prediction.definition}`;
  const value = nominalValue(context, column);
  const band = bandFor(context, column);
  if (value === undefined || band === undefined) return "";
  const show = (si: number) => valueWords(si, band, "time", "ms");
  return ` The time from ${definitionLabel(context.prediction.definition)} is ${show(value)}, ${percentWords(band.coverage)} between ${show(band.low)} and ${show(band.high)}.`;
}

/** The instant that the limit is about with its band, and limit and ceilings where there is room. */
function openingEvents(context: Context, end: number): readonly Mark[] {
  const definition = definitionOf(context.prediction.definition);
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
  const margin = driver?.undervoltage_margin?.value;
  const least = trip === undefined || margin === undefined ? undefined : trip + margin;
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
        // No input does more alone than it takes part in; sampling can say so.
        first: share({ ...alone, estimate: Math.min(alone.estimate, total.estimate) }),
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
      kind: "streams",
      id: "opening-energy",
      title: "Where the energy of the opening goes",
      words: `Of ${say(entries.supplied)} given by the source: ${spent.map(({ id, label }) => `${say(entries[id])} ${label}`).join(", ")}; ${say(residual)} are not accounted for.`,
      value: { label: "Energy", unit: "J" },
      from: { label: "given by the source", value: entries.supplied, role: "available" },
      to: spent.map(({ id, label }) => ({ label, value: entries[id], role: streamRoles[id] ?? "neutral" })),
      restLabel: "not accounted for",
    },
  ];
}

/** What turns the ball is what is asked of the drive; what is still there is predicted to be; the rest is lost on the way. */
const streamRoles: Partial<Record<LedgerEntryId, Role>> = {
  copper: "worse",
  friction: "demand",
  damping: "demand",
  fluid: "demand",
  stop: "prediction",
  kinetic: "prediction",
  magnetic: "prediction",
};
