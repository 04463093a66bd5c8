/**
 * The shapes that a section of the stem can have, by the names of their dimensions in the valve file.
 *
 * To add a shape: its torsion in torsion.ts and its row here; the valve file takes the name from it.
 */
import type { Length } from "../../quantity/index.js";
import {
  keyedSection,
  oneFlatSection,
  rectangleSection,
  roundSection,
  squareSection,
  type TorsionSection,
  tubeSection,
  twoFlatsSection,
} from "./torsion.js";

/** A dimension of a section, as the valve file names it. */
export type SectionSize =
  | "diameter"
  | "inner_diameter"
  | "width"
  | "thickness"
  | "flat_depth"
  | "keyway_width"
  | "keyway_depth";

/** What a shape is made of, its torsion, and the largest across it. */
export interface SectionShape {
  readonly of: readonly SectionSize[];
  /** Of its dimensions in that order. */
  readonly section: (...of: readonly Length[]) => TorsionSection;
  readonly across: (...of: readonly Length[]) => Length;
}

const no = Number.NaN as Length;
const first: SectionShape["across"] = (d = no) => d;

/** Every shape; a spline by its root, whose teeth carry nothing along. */
export const sectionShapes = {
  round: { of: ["diameter"], section: (d = no) => roundSection(d), across: first },
  tube: {
    of: ["diameter", "inner_diameter"],
    section: (D = no, d = no) => tubeSection(D, d),
    across: first,
  },
  square: {
    of: ["width"],
    section: (a = no) => squareSection(a),
    across: (a = no) => (a * Math.SQRT2) as Length,
  },
  rectangle: {
    of: ["width", "thickness"],
    section: (b = no, a = no) => rectangleSection(b, a),
    across: (b = no, a = no) => Math.hypot(a, b) as Length,
  },
  "one flat": {
    of: ["diameter", "flat_depth"],
    section: (d = no, h = no) => oneFlatSection(d, h),
    across: first,
  },
  "two flats": {
    of: ["diameter", "flat_depth"],
    section: (d = no, h = no) => twoFlatsSection(d, h),
    across: first,
  },
  keyed: {
    of: ["diameter", "keyway_width", "keyway_depth"],
    section: (d = no, w = no, h = no) => keyedSection(d, w, h),
    across: first,
  },
  splined: { of: ["diameter"], section: (d = no) => roundSection(d), across: first },
} as const satisfies Readonly<Record<string, SectionShape>>;

export type ShapeName = keyof typeof sectionShapes;
/** Their names, in the order of the list. */
export const shapeNames = Object.keys(sectionShapes) as [ShapeName, ...ShapeName[]];

/** A shape by its name. */
export function sectionShape(name: ShapeName): SectionShape {
  return sectionShapes[name];
}
