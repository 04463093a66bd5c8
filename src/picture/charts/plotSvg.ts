/** SVG of a plot: frame, axes, marks, and every label laid out so that none covers another. */
import { kindOfMark, type Mark } from "../marks/list.js";
import type { LabelWish, SvgSpace } from "../marks/mark.js";
import { element, pixel, words } from "../svg/element.js";
import {
  edge,
  heading,
  type KeyEntry,
  key,
  labelSize,
  lineHeight,
  rimmed,
  sampleOf,
  sampleWidth,
} from "../svg/heading.js";
import { type Box, type StemPlace, stack, stemLanes } from "../svg/labels.js";
import { filled, sheet, stroked } from "../svg/sheet.js";
import { axisTitle, textWidth, wrap } from "../words.js";
import { levelAxis, levelAxisHeight, tickSize, uprightAxis } from "./axes.js";
import type { SvgSize } from "./chart.js";
import { type DrawnMark, drawnMarks } from "./drawnMarks.js";
import { insideLabels } from "./insideLabels.js";
import type { PlotFigure } from "./plotFigure.js";
import { linear, plotRanges, type Range, tickCount, ticks } from "./range.js";

// From this width on labels stand beside the ends of their curves; below it they form a key.
const wideEnough = 560;
// The most of the width that labels beside curves may take.
const columnShare = 0.27;
const leastFrameHeight = 150;
const laneHeight = 19;

/** An SVG document. @param remarks  further entries for the key */
export function plotSvg(figure: PlotFigure, size: SvgSize, remarks: readonly KeyEntry[] = []): string {
  const { id } = figure;
  const { width } = size;
  const { x: xRange, y: yRange } = plotRanges(figure);
  const drawn = drawnMarks(figure.marks, xRange, yRange);

  const head = heading(figure, width, size.caption ?? "drawn");
  const column = width >= wideEnough ? endColumn(drawn, width) : undefined;
  const layout = column === undefined ? undefined : attempt(column);
  const body = layout ?? attempt(undefined);
  return sheet(figure, width, body?.height ?? 0, `${head.svg}\n${body?.svg ?? ""}`);

  function attempt(
    ends: EndColumn | undefined,
  ): { readonly svg: string; readonly height: number } | undefined {
    const keyed = drawn.flatMap(({ label }) =>
      label !== undefined && goesInKey(label, ends) ? [label] : [],
    );
    const keyPart = key([...keyed, ...remarks], head.bottom, width, id);
    const yTicks = ticks(yRange, tickCount, figure.y.unit);
    const left = edge + Math.max(...yTicks.map(({ text }) => textWidth(text, tickSize)), 20) + 8;
    const right = width - edge - (ends === undefined ? 4 : ends.width);
    const tops = drawn.flatMap(({ label }) => (label?.where === "top" ? [label] : []));
    const x = linear(xRange, left, right);
    const lanes = topLanes(tops, x, left, width - edge);
    const laneCount = Math.max(0, ...lanes.map(({ lane }) => lane + 1));
    const top = keyPart.bottom + 26 + laneCount * laneHeight + (laneCount > 0 ? 4 : 0);
    const wished = size.height === undefined ? 0.46 * width : size.height - top - levelAxisHeight - 8;
    const frame: Box = { left, right, top, bottom: Math.round(top + Math.max(leastFrameHeight, wished)) };
    // Beside labels over the frame there is no room above its upper edge.
    const highest = laneCount > 0 ? frame.top : frame.top - 10;
    const endLabels = ends === undefined ? "" : placeEnds(ends, frame, highest, yRange, id);
    if (endLabels === undefined) return undefined;

    const space = { id, x, y: linear(yRange, frame.bottom, frame.top), frame };
    const yTitle = axisTitle(figure.y, width - 2 * edge, (text) => textWidth(text, tickSize));
    const parts = [
      keyPart.svg,
      uprightAxis(yTicks, yRange, frame),
      element(
        "text",
        { x: edge, y: keyPart.bottom + 13, "font-size": tickSize, ...filled("quiet") },
        words(yTitle),
      ),
      clipped(drawn, space),
      levelAxis(figure.x, xRange, frame),
      stems(tops, lanes, x, frame),
      insideLabels(drawn, ends === undefined ? "on their lines" : "beside", space),
      endLabels,
    ];
    const svg = parts.filter((part) => part !== "").join("\n");
    return { svg, height: frame.bottom + levelAxisHeight + 8 };
  }
}

/** Whether a label belongs in the key. */
function goesInKey(label: LabelWish, ends: EndColumn | undefined): boolean {
  return label.where === "key" || (label.where === "end" && ends === undefined);
}

/** The labels that stand to the right of the frame, wrapped to a common width. */
interface EndColumn {
  readonly width: number;
  readonly labels: readonly {
    readonly entry: KeyEntry;
    readonly y: number;
    readonly lines: readonly string[];
  }[];
}

const columnGap = 8;
const sampleGap = 7;

function endColumn(drawn: readonly DrawnMark[], width: number): EndColumn | undefined {
  const room = columnShare * width - columnGap - sampleWidth - sampleGap;
  const labels = drawn.flatMap(({ label }) => {
    if (label?.where !== "end" && label?.where !== "level") return [];
    const lines = wrap(label.text, room, (text) => textWidth(text, labelSize));
    return [{ entry: label, y: label.y, lines }];
  });
  if (labels.length === 0) return undefined;
  const widest = Math.max(
    0,
    ...labels.flatMap(({ lines }) => lines.map((line) => textWidth(line, labelSize))),
  );
  return { width: columnGap + sampleWidth + sampleGap + widest, labels };
}

/** The labels at the heights of their curves' ends; undefined if they do not fit the frame. */
function placeEnds(
  ends: EndColumn,
  frame: Box,
  highest: number,
  yRange: Range,
  id: string,
): string | undefined {
  const y = linear(yRange, frame.bottom, frame.top);
  const blocks = ends.labels.map((label) => ({
    at: Math.max(frame.top, Math.min(frame.bottom, y(label.y))),
    size: label.lines.length * lineHeight + 4,
  }));
  const middles = stack(blocks, highest, frame.bottom + 10);
  if (middles === undefined) return undefined;
  const left = frame.right + columnGap;
  return ends.labels
    .map(({ entry, lines }, index) => {
      const middle = middles[index] ?? 0;
      const firstLine = middle - ((lines.length - 1) * lineHeight) / 2;
      const texts = lines.map((line, row) =>
        element(
          "text",
          {
            x: left + sampleWidth + sampleGap,
            y: firstLine + row * lineHeight + 4.5,
            "font-size": labelSize,
            ...filled(entry.role),
          },
          words(line),
        ),
      );
      return [sampleOf(entry, left, firstLine, id), ...texts].join("\n");
    })
    .join("\n");
}

function topLanes(
  labels: readonly { readonly x: number; readonly text: string }[],
  x: (value: number) => number,
  left: number,
  right: number,
): readonly StemPlace[] {
  const stemmed = labels.map((label) => ({ x: x(label.x), width: textWidth(label.text, labelSize) }));
  return stemLanes(stemmed, left, right, 5);
}

/** Labels over the frame, each on a stem up from the frame's edge. */
function stems(
  labels: readonly (LabelWish & { readonly where: "top" })[],
  lanes: readonly StemPlace[],
  x: (value: number) => number,
  frame: Box,
): string {
  const lines = labels.map((label, index) => {
    const baseline = frame.top - 8 - (lanes[index]?.lane ?? 0) * laneHeight;
    return element("path", {
      d: `M${pixel(x(label.x))} ${pixel(frame.top)}V${pixel(baseline - 11)}`,
      ...stroked(label.role),
      "stroke-width": 1.5,
    });
  });
  const texts = labels.map((label, index) => {
    const place = lanes[index] ?? { lane: 0, left: 0 };
    const baseline = frame.top - 8 - place.lane * laneHeight;
    // A label left of its stem ends at the stem, whatever the reader's typeface.
    const isLeft = place.left + textWidth(label.text, labelSize) < x(label.x);
    return isLeft
      ? rimmed(label.text, x(label.x) - 5, baseline, "end", label.role)
      : rimmed(label.text, place.left, baseline, "start", label.role);
  });
  return [...lines, ...texts].join("\n");
}

// How far beads and lines hang over the frame [px].
const overhang = 7;

/** The marks in their order, each clipped to the frame or to what may hang over it. */
function clipped(drawn: readonly DrawnMark[], space: Omit<SvgSpace, "nth">): string {
  const { frame, id } = space;
  const clip = (name: string, over: number): string =>
    element(
      "clipPath",
      { id: `${id}-${name}` },
      element("rect", {
        x: frame.left - over,
        y: frame.top - over,
        width: frame.right - frame.left + 2 * over,
        height: frame.bottom - frame.top + 2 * over,
      }),
    );
  const marks = drawn.map(({ mark, nth, label }) => {
    const kind = kindOfMark(mark);
    const attributes = {
      role: "group",
      "aria-label": ariaLabel(mark, label),
      "clip-path": `url(#${id}-${kind.overhangs ? "overhang" : "frame"})`,
    };
    return element("g", attributes, kind.drawSvg(mark, { ...space, nth }));
  });
  return [clip("frame", 0), clip("overhang", overhang), ...marks].join("\n");
}

function ariaLabel(mark: Mark, label: LabelWish | undefined): string {
  return label === undefined ? `${mark.role ?? "limit"} (${mark.kind})` : `${label.text} (${mark.kind})`;
}
