/** Pictures of an answer: drawn as SVG or in characters, or listed as CSV. */

/** A picture of an answer. The same prediction draws the same bytes on any machine. */
export interface Picture {
  /** Unique within one prediction. */
  readonly id: string;
  readonly title: string;
  /** What it shows, in sentences with numbers and units, for a reader who cannot see it. */
  readonly words: string;
  /** One self-contained SVG document. @param width  240 to 10000 [px], 760 where it is left out */
  readonly svg: (width?: number) => string;
  /** Lines of characters, for a terminal. @param columns  40 or more, 100 where it is left out */
  readonly text: (columns?: number) => string;
  /** The data behind it; heads end in the unit. */
  readonly csv: () => string;
}
