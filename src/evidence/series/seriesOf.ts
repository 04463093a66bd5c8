/** Series from reduced runs: the strokes of each case and sense, in the order in which they were made. */
import type { Sense } from "../../predict/index.js";
import type { Reduction } from "../reduce/index.js";
import { fullestFirst } from "../run/leadingTime.js";
import { evaluateSeries, type Series, type SeriesStroke } from "./series.js";

/** Series of a valve, and how many strokes it has made in all recorded runs. */
export interface SeriesReport {
  readonly series: readonly Series[];
  /** Openings with their closings that the logs show: the larger number of the two. */
  readonly cycles: number;
}

/**
 * Groups the strokes of reduced runs by case and sense.
 * @param reductions  in the order in which the runs were made;  @param wanted definition of time, if one is asked for
 */
export function seriesOf(reductions: readonly Reduction[], wanted?: string): SeriesReport {
  const cases = [...new Set(reductions.map(({ caseId }) => caseId))];
  const series = cases.flatMap((caseId) =>
    (["opening", "closing"] as const).flatMap((sense): Series[] => {
      // The first definition that every stroke of the series has, else the one that most have.
      const order = wanted === undefined ? fullestFirst : [wanted, ...fullestFirst];
      const lists = order.map((definition) => ({
        definition,
        strokes: strokesOf(
          reductions.filter((one) => one.caseId === caseId),
          sense,
          definition,
        ),
      }));
      const most = Math.max(...lists.map(({ strokes }) => strokes.length));
      const best = lists.find(({ strokes }) => strokes.length === most);
      return best === undefined || most === 0
        ? []
        : [evaluateSeries(caseId, sense, best.definition, best.strokes)];
    }),
  );
  const count = (sense: Sense) =>
    reductions.reduce((sum, { strokes }) => sum + strokes.filter((one) => one.sense === sense).length, 0);
  return { series, cycles: Math.max(count("opening"), count("closing")) };
}

function strokesOf(
  reductions: readonly Reduction[],
  sense: Sense,
  definition: string,
): readonly SeriesStroke[] {
  let number = 0;
  return reductions.flatMap(({ runId, strokes }) =>
    strokes.flatMap((stroke): SeriesStroke[] => {
      if (stroke.sense !== sense) return [];
      number++;
      const time = stroke.times.find(({ id }) => id === definition);
      return time?.known === true
        ? [{ runId, sense, number, value_s: time.value, standardUncertainty_s: time.standardUncertainty }]
        : [];
    }),
  );
}
