import type { BandMark } from "./band.js";
import type { BarsMark } from "./bars.js";
import type { EventMark } from "./event.js";
import type { LimitMark } from "./limit.js";
import type { LineMark } from "./line.js";
import type { NoteMark } from "./note.js";
import type { PointsMark } from "./points.js";
import type { RegionMark } from "./region.js";
import type { StepMark } from "./step.js";

/** Anything that can be drawn over the two axes of a plot. */
export type Mark =
  | RegionMark
  | BandMark
  | BarsMark
  | LineMark
  | StepMark
  | PointsMark
  | LimitMark
  | EventMark
  | NoteMark;
