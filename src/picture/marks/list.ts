import { cleanText } from "../words.js";
import { type BandMark, band } from "./band.js";
import { type BarsMark, bars } from "./bars.js";
import { type EventMark, event } from "./event.js";
import { type LimitMark, limit } from "./limit.js";
import { type LineMark, line } from "./line.js";
import type { LabelWish, MarkKind } from "./mark.js";
import { type NoteMark, note } from "./note.js";
import { type PointsMark, points } from "./points.js";
import { type RegionMark, region } from "./region.js";
import { type StepMark, step } from "./step.js";

/** Every kind of mark, in the order in which the documentation shows them. */
interface MarkOfKind {
  readonly region: RegionMark;
  readonly band: BandMark;
  readonly bars: BarsMark;
  readonly line: LineMark;
  readonly step: StepMark;
  readonly points: PointsMark;
  readonly limit: LimitMark;
  readonly event: EventMark;
  readonly note: NoteMark;
}

/** The name of a kind of mark. */
export type MarkName = keyof MarkOfKind;

/** Anything that can be drawn over the two axes of a plot. */
export type Mark<K extends MarkName = MarkName> = {
  readonly [P in K]: MarkOfKind[P] & { readonly kind: P };
}[K];

const kinds: { readonly [K in MarkName]: MarkKind<Mark<K>> } = {
  region,
  band,
  bars,
  line,
  step,
  points,
  limit,
  event,
  note,
};

/** The record of a mark's kind. */
export function kindOfMark<K extends MarkName>(mark: Mark<K>): MarkKind<Mark<K>> {
  return kinds[mark.kind];
}

/** The label a mark asks for; one without a printable character counts as none. */
export function labelOf(mark: Mark): LabelWish | undefined {
  const label = kindOfMark(mark).label(mark);
  return label === undefined || cleanText(label.text) === "" ? undefined : label;
}
