/**
 * What a kind of figure has to say for itself. To add one: its description and its ChartKind in
 * src/picture/charts/<figure>.ts, its line in charts/list.ts, its example in test/picture/examples.ts.
 */

/** The record of one kind of figure. */
export interface ChartKind<F> {
  /** Refuses a description that cannot be drawn. */
  readonly check: (figure: F) => void;
  /** A whole SVG document. */
  readonly drawSvg: (figure: F, size: SvgSize) => string;
  /** Lines for a terminal. */
  readonly drawText: (figure: F, size: TextSize) => readonly string[];
  /** The data behind the figure. */
  readonly table: (figure: F) => Table;
}

/** Size of an SVG picture. */
export interface SvgSize {
  /** [px], from 240. */
  readonly width: number;
  /** [px]; a fitting one unless given. A picture whose labels and rows need more is higher than asked. */
  readonly height?: number;
  /** Whether the words stand under the title; they are in the description element anyway. "drawn" unless given. */
  readonly caption?: "drawn" | "left out";
}

/** Size and manner of a terminal picture. */
export interface TextSize {
  /** Cells across, from 40; no line is longer. */
  readonly columns: number;
  /** Lines, from 12; a picture whose labels and rows need more is longer. */
  readonly rows: number;
  /** Braille dots and blocks; false keeps within ASCII. */
  readonly unicode: boolean;
  /** Whether roles are also told by colour (SGR codes). Off unless given. */
  readonly colour?: boolean;
  /** "drawn" unless given. */
  readonly caption?: "drawn" | "left out";
}

/** Column heads (ending in their unit) and rows. */
export interface Table {
  readonly heads: readonly string[];
  readonly rows: readonly (readonly (string | number | undefined)[])[];
}
