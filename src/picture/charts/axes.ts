/** Axes of SVG pictures. All charts draw theirs here. */
import type { Axis } from "../role.js";
import { element, pixel, words } from "../svg/element.js";
import { edge } from "../svg/heading.js";
import type { Box } from "../svg/labels.js";
import { filled, stroked } from "../svg/sheet.js";
import { axisTitle, textWidth } from "../words.js";
import { fittingTicks, linear, type Range, type Tick } from "./range.js";

/** Type size of tick labels and axis titles [px]. */
export const tickSize = 13;

/** The ticks that fit a level axis of a length [px]. */
export function levelTicks(range: Range, unit: string, length: number): readonly Tick[] {
  return fittingTicks(range, unit, length, (text) => textWidth(text, tickSize), 14);
}

/** The level axis under a frame: line, ticks, numbers, title at its right end. Takes 44 px. */
export function levelAxis(axis: Axis, range: Range, frame: Box): string {
  const x = linear(range, frame.left, frame.right);
  const list = levelTicks(range, axis.unit, frame.right - frame.left);
  const marks = list.map(({ value }) => `M${pixel(x(value))} ${pixel(frame.bottom)}v5`).join("");
  const line = element("path", {
    d: `M${pixel(frame.left)} ${pixel(frame.bottom)}H${pixel(frame.right)}${marks}`,
    ...stroked("ink"),
    "stroke-width": 1.5,
  });
  const numbers = list.map(({ value, text }) =>
    element(
      "text",
      { x: x(value), y: frame.bottom + 19, "text-anchor": "middle", "font-size": tickSize, ...filled("ink") },
      words(text),
    ),
  );
  const title = element(
    "text",
    {
      x: frame.right,
      y: frame.bottom + 38,
      "text-anchor": "end",
      "font-size": tickSize,
      ...filled("quiet"),
    },
    words(axisTitle(axis, frame.right - edge, (text) => textWidth(text, tickSize))),
  );
  return [line, ...numbers, title].join("\n");
}

/** Height that levelAxis takes under the frame [px]. */
export const levelAxisHeight = 46;

/** Rules across a frame at the ticks of the upright axis, with their numbers to the left. */
export function uprightAxis(list: readonly Tick[], range: Range, frame: Box): string {
  const y = linear(range, frame.bottom, frame.top);
  const rules = list.map(({ value }) => `M${pixel(frame.left)} ${pixel(y(value))}H${pixel(frame.right)}`);
  const numbers = list.map(({ value, text }) =>
    element(
      "text",
      {
        x: frame.left - 8,
        y: y(value) + 4.5,
        "text-anchor": "end",
        "font-size": tickSize,
        ...filled("ink"),
      },
      words(text),
    ),
  );
  const ruled = element("path", { d: rules.join(""), ...stroked("rule"), "stroke-width": 1 });
  return [ruled, ...numbers].join("\n");
}
