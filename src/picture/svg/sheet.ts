/**
 * The frame every SVG picture stands in: root element, words, style sheet, hatches, surface.
 *
 * Colours stand twice: as plain attributes (light), for printers and converters, and as CSS with
 * light-dark(), which follows the colour scheme of the page around the picture; a picture opened as
 * a file of its own follows the reader's system. The @supports guard keeps the plain attributes
 * where light-dark() is not understood.
 */
import { refuse } from "../../fault/index.js";
import type { FigureWords, Role } from "../role.js";
import { type Paint, paints, roleStyles, roles } from "../theme.js";
import { element, words } from "./element.js";

const faces = "'Segoe UI','Helvetica Neue','Liberation Sans',Arial,'DejaVu Sans',sans-serif";

/** Attributes that fill with a named colour. */
export function filled(paint: Paint): { readonly class: string; readonly fill: string } {
  return { class: `f-${paint}`, fill: paints[paint].light };
}

/** Attributes that stroke with a named colour and fill nothing. */
export function stroked(paint: Paint): {
  readonly class: string;
  readonly stroke: string;
  readonly fill: "none";
} {
  return { class: `s-${paint}`, stroke: paints[paint].light, fill: "none" };
}

/** Attributes that fill with one named colour and outline with another. */
export function filledAndStroked(fill: Paint, stroke: Paint): Readonly<Record<string, string>> {
  return { class: `f-${fill} s-${stroke}`, fill: paints[fill].light, stroke: paints[stroke].light };
}

/** Attributes of text with a rim in the colour of the paper, so that it reads on top of lines. */
export function inked(paint: Paint): Readonly<Record<string, string | number>> {
  const rim = { "stroke-width": 4, "stroke-linejoin": "round", "paint-order": "stroke" };
  return { ...filledAndStroked(paint, "paper"), ...rim };
}

/** Attributes that fill an area in a role: tinted, and hatched where the role is. */
export function areaOf(role: Role, id: string): Readonly<Record<string, string | number>> {
  if (roleStyles[role].hatched) return { fill: `url(#${hatchId(id, role)})` };
  return { ...filled(role), "fill-opacity": 0.17 };
}

function hatchId(id: string, role: Role): string {
  return `${id}-hatch-${role}`;
}

/** Refuses an id from which no ids can be derived. */
export function requireId(id: string): void {
  if (/^[A-Za-z][A-Za-z0-9-]*$/.test(id)) return;
  refuse(
    "picture-id",
    `the figure id "${id}" has other characters than letters, digits and hyphens, or starts with none`,
    "Ids inside a picture derive from the figure's id and must be valid and unique on a page.",
    'Write one like "torque-against-angle".',
  );
}

/** A whole SVG document around a drawn body. @param width, height  size [px] */
export function sheet(figure: FigureWords, width: number, height: number, body: string): string {
  const id = figure.id;
  return element(
    "svg",
    {
      xmlns: "http://www.w3.org/2000/svg",
      id,
      viewBox: `0 0 ${Math.round(width)} ${Math.round(height)}`,
      width: Math.round(width),
      height: Math.round(height),
      role: "img",
      "aria-labelledby": `${id}-title ${id}-desc`,
      "font-family": faces,
      "font-size": 13.5,
    },
    "\n",
    element("title", { id: `${id}-title` }, words(figure.title)),
    "\n",
    element("desc", { id: `${id}-desc` }, words(figure.words)),
    "\n",
    element("style", {}, styleSheet(id, body)),
    "\n",
    hatches(id, body),
    element("rect", { ...filled("paper"), width, height }),
    "\n",
    body,
    "\n",
  );
}

function styleSheet(id: string, body: string): string {
  // The paper is drawn outside of the body.
  const classes = new Set(["f-paper"]);
  for (const [, names = ""] of body.matchAll(/ class="([^"]*)"/g))
    for (const name of names.split(" ")) classes.add(name);
  const rules: string[] = [];
  for (const [paint, { light, dark }] of Object.entries(paints)) {
    const colour = `light-dark(${light},${dark})`;
    if (classes.has(`f-${paint}`)) rules.push(`#${id} .f-${paint}{fill:${colour}}`);
    if (classes.has(`s-${paint}`) || body.includes(`${id}-hatch-${paint}`))
      rules.push(`#${id} .s-${paint}{stroke:${colour}}`);
  }
  return [
    `#${id}{max-width:100%;height:auto;font-variant-numeric:tabular-nums}`,
    "svg:root{color-scheme:light dark}",
    `@media print{#${id}{color-scheme:light}}`,
    `@supports (color:light-dark(#000,#fff)){\n${rules.join("\n")}\n}`,
  ].join("\n");
}

function hatches(id: string, body: string): string {
  const patterns: string[] = [];
  for (const role of roles) {
    if (!body.includes(`#${hatchId(id, role)})`)) continue;
    patterns.push(
      element(
        "pattern",
        {
          id: hatchId(id, role),
          width: 6,
          height: 6,
          patternUnits: "userSpaceOnUse",
          patternTransform: "rotate(45)",
        },
        element("path", { d: "M0 3H6", ...stroked(role), "stroke-width": 6, "stroke-opacity": 0.14 }),
        element("path", { d: "M0 3H6", ...stroked(role), "stroke-width": 1.5, "stroke-opacity": 0.75 }),
      ),
    );
  }
  return patterns.length === 0 ? "" : `${element("defs", {}, ...patterns)}\n`;
}
