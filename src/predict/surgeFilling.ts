/** How an opening meets a line that stands empty behind the valve, at the present values. */
import type { InstalledSystem } from "../physics/flow/index.js";
import type { EmptyBehind, EmptyLine } from "../physics/line/index.js";
import type { Slot } from "./gather.js";
import type { Plan } from "./plan.js";
import {
  emptyLineOf,
  primingOf as figuresOfPriming,
  type PrimingFigures,
  type PrimingSlots,
} from "./priming.js";
import type { BuiltLine, SurgeLine } from "./surgeLine.js";
import { type Motion, openingOf } from "./surgeMotion.js";
import type { ShortLine } from "./surgeShort.js";
import type { ValveSample } from "./valveSample.js";

/** What fills behind the valve, and how long from first motion it is followed at least [s]; nothing where it stands full. */
export interface IntoLine {
  readonly empty?: EmptyBehind;
  readonly least?: number;
}

/** A line that fills is followed so many times its filling, one that does not fill so long [s]. */
const fillingMargin = 1.1;
const longestFilling = 1;

export class Fillings {
  private primed:
    | {
        readonly opening: Motion;
        readonly built: BuiltLine;
        readonly figures: PrimingFigures | undefined;
      }
    | undefined;

  constructor(
    private readonly priming: PrimingSlots,
    private readonly plan: Plan,
    private readonly line: SurgeLine,
    private readonly sample: ValveSample,
    private readonly own: (slot: Slot) => number,
  ) {}

  /** At the end of the line while nothing burns there, at its level [Pa]; undefined where that is the back pressure. */
  unlitPressure(): number | undefined {
    const { unlit, isKnown } = this.priming;
    if (unlit === undefined || !isKnown) return undefined;
    return Math.min(this.sample.at(unlit.slot), this.back);
  }

  /** What the valve opens into while nothing burns there. */
  system(): InstalledSystem | undefined {
    const running = this.sample.runningSystem;
    const unlit = this.unlitPressure();
    if (running === undefined || unlit === undefined) return undefined;
    const head = running.backPressure - this.back;
    return { ...running, backPressure: (unlit + head) as InstalledSystem["backPressure"] };
  }

  private get back(): number {
    return this.sample.at(this.plan.slots.backPressure);
  }

  /** Once for each opening: the waves and the figures of priming take the same. */
  primingOf(built: BuiltLine, opening: Motion): PrimingFigures | undefined {
    if (this.primed?.opening !== opening || this.primed.built !== built)
      this.primed = { opening, built, figures: this.fillNow(built, opening) };
    return this.primed.figures;
  }

  private fillNow(built: BuiltLine, opening: Motion): PrimingFigures | undefined {
    const empty = this.emptyNow(built);
    return empty === undefined
      ? undefined
      : figuresOfPriming(this.priming, {
          sample: this.sample,
          line: this.line,
          built,
          empty,
          opening: openingOf(opening),
          duration: opening.end - opening.start,
        });
  }

  private emptyNow(built: BuiltLine): EmptyLine | undefined {
    return emptyLineOf(this.priming, {
      sample: this.sample,
      line: this.line,
      built,
      own: this.own,
    });
  }

  /** How an opening is followed: into the line behind the valve as it stands, until that is full. */
  into(built: BuiltLine, { behind }: ShortLine, opening: Motion): IntoLine {
    const line = this.emptyNow(built);
    if (line === undefined) return {};
    const time = this.primingOf(built, opening)?.filled.time ?? longestFilling;
    return { empty: { line, path: behind }, least: fillingMargin * time };
  }
}
