/** Pictures of trapped liquid: pressure against time, with rating and relief. */
import type { Figure } from "../picture/index.js";
import type { TrappedAnswer, TrappedVolume } from "../predict/index.js";
import { inUnit } from "./inUnit.js";
import { spreadOf } from "./judgeOwn.js";
import { timeWords } from "./trappedTables.js";
import { quantityWords } from "./words.js";

/** One picture for each volume whose clock is known. */
export function trappedFigures({ cavity, segments }: TrappedAnswer): readonly Figure[] {
  const volumes = [cavity, ...segments];
  return volumes.flatMap((volume, j) => (volume === undefined ? [] : clockFigure(volume, j)));
}

/** Times beyond this are drawn in minutes [s]. */
const longTime = 300;

function clockFigure(volume: TrappedVolume, j: number): readonly Figure[] {
  const { history, name, rating, figures } = volume;
  const end = history?.time_s.at(-1);
  if (history === undefined || rating === undefined || end === undefined || !(end > 0)) return [];
  const unit = end > longTime ? "min" : "s";
  const time = figures.nominal.time ?? Number.NaN;
  const reached = Number.isFinite(time)
    ? `it passes the rating of ${quantityWords(rating, "pressure")} after ${timeWords(volume)}`
    : `it does not reach the rating of ${quantityWords(rating, "pressure")}`;
  const bar = (pressure: number) => inUnit([pressure], "pressure", "bar(a)")[0] ?? Number.NaN;
  const seats = figures.nominal.seats ?? Number.NaN;
  const inTime = (seconds: number) => inUnit([seconds], "time", unit)[0] ?? Number.NaN;
  const band = spreadOf(figures, "time");
  return [
    {
      kind: "plot",
      id: j === 0 ? "trapped-clock" : `trapped-clock-${j}`,
      title: `Pressure of the closed volume, ${name}`,
      words: `Pressure against time since closing, without relief: ${reached}.`,
      x: { label: "Time since closing", unit },
      y: { label: "Pressure", unit: "bar(a)" },
      marks: [
        {
          kind: "line",
          role: "prediction",
          label: "without relief",
          x: inUnit(history.time_s, "time", unit),
          y: inUnit(history.pressure_Pa, "pressure", "bar(a)"),
        },
        { kind: "limit", axis: "y", value: bar(rating), label: "rating", forbidden: "above" },
        ...(Number.isFinite(time) && band !== undefined
          ? [
              {
                kind: "event",
                role: "neutral",
                x: inTime(time),
                label: "rating passed",
                low: inTime(band.low),
                // A sample that warming does not bring there goes beyond every time.
                ...(Number.isFinite(band.high) ? { high: inTime(band.high) } : {}),
              } as const,
            ]
          : []),
        ...(Number.isNaN(seats) || seats > (history.pressure_Pa.at(-1) ?? 0)
          ? []
          : [
              {
                kind: "limit",
                axis: "y",
                value: bar(seats),
                label: "seats relieve, as declared",
                role: "neutral",
              } as const,
            ]),
      ],
    },
  ];
}
