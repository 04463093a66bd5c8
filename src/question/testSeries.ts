/**
 * What question 11 says of all runs together: repeated strokes with their checks, the history of the
 * valve, and which test would tell most, as `coldturn next` last ranked them.
 */
import type { Series } from "../evidence/index.js";
import type { Figure } from "../picture/index.js";
import type { Table } from "./answer.js";
import type { Check } from "./check.js";
import type { Context, NextRanking } from "./context.js";
import { historyFigure, historyTable } from "./historyFigure.js";
import { bestCostWords, nextFigure, nextTable } from "./nextFigures.js";
import { seriesChecks, seriesFigures, seriesTable, unknownDrift } from "./seriesFigures.js";
import { valueWords } from "./words.js";

/** One stroke of a case is no series. */
const fewest = 2;

function repeated({ evidence }: Context): readonly Series[] {
  return (evidence.series?.series ?? []).filter(({ strokes }) => strokes.length >= fewest);
}

/** Drift, tolerance limit and life. A run whose log was not reduced may hold strokes that nobody counted. */
export function repeatedChecks(context: Context): readonly Check[] {
  const { evidence, prediction, wanted } = context;
  const { notReduced = [] } = evidence;
  const life = prediction.dossier.valve.valve?.seat?.cycle_life?.value;
  const series = repeated(context);
  const reduced = reductionWanted(notReduced);
  const known = seriesChecks({ series, cycles: evidence.series?.cycles ?? 0 }, life, wanted).map((check) =>
    check.id === "cycle-life" ? lifeOf(context, check, reduced) : withoutRuns(check, notReduced),
  );
  return series.length === 0 ? [unknownDrift(), ...known] : known;
}

/** One line for all of them: the same command reduces every run. */
function reductionWanted(ids: readonly string[]): readonly string[] {
  if (ids.length === 0) return [];
  return [`${ids.length > 1 ? "runs" : "run"} ${ids.join(", ")} reduced (coldturn reduce)`];
}

/** No log, or a log that was not read, shows no cycles: a count that is too small holds nothing. */
function lifeOf({ evidence }: Context, check: Check, reduced: readonly string[]): Check {
  const needs =
    evidence.series === undefined ? ["a run with its strokes, reduced (coldturn reduce)"] : reduced;
  if (check.verdict === "fails" || needs.length === 0) return check;
  const { id, designChecks, failureModes, name, dimension, equation, source, assumptions } = check;
  const { unit, standing } = check;
  return {
    ...{ id, designChecks, failureModes, name, dimension, equation, source, assumptions, unit, standing },
    kind: "unknown",
    verdict: "not known",
    needs: check.kind === "unknown" ? [...check.needs, ...needs] : needs,
  };
}

function withoutRuns(check: Check, notReduced: readonly string[]): Check {
  if (notReduced.length === 0) return check;
  const left = `Left out: ${notReduced.join(", ")}, not reduced from the files as they are.`;
  return { ...check, assumptions: [...check.assumptions, left] };
}

/** Time against stroke, of each series. */
export function repeatedFigures(context: Context): readonly Figure[] {
  return seriesFigures({ series: repeated(context) });
}

/** The series in numbers. */
export function repeatedTables(context: Context): readonly Table[] {
  const series = repeated(context);
  return series.length === 0 ? [] : [seriesTable({ series })];
}

/** One line for each series whose times drift. */
export function repeatedSentences(context: Context): readonly string[] {
  return repeated(context).flatMap(({ caseId, sense, strokes, trend, line, drifts }) => {
    if (drifts !== true || trend === undefined) return [];
    const u = line?.slopeUncertainty_s ?? 0;
    const slope = line?.slope_s ?? 0;
    const by =
      line === undefined
        ? ""
        : `, by ${valueWords(slope, { low: slope - u, high: slope + u }, "time", "ms")} a stroke`;
    return `The ${sense} times of ${caseId} drift over ${strokes.length} strokes${by}: the chance of such a trend without a drift is ${trend.p.toPrecision(2)}.`;
  });
}

/** Predictions, runs and updates, case by case. */
export function pastFigures({ evidence }: Context): readonly Figure[] {
  return hasPast(evidence.history) ? historyFigure(evidence.history) : [];
}

/** The same as a list. */
export function pastTables({ evidence }: Context): readonly Table[] {
  return hasPast(evidence.history) ? [historyTable(evidence.history)] : [];
}

/** Sealed predictions alone are listed elsewhere; a history has a run in it. */
function hasPast<T extends { readonly kind: string }>(
  history: readonly T[] | undefined,
): history is readonly T[] {
  return history?.some(({ kind }) => kind === "run") === true;
}

/** Expected narrowing by each test. */
export function rankedFigures({ evidence: { next } }: Context): readonly Figure[] {
  if (next === undefined) return [];
  const figure = nextFigure(next.found);
  return [{ ...figure, words: `${whenWords(next)} ${figure.words}` }];
}

/** The ranking in numbers. */
export function rankedTables({ evidence: { next } }: Context): readonly Table[] {
  if (next === undefined) return [];
  const { title, ...table } = nextTable(next.found);
  return [{ ...table, title: `${title}; ${whenWords(next).replace(/\.$/, "").toLowerCase()}` }];
}

/** The test that tells most. */
export function rankedSentences({ evidence: { next } }: Context): readonly string[] {
  if (next === undefined) return [];
  const [best] = next.found.tests;
  const lead =
    best?.known === true
      ? `The test expected to tell most of ${next.found.decision.words}: ${best.kind} (case ${best.caseId}), which would narrow its standard uncertainty by ${Math.round(100 * best.narrowing)} %. ${bestCostWords(next.found)}`
      : "No test that could be made next can be rated.";
  return [`${lead} ${whenWords(next)}`];
}

/** "Ranked 2026-04-18, and outdated: valve.yaml has changed since." */
function whenWords({ made, changed }: NextRanking): string {
  const since =
    changed.length === 0
      ? ""
      : `, and outdated: ${changed.join(", ")} ${changed.length > 1 ? "have" : "has"} changed since; \`coldturn next\` ranks anew`;
  return `Ranked ${made.slice(0, 10)}${since}.`;
}
