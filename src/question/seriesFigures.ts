/** Pictures, list and checks of an acceptance series. */
import type { Series, SeriesReport } from "../evidence/index.js";
import type { Figure } from "../picture/index.js";
import { formatQuantity } from "../quantity/index.js";
import type { Table } from "./answer.js";
import { type Check, type CheckDefinition, marginTo } from "./check.js";
import { definitionLabel } from "./definition.js";

const ms = (seconds: number): number => 1e3 * seconds;

/** Time against cycle, one picture for each case and sense. */
export function seriesFigures({ series }: Pick<SeriesReport, "series">): readonly Figure[] {
  return series.map((one): Figure => {
    const { caseId, sense, definition, strokes, line, slowest_s, trend } = one;
    const x = strokes.map(({ number }) => number);
    const drift =
      trend === undefined
        ? "too few strokes for a trend"
        : `Mann-Kendall S ${trend.S}, p ${trend.p.toPrecision(2)}`;
    return {
      kind: "plot",
      id: `series-${caseId.replace(/[^A-Za-z0-9]+/g, "-")}-${sense}`,
      title: `${caseId}, ${sense}: time of each stroke`,
      words: `${strokes.length} strokes, ${definitionLabel(definition)}, ${ms(one.fastest_s).toFixed(1)} to ${ms(slowest_s).toFixed(1)} ms; ${drift}.`,
      x: { label: "Stroke", unit: "" },
      y: { label: `Time, ${definitionLabel(definition)}`, unit: "ms" },
      marks: [
        ...(line === undefined
          ? []
          : [
              {
                kind: "line" as const,
                role: "prediction" as const,
                label: "straight line",
                x: [x[0] ?? 1, x.at(-1) ?? 1],
                y: [
                  ms(line.intercept_s + line.slope_s),
                  ms(line.intercept_s + line.slope_s * strokes.length),
                ],
              },
            ]),
        {
          kind: "points",
          role: "measurement",
          label: "measured, k = 2",
          x,
          y: strokes.map(({ value_s }) => ms(value_s)),
          low: strokes.map(({ value_s, standardUncertainty_s: u }) => ms(value_s - 2 * u)),
          high: strokes.map(({ value_s, standardUncertainty_s: u }) => ms(value_s + 2 * u)),
        },
      ],
    };
  });
}

const timeWords = (seconds: number): string => formatQuantity(seconds, "time", { unit: "ms" });

/** The series as a list, a row for each case and sense. */
export function seriesTable({ series }: Pick<SeriesReport, "series">): Table {
  return {
    title: "Repeated strokes, by case and sense",
    columns: [
      "case",
      "strokes",
      "mean",
      "deviation",
      "range",
      "slope per stroke",
      "drift",
      "slowest bounds, with 95 % confidence",
    ],
    rows: series.map((one) => [
      `${one.caseId}, ${one.sense}, from ${definitionLabel(one.definition)}`,
      `${one.strokes.length}`,
      timeWords(one.mean_s),
      one.deviation_s === undefined ? "not known" : timeWords(one.deviation_s),
      `${timeWords(one.fastest_s)} to ${timeWords(one.slowest_s)}`,
      one.line === undefined
        ? "not known"
        : `${formatQuantity(one.line.slope_s, "time", { unit: "ms", digits: 2 })} (t: p ${one.line.p.toPrecision(2)})`,
      one.trend === undefined
        ? "not known"
        : `S ${one.trend.S}, p ${one.trend.p.toPrecision(2)} (${one.trend.how}): ${one.drifts === true ? "drifts" : "none seen"}`,
      `${(100 * one.tolerance.coverageAt95).toFixed(0)} % of further strokes`,
    ]),
  };
}

const driftDefinition: CheckDefinition = {
  id: "series-drift",
  designChecks: [],
  failureModes: [],
  name: "Drift over a series",
  dimension: "ratio",
  equation: "two-sided p of the test of Mann and Kendall >= 0.05",
  source: "mann-1945; kendall-1975",
  assumptions: [
    "The strokes were made at the same conditions, and their times are independent but for a drift.",
    "No drift seen is not a proof of none: a short series shows large drifts alone.",
  ],
};

const toleranceDefinition: CheckDefinition = {
  id: "series-tolerance",
  designChecks: [],
  failureModes: [],
  name: "Strokes for a tolerance limit",
  dimension: "number",
  equation: "n with 1 - 0.95^n >= 0.95: the slowest stroke bounds 95 % of further ones with 95 % confidence",
  source: "wilks-1941",
  assumptions: ["Without drift; the limit is the slowest stroke seen, whatever the law."],
};

const lifeDefinition: CheckDefinition = {
  id: "cycle-life",
  designChecks: [],
  failureModes: [],
  name: "Cycles against the declared life of the seats",
  dimension: "number",
  equation: "cycles in the logs <= valve.seat.cycle_life",
  source: "common practice, no source",
  assumptions: ["Cycles that no log shows are not counted."],
};

/** Checks of the series; the life is known where the valve file declares it. */
export function seriesChecks(
  { series, cycles }: SeriesReport,
  life: number | undefined,
  wanted: number,
): readonly Check[] {
  return [...series.flatMap((one) => [driftCheck(one, wanted), toleranceCheck(one, wanted)]), lifeCheck()];

  function lifeCheck(): Check {
    const frame = { ...lifeDefinition, unit: "cycles", standing: "judged" } as const;
    if (life === undefined)
      return { ...frame, kind: "unknown", verdict: "not known", needs: ["valve.seat.cycle_life"] };
    const limit = { most: life, words: "valve.seat.cycle_life" };
    return {
      ...frame,
      kind: "known",
      verdict: cycles <= life ? "holds" : "fails",
      value: cycles,
      band: undefined,
      limit,
      margin: marginTo(cycles, limit),
      probability: undefined,
      wanted,
    };
  }
}

/** The check of a drift where there is no series. */
export function unknownDrift(): Check {
  return {
    ...driftDefinition,
    unit: "",
    standing: "judged",
    kind: "unknown",
    verdict: "not known",
    needs: ["a series of strokes of one case and sense, imported and reduced (coldturn reduce)"],
  };
}

const leastP = 0.05;

function driftCheck({ caseId, sense, trend }: Series, wanted: number): Check {
  const frame = {
    ...driftDefinition,
    name: `${driftDefinition.name}: ${caseId}, ${sense}`,
    unit: "",
    standing: "judged",
  } as const;
  if (trend === undefined)
    return { ...frame, kind: "unknown", verdict: "not known", needs: ["four strokes at least"] };
  const limit = { least: leastP, words: "chance of such a trend without drift" };
  return {
    ...frame,
    kind: "known",
    verdict: trend.p >= leastP ? "holds" : "fails",
    value: trend.p,
    band: undefined,
    limit,
    margin: marginTo(trend.p, limit),
    probability: undefined,
    wanted,
  };
}

function toleranceCheck({ caseId, sense, strokes, tolerance }: Series, wanted: number): Check {
  const limit = {
    least: tolerance.neededAt95,
    words: "strokes for 95 % of further ones with 95 % confidence",
  };
  return {
    ...toleranceDefinition,
    name: `${toleranceDefinition.name}: ${caseId}, ${sense}`,
    unit: "strokes",
    standing: "information",
    kind: "known",
    verdict: strokes.length >= tolerance.neededAt95 ? "holds" : "fails",
    value: strokes.length,
    band: undefined,
    limit,
    margin: strokes.length - tolerance.neededAt95,
    probability: undefined,
    wanted,
  };
}
