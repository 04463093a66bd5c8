import { requireDrawable } from "../marks/mark.js";
import type { Axis, FigureWords } from "../role.js";
import { element, pixel } from "../svg/element.js";
import { filled, stroked } from "../svg/sheet.js";
import { numberText } from "../words.js";
import type { ChartKind, Table } from "./chart.js";
import { columnHead } from "./plotTable.js";
import { axisRange, type Range } from "./range.js";
import { printedStep, type Row, stepOfSpread, withUnit } from "./row.js";
import { type RowSpace, rowsSvg } from "./rowsSvg.js";
import { type RowTextSpace, rowsText } from "./rowsText.js";
import { whiskerSvg, whiskerText } from "./whisker.js";

/** An estimate with its confidence interval, in the unit of the axis. */
export interface Estimate {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/** What one input does to the result: alone (first) and with all it acts through (total). */
export interface Effect {
  readonly label: string;
  readonly first: Estimate;
  readonly total: Estimate;
}

/** Which inputs move the result, largest total effect at the top. */
export interface TornadoFigure extends FigureWords {
  readonly kind: "tornado";
  readonly value: Axis;
  readonly effects: readonly Effect[];
}

/** How effects are checked, drawn and listed. */
export const tornado: ChartKind<TornadoFigure> = {
  check: ({ effects }) => {
    for (const { label, first, total } of effects)
      for (const estimate of [first, total])
        for (const value of [estimate.value, estimate.low, estimate.high])
          requireDrawable("tornado", `an estimate of "${label}"`, value);
  },
  drawSvg: (figure, size) => {
    const effects = ranked(figure);
    const range = rangeOf(figure);
    return rowsSvg(
      figure,
      {
        axis: figure.value,
        range,
        rows: rowsOf(figure, effects, range),
        key: [
          { text: "alone (first effect)", role: "prediction", sample: "solid", nth: 0 },
          { text: "with the others (total effect)", role: "prediction", sample: "area", nth: 0 },
        ],
        behind: originSvg,
        shape: (index, space) => shapeSvg(effects[index], space),
      },
      size,
    );
  },
  drawText: (figure, size) => {
    const effects = ranked(figure);
    const range = rangeOf(figure);
    return rowsText(
      figure,
      {
        axis: figure.value,
        range,
        rows: rowsOf(figure, effects, range),
        key: [
          { text: "alone (first effect)", role: "prediction", sample: "solid", nth: 0 },
          { text: "with the others (total effect)", role: "prediction", sample: "area", nth: 0 },
        ],
        arrangement: "side by side",
        shape: (index, space) => shapeText(effects[index], space),
      },
      size,
    );
  },
  table,
};

/** Largest total effect first; equals in the order given. */
function ranked({ effects }: TornadoFigure): readonly Effect[] {
  return [...effects].sort((a, b) => b.total.value - a.total.value);
}

function rangeOf({ value, effects }: TornadoFigure): Range {
  const values = effects.flatMap(({ first, total }) => [
    first.value,
    first.low,
    first.high,
    total.value,
    total.low,
    total.high,
  ]);
  return axisRange(value, [[0, ...values]], "round");
}

function rowsOf({ value }: TornadoFigure, effects: readonly Effect[], range: Range): readonly Row[] {
  // One step for all rows, as fine as the least certain of them allows, so that they can be compared.
  const half = Math.max(0, ...effects.map(({ total }) => Math.abs(total.high - total.low) / 2));
  const step = half > 0 ? stepOfSpread(half) : printedStep(range);
  const print = (estimate: Estimate): string => withUnit(numberText(estimate.value, step), value.unit);
  return effects.map(({ label, first, total }) => ({
    label,
    role: "prediction",
    number: `${print(first)} / ${print(total)}`,
  }));
}

function originSvg(spaces: readonly RowSpace[]): string {
  const lines = spaces.map(({ x, zone }) => `M${pixel(x(0))} ${pixel(zone.top)}V${pixel(zone.bottom)}`);
  return element("path", { d: lines.join(""), ...stroked("ink"), "stroke-width": 1.5 });
}

function shapeSvg(effect: Effect | undefined, space: RowSpace): string {
  if (effect === undefined) return "";
  const { x, y, half } = space;
  const bar = (value: number, height: number) => ({
    x: Math.min(x(0), x(value)),
    y: y - height,
    width: Math.abs(x(value) - x(0)),
    height: 2 * height,
  });
  const { first, total } = effect;
  return [
    element("rect", { ...bar(total.value, half), ...filled("prediction"), "fill-opacity": 0.22 }),
    element("rect", { ...bar(total.value, half), ...stroked("prediction"), "stroke-width": 1.25 }),
    element("rect", { ...bar(first.value, half * 0.45), ...filled("prediction") }),
    whiskerSvg(total, { ...space, y: y - half * 0.72 }, 3),
    whiskerSvg(first, { ...space, y: y + half * 0.72 }, 3),
  ].join("");
}

function shapeText(effect: Effect | undefined, { canvas, column }: RowTextSpace): void {
  if (effect === undefined) return;
  const { unicode } = canvas.manner;
  const origin = column(0);
  whiskerText(canvas, column(effect.total.low), column(effect.total.high));
  const fill = (value: number, glyph: string): void => {
    const [left, right] = [Math.min(origin, column(value)), Math.max(origin, column(value))];
    for (let at = Math.floor(left); at < Math.round(right); at++) canvas.put(at, 0, glyph, "prediction");
  };
  fill(effect.total.value, unicode ? "▒" : ".");
  fill(effect.first.value, unicode ? "█" : "#");
}

function table(figure: TornadoFigure): Table {
  const heads = ["first", "first_low", "first_high", "total", "total_low", "total_high"];
  return {
    heads: ["label", ...heads.map((part) => columnHead(figure.value, part))],
    rows: ranked(figure).map(({ label, first, total }) => [
      label,
      first.value,
      first.low,
      first.high,
      total.value,
      total.low,
      total.high,
    ]),
  };
}
