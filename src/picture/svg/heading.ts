/** Title, words and key of an SVG picture, and text set beside shapes. */
import type { LabelWish } from "../marks/mark.js";
import type { FigureWords, Role } from "../role.js";
import { inTurn, roleStyles } from "../theme.js";
import { textWidth, wrap } from "../words.js";
import { beadShape } from "./bead.js";
import { element, pixel, words } from "./element.js";
import { areaOf, filled, inked, stroked } from "./sheet.js";

/** Space at the left and right edge of a picture [px]. */
export const edge = 16;
/** Type size of labels and words [px], and their line height. */
export const labelSize = 13.5;
export const lineHeight = 18;
const titleSize = 17;

/** A drawn part and where it ends. */
export interface Part {
  readonly svg: string;
  readonly bottom: number;
}

/** The title under its bar, then the words. */
export function heading(figure: FigureWords, width: number, caption: "drawn" | "left out"): Part {
  const room = width - 2 * edge;
  const titleLines = wrap(figure.title, room, (text) => textWidth(text, titleSize, true));
  const wordLines = caption === "drawn" ? wrap(figure.words, room, (text) => textWidth(text, labelSize)) : [];
  const bar = element("rect", { x: edge, y: 12, width: 34, height: 4, ...filled("ink") });
  let baseline = 16;
  const lines = titleLines.map((line) => {
    baseline += 22;
    return element(
      "text",
      { x: edge, y: baseline, "font-size": titleSize, "font-weight": 600, ...filled("ink") },
      words(line),
    );
  });
  baseline += 2;
  for (const line of wordLines) {
    baseline += lineHeight;
    lines.push(
      element("text", { x: edge, y: baseline, "font-size": labelSize, ...filled("quiet") }, words(line)),
    );
  }
  return { svg: [bar, ...lines].join("\n"), bottom: baseline + 10 };
}

/** Width of a sample in a key [px]. */
export const sampleWidth = 28;

/** What a key shows beside a label: a short piece of the mark. @param x, y  left middle [px] */
export function sampleOf(label: KeyEntry, x: number, y: number, id: string): string {
  const { role, nth, sample } = label;
  const style = roleStyles[role];
  if (sample === "bead") return beadShape(role, x + sampleWidth / 2, y, 5);
  if (sample === "area" || sample === "region") {
    const shape = { x, y: y - 6, width: sampleWidth, height: 12 };
    const outline = element("rect", { ...shape, ...stroked(role), "stroke-width": 0.9 });
    return element("rect", { ...shape, ...areaOf(role, id) }) + outline;
  }
  if (sample === "solid")
    return element("rect", { x, y: y - 5, width: sampleWidth, height: 10, ...filled(role) });
  const stroke = element("path", {
    d: `M${pixel(x)} ${pixel(y)}h${sampleWidth}`,
    ...stroked(role),
    "stroke-width": style.lineWidth,
    "stroke-dasharray":
      sample === "limit" || sample === "rail" ? undefined : inTurn(style.dashes, nth) || undefined,
  });
  if (sample === "limit") {
    const teeth = [0, 10, 20].map((dx) => `M${pixel(x + dx)} ${pixel(y)}l6 -6`).join("");
    return stroke + element("path", { d: teeth, ...stroked(role), "stroke-width": 1.25 });
  }
  return style.beaded ? stroke + beadShape(role, x + sampleWidth / 2, y, 4) : stroke;
}

/** A label in a key, with its turn among marks of its role. */
export interface KeyEntry {
  readonly text: string;
  readonly role: Role;
  readonly sample: LabelWish["sample"];
  readonly nth: number;
}

const keyGap = 22;
const sampleGap = 7;

/** Labels with their samples in rows across the picture; nothing for no labels. */
export function key(entries: readonly KeyEntry[], top: number, width: number, id: string): Part {
  if (entries.length === 0) return { svg: "", bottom: top };
  let x = edge;
  let row = 0;
  const parts: string[] = [];
  for (const entry of entries) {
    const room = width - 2 * edge - sampleWidth - sampleGap;
    const lines = wrap(entry.text, room, (text) => textWidth(text, labelSize));
    const taken = sampleWidth + sampleGap + Math.max(...lines.map((line) => textWidth(line, labelSize)), 0);
    if (x > edge && x + taken > width - edge) {
      x = edge;
      row++;
    }
    const y = top + row * 21 + 10;
    parts.push(sampleOf(entry, x, y, id));
    for (const [index, line] of lines.entries()) {
      const at = { x: x + sampleWidth + sampleGap, y: y + 4.5 + index * lineHeight };
      parts.push(element("text", { ...at, "font-size": labelSize, ...filled("ink") }, words(line)));
    }
    row += Math.max(0, lines.length - 1);
    x += taken + keyGap;
  }
  return { svg: parts.join("\n"), bottom: top + (row + 1) * 21 + 6 };
}

/** Text with a rim in the colour of the paper, so that it reads on top of lines. */
export function rimmed(
  text: string,
  x: number,
  y: number,
  anchor: "start" | "middle" | "end",
  paint: Role | "ink" | "quiet",
): string {
  const place = { x, y, "text-anchor": anchor === "start" ? undefined : anchor, "font-size": labelSize };
  return element("text", { ...place, ...inked(paint) }, words(text));
}
