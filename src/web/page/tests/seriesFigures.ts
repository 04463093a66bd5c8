/** The time series as figures of the picture layer, so that what is shown can be kept as SVG, PNG and CSV. */
import type { Mark, PlotFigure } from "../../../picture/index.js";
import { pointsToDraw, type Range } from "../../compute/plotPlace.js";
import type { DrawnEvent } from "./drawSeries.js";
import type { ShownPanel } from "./shownSeries.js";

/** Points across a kept picture: finer than any printer. */
const columns = 4000;

/** One panel as a figure over the shown range. */
export function figureOf(
  { quantity, band, lines }: ShownPanel,
  range: Range,
  y: readonly [number, number],
  events: readonly DrawnEvent[],
  name: string,
): PlotFigure {
  const within = (x: number): boolean => x >= range[0] && x <= range[1];
  const cut = <T extends Readonly<Record<string, readonly number[]>>>(x: readonly number[], rows: T) => {
    const kept = x.flatMap((value, i) => (within(value) ? [i] : []));
    const pick = (all: readonly number[]) => kept.map((i) => all[i] ?? Number.NaN);
    return {
      x: pick(x),
      rows: Object.fromEntries(Object.entries(rows).map(([key, all]) => [key, pick(all)])),
    };
  };
  const marks: Mark[] = [];
  if (band !== undefined) {
    const { x, rows } = cut(band.x, { low: band.low, high: band.high });
    if (x.length > 1)
      marks.push({
        kind: "band",
        role: "band",
        label: "95 % of strokes",
        x,
        low: rows.low ?? [],
        high: rows.high ?? [],
      });
  }
  for (const { role, label, x, y: values } of lines) {
    const kept = pointsToDraw(x, values, range, columns).filter((i) => within(x[i] ?? Number.NaN));
    if (kept.length === 0) continue;
    marks.push({
      kind: "line",
      role,
      label,
      x: kept.map((i) => x[i] ?? Number.NaN),
      y: kept.map((i) => values[i] ?? Number.NaN),
    });
  }
  for (const { id, x } of events)
    if (within(x)) marks.push({ kind: "event", role: "measurement", x, label: id });
  return {
    kind: "plot",
    id: `series-${name}-${quantity.id}`.replaceAll(/[^A-Za-z0-9-]+/g, "-"),
    title: `${quantity.label} against time, ${name}`,
    words: `${quantity.label} against time since the command, from ${range[0].toFixed(1)} to ${range[1].toFixed(1)} ms: ${lines.map(({ label }) => label).join(", ")}.`,
    x: { label: "Time since command", unit: "ms", range },
    y: { label: quantity.label, unit: quantity.unit, range: y },
    marks,
  };
}
