/** Pictures, tables and words of the cool-down. */
import type { Figure, Mark } from "../picture/index.js";
import { type CoolDownAnswer, ownBand } from "../predict/index.js";
import { type Dimension, preferredUnit } from "../quantity/index.js";
import type { Table } from "./answer.js";
import type { Context } from "./context.js";
import { inUnit } from "./inUnit.js";
import { bandWords, percentWords, valueWords } from "./words.js";

/** "12 min (95 % between 6 and 16 min)". */
export function figureWords(
  { chain: { figures } }: CoolDownAnswer,
  figure: string,
  dimension: Dimension,
  unit?: string,
): string {
  const value = figures.nominal[figure] ?? Number.NaN;
  const shown = unit ?? preferredUnit(value, dimension);
  const band = bandOf(figures.samples[figure]);
  const words = valueWords(value, band, dimension, shown);
  return band === undefined
    ? words
    : `${words} (${percentWords(band.coverage)} ${bandWords(band, dimension, shown)})`;
}

function bandOf(samples: Float64Array | undefined) {
  const band = ownBand(samples ?? new Float64Array(0));
  return band !== undefined && band.high > band.low ? band : undefined;
}

/** Times beyond this are drawn in minutes [s]. */
const longTime = 300;
/** A picture goes on past the last thing that happens in it by this share [-]. */
const beyond = 1.25;

/** Temperature of each part, and clearances and seat interference, against time. */
export function coolDownFigures(context: Context, answer: CoolDownAnswer): readonly Figure[] {
  const { history, parts, chain, saturation } = answer;
  if (history === undefined || (chain.missing.ready ?? []).length > 0) return [];
  const { nominal } = chain.figures;
  const happens = [nominal.turn, ...parts.map((_, j) => nominal[`cold:${j}`])].filter(
    (time): time is number => time !== undefined && Number.isFinite(time),
  );
  const end = happens.length === 0 ? Number.POSITIVE_INFINITY : beyond * Math.max(...happens);
  const count = history.time_s.filter((time) => time <= end).length + 1;
  const seconds = history.time_s.slice(0, count);
  const unit = (seconds.at(-1) ?? 0) > longTime ? "min" : "s";
  const x = inUnit(seconds, "time", unit);
  const turn = nominal.turn ?? Number.NaN;
  const turnBand = bandOf(chain.figures.samples.turn);
  const inTime = (time: number) => inUnit([time], "time", unit)[0] ?? Number.NaN;
  const event: readonly Mark[] = Number.isNaN(turn)
    ? []
    : [
        {
          kind: "event",
          role: "neutral",
          x: inTime(turn),
          label: "measure met",
          ...(turnBand === undefined ? {} : { low: inTime(turnBand.low), high: inTime(turnBand.high) }),
        },
      ];
  const near = context.prediction.dossier.valve.valve?.cold?.cool_down?.near?.value;
  const said = Number.isNaN(turn)
    ? "the declared measure for the first turn is not met"
    : `the declared measure for the first turn is met after ${figureWords(answer, "turn", "time")}`;
  const columns = history.temperature_K.map((column) => column.slice(0, count));
  const drawn = columns.flat();
  return [
    {
      kind: "plot",
      id: "cool-down",
      title: "Temperatures while the valve cools",
      words: `Temperature of each part against time since the coolant is let in, which boils at ${valueWords(saturation, undefined, "temperature", "K")}: ${said}. Parts: ${parts.map(({ name }, j) => coldWords(answer, name, j)).join("; ")}.`,
      x: { label: "Time since the coolant is let in", unit },
      y: {
        label: "Temperature",
        unit: "K",
        range: [tens(Math.floor, Math.min(saturation, ...drawn)), tens(Math.ceil, Math.max(...drawn))],
      },
      marks: [
        ...parts.map(
          ({ name, kind }, j): Mark => ({
            kind: "line",
            role: kind === "ball" || kind === "seat" || kind === "body" ? "prediction" : "neutral",
            label: name,
            x,
            y: columns[j] ?? [],
          }),
        ),
        {
          kind: "limit",
          axis: "y",
          value: saturation + (near ?? 0),
          label: near === undefined ? "coolant boils" : "cold",
          role: "better",
        },
        ...event,
      ],
    },
    ...gapFigure(context, answer, { x, unit, count, event }),
  ];
}

/** The ten at or beyond a temperature, with a little room. */
function tens(round: (x: number) => number, T: number): number {
  return 10 * (round(T / 10) + (round === Math.ceil ? 1 : -1));
}

interface Drawn {
  readonly x: readonly number[];
  readonly unit: string;
  readonly count: number;
  readonly event: readonly Mark[];
}

function gapFigure(
  context: Context,
  { history, chain }: CoolDownAnswer,
  { x, unit, count, event }: Drawn,
): readonly Figure[] {
  if (history === undefined) return [];
  const { fits, largest_interference: largest } = context.prediction.dossier.valve.valve?.cold ?? {};
  const line = (label: string, values: readonly number[], role: "prediction" | "neutral"): Mark => ({
    kind: "line",
    role,
    label,
    x,
    y: inUnit(values.slice(0, count), "length", "mm"),
  });
  const known = history.clearances.filter(({ place }) => (chain.missing[`fit:${place}`] ?? []).length === 0);
  const nameOf = (place: number) => fits?.[place]?.name ?? `fit ${place + 1}`;
  const lines = [
    ...(history.interference === undefined
      ? []
      : [line("seat interference", history.interference, "prediction")]),
    ...known.map(({ place, value }) => line(`clearance, ${nameOf(place)}`, value, "neutral")),
  ];
  if (lines.length === 0) return [];
  const seats = history.interference ?? [];
  const extremes = [
    ...(seats.length === 0
      ? []
      : [
          extreme(chain, "loosest", x, seats.slice(0, count), Math.min),
          extreme(chain, "tightest", x, seats.slice(0, count), Math.max),
        ]),
    ...known.map(({ place, value }) => extreme(chain, `fit:${place}`, x, value.slice(0, count), Math.min)),
  ].flat();
  const mm = (value: number, figure: string) => {
    const band = bandOf(chain.figures.samples[figure]);
    const words = valueWords(value, band, "length", "mm");
    return band === undefined
      ? words
      : `${words} (${percentWords(band.coverage)} ${bandWords(band, "length", "mm")})`;
  };
  const told = [
    ...(seats.length === 0
      ? []
      : [
          `seat interference between ${mm(Math.min(...seats), "loosest")} and ${mm(Math.max(...seats), "tightest")}`,
        ]),
    ...known.map(
      ({ place, value }) =>
        `clearance of ${nameOf(place)} at least ${mm(Math.min(...value), `fit:${place}`)}`,
    ),
  ];
  return [
    {
      kind: "plot",
      id: "cool-down-gaps",
      title: "Seats and fits while the valve cools",
      words: `Seat interference and clearances against time since the coolant is let in: ${told.join("; ")}.`,
      x: { label: "Time since the coolant is let in", unit },
      y: { label: "Interference, clearance", unit: "mm" },
      marks: [
        ...lines,
        ...extremes,
        { kind: "limit", axis: "y", value: 0, label: "none left", forbidden: "below" },
        ...(largest === undefined || history.interference === undefined
          ? []
          : [
              {
                kind: "limit",
                axis: "y",
                value: inUnit([largest.value], "length", "mm")[0] ?? Number.NaN,
                label: "largest interference",
                forbidden: "above",
              } as const,
            ]),
        ...event,
      ],
    },
  ];
}

/** The band of an extreme, drawn where the nominal line has it. */
function extreme(
  { figures }: CoolDownAnswer["chain"],
  figure: string,
  x: readonly number[],
  values: readonly number[],
  of: (...values: readonly number[]) => number,
): readonly Mark[] {
  const value = of(...values);
  const band = bandOf(figures.samples[figure]);
  const at = x[values.indexOf(value)];
  if (band === undefined || at === undefined) return [];
  const [y = Number.NaN, low = Number.NaN, high = Number.NaN] = inUnit(
    [value, band.low, band.high],
    "length",
    "mm",
  );
  const role = figure.startsWith("fit") ? "neutral" : "prediction";
  return [{ kind: "points", role, x: [at], y: [y], low: [low], high: [high] }];
}

function coldWords(answer: CoolDownAnswer, name: string, j: number): string {
  const time = answer.chain.figures.nominal[`cold:${j}`] ?? Number.NaN;
  return Number.isNaN(time)
    ? `${name}: comes to rest at ${restWords(answer, j)}`
    : `${name}: cold after ${figureWords(answer, `cold:${j}`, "time")}`;
}

/** Temperature at which a part comes to rest. */
function restWords({ parts }: CoolDownAnswer, j: number): string {
  return valueWords(parts[j]?.rest ?? Number.NaN, undefined, "temperature", "K");
}

/** Pairs of parts that a table lists. */
const mostPairs = 6;

/** The parts one by one, the propellant, and the largest differences on the way. */
export function coolDownTables(context: Context, answer: CoolDownAnswer): readonly Table[] {
  const { history, parts, chain, peaks, saturation } = answer;
  if (history === undefined) return [];
  const { caseId } = context.prediction;
  const knows = (figure: string) => (chain.missing[figure] ?? []).length === 0;
  const cells = (figure: string, dimension: Dimension, never: string, unit?: string) => {
    const value = chain.figures.nominal[figure] ?? Number.NaN;
    if (Number.isNaN(value)) return [never, ""];
    const shown = unit ?? preferredUnit(value, dimension);
    const band = bandOf(chain.figures.samples[figure]);
    return [
      valueWords(value, band, dimension, shown),
      band === undefined ? "" : `${percentWords(band.coverage)} ${bandWords(band, dimension, shown)}`,
    ];
  };
  const row = (what: string, figure: string, dimension: Dimension, unit?: string) =>
    knows(figure) ? [[what, ...cells(figure, dimension, "does not come", unit)]] : [];
  const fits = context.prediction.dossier.valve.valve?.cold?.fits ?? [];
  const whole = [
    ...row("until the declared measure for the first turn is met", "turn", "time"),
    ...row("propellant let in until then", "spent", "mass"),
    ...row("least that could do it, the vapour leaving as warm as the valve was", "least", "mass"),
    ...row("by latent heat alone", "latent", "mass"),
    ...row("largest difference among ball, seats and body", "difference", "temperature difference", "K"),
    ...row("when that is", "differenceTime", "time"),
    ...row("seats, most interference on the way", "tightest", "length", "mm"),
    ...row("seats, least interference on the way", "loosest", "length", "mm"),
    ...history.clearances.flatMap(({ place }) =>
      row(
        `${fits[place]?.name ?? `fit ${place + 1}`}, least clearance on the way`,
        `fit:${place}`,
        "length",
        "mm",
      ),
    ),
  ];
  return [
    {
      title: `Cool-down, part by part, ${caseId}, coolant boiling at ${valueWords(saturation, undefined, "temperature", "K")}`,
      columns: ["part", "cold after", "band", "comes to rest at", "heat given up"],
      rows: parts.map(({ name, heat, isWetted }, j) => [
        isWetted ? name : `${name}, not in the coolant`,
        ...(knows(`cold:${j}`) ? cells(`cold:${j}`, "time", "does not become cold") : ["not known", ""]),
        restWords(answer, j),
        valueWords(heat, undefined, "energy", "kJ"),
      ]),
    },
    { title: `Cool-down as a whole, ${caseId}`, columns: ["what", "value", "band"], rows: whole },
    {
      title: `Largest differences between parts while it cools, ${caseId}`,
      columns: ["warmer", "colder", "difference", "after"],
      rows: peaks
        .slice(0, mostPairs)
        .map(({ warmer, colder, difference, time }) => [
          warmer,
          colder,
          valueWords(difference, undefined, "temperature difference", "K"),
          valueWords(time, undefined, "time"),
        ]),
    },
  ];
}
