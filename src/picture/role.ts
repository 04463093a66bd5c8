/**
 * What a mark stands for. A description names the role; the theme (theme.ts) turns it into a colour
 * and, for readers who see no colour, into a dash, a shape, a hatch or a letter.
 *
 *   prediction   what the model says
 *   measurement  what a test showed
 *   limit        a bound that must not be crossed
 *   demand       what is asked of a part (a torque to overcome)
 *   available    what a part can give
 *   band         the spread around a value
 *   better       a change for the better, the good side of a bound
 *   doubtful     between the two: inside a bound, but not surely
 *   worse        a change for the worse, the bad side of a bound
 *   neutral      everything else
 */
export type Role =
  | "prediction"
  | "measurement"
  | "limit"
  | "demand"
  | "available"
  | "band"
  | "better"
  | "doubtful"
  | "worse"
  | "neutral";

/** A column of numbers in the unit of its axis; a value that is not finite is a gap. */
export type Numbers = ArrayLike<number>;

/** An axis: what it measures and in which unit; the range follows the marks unless it is given. */
export interface Axis {
  readonly label: string;
  /** Unit as printed ("ms", "N*m", "%"); "" for a plain ratio, printed as [-]. */
  readonly unit: string;
  /** The range to show instead of the range of the marks; what lies outside is clipped. */
  readonly range?: readonly [number, number];
}

/** What every figure carries. */
export interface FigureWords {
  /** Letters, digits, hyphens; starts with a letter; unique on a page. Ids inside the picture derive from it. */
  readonly id: string;
  readonly title: string;
  /** What the picture shows, as sentences with numbers and units, for a reader who cannot see it. */
  readonly words: string;
}
