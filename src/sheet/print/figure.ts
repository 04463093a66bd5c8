/** Pictures on paper, as vectors: wide ones over the whole line, narrow ones in pairs. */
import { inline, type Place } from "./inline.js";
import { isUnseen, type PrintElement, type PrintNode } from "./tree.js";
import { call, literal, rawLiteral } from "./words.js";

/** Height that leaves room for words below, on paper [mm]. */
const mostHeight_mm = 170;
const wholeWidth_mm = 182;
const halfWidth_mm = 88;

/** Figures in their order; those of half the width that follow each other stand side by side. */
export function printedFigures(figures: readonly PrintElement[], place: Place): string {
  let written = "";
  let pair: string[] = [];
  const flush = (): void => {
    if (pair.length > 0)
      written += `#grid(columns: (1fr, 1fr), column-gutter: 6mm, row-gutter: 4mm, ${pair.join(",")});\n\n`;
    pair = [];
  };
  for (const figure of figures) {
    const isHalf = figure.classes.has("half");
    const one = printedFigure(figure, place, isHalf);
    if (!isHalf) {
      flush();
      written += `${call("block", "breakable: false", one)}\n\n`;
    } else if (pair.push(`[${one}]`) === 2) flush();
  }
  flush();
  return written;
}

function printedFigure(figure: PrintElement, place: Place, isHalf: boolean): string {
  const drawing = drawingIn(figure, isHalf ? "narrow" : "wide") ?? drawingIn(figure, undefined);
  const words = figure.children.flatMap((node) =>
    node.kind === "element" && node.name === "figcaption"
      ? [call("quiet", "", inline(node.children, place))]
      : [],
  );
  const picture =
    drawing === undefined ? "" : pictureText(drawing.source, isHalf ? halfWidth_mm : wholeWidth_mm);
  return `${picture}\n\n${words.join("")}`;
}

/** The drawing within an element of a class, or the first there is. */
function drawingIn(node: PrintNode, className: string | undefined): PrintElement | undefined {
  if (node.kind === "text" || isUnseen(node)) return undefined;
  if (node.name === "svg") return className === undefined ? node : undefined;
  const wanted = className !== undefined && node.classes.has(className) ? undefined : className;
  for (const child of node.children) {
    const found = drawingIn(child, wanted);
    if (found !== undefined) return found;
  }
  return undefined;
}

function pictureText(svg: string, room_mm: number): string {
  const [, across = "1", down = "1"] = /viewBox="[\d.-]+ [\d.-]+ ([\d.]+) ([\d.]+)"/.exec(svg) ?? [];
  const width = Math.min(room_mm, (mostHeight_mm * Number(across)) / Number(down));
  return `#image(bytes(${rawLiteral(onPaper(svg))}), format: "svg", width: ${width.toFixed(2)}mm, alt: ${literal(spoken(svg))});`;
}

/** On white paper, and in a face that comes with the program. */
function onPaper(svg: string): string {
  const drawn = svg
    .replace(/<style>[\s\S]*?<\/style>/g, "")
    .replace(/font-family="[^"]*"/g, `font-family="DejaVu Sans"`)
    .replace(/(class="[^"]*f-paper[^"]*" fill=")[^"]*"/g, `$1#ffffff"`);
  return drawn.includes("xmlns=")
    ? drawn
    : drawn.replace("<svg ", `<svg xmlns="http://www.w3.org/2000/svg" `);
}

const entities: Readonly<Record<string, string>> = {
  "&amp;": "&",
  "&lt;": "<",
  "&gt;": ">",
  "&quot;": '"',
  "&apos;": "'",
};

/** What a reading voice says of a picture: its title and its words. */
function spoken(svg: string): string {
  const part = (name: string) => new RegExp(`<${name}[^>]*>([\\s\\S]*?)</${name}>`).exec(svg)?.[1] ?? "";
  const words = [part("title"), part("desc")].filter((text) => text !== "").join(": ");
  return words.replace(/&(amp|lt|gt|quot|apos);/g, (entity) => entities[entity] ?? entity) || "a picture";
}
