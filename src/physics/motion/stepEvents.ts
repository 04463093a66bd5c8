/** The first thing that happens inside an integration step: what ends the motion as it is. */
import type { Driver } from "./driver.js";
import type { SlipStep } from "./slip.js";
import { END, type SlipEquations } from "./slipEquations.js";
import { ANGLE, along, crossing, SPEED, states, turn } from "./stepPath.js";

/**
 * none    the step runs to its end
 * stop    an end stop is met
 * rest    the speed vanishes
 * driver  the driver changes what it does by itself
 * regime  the gears change regime
 */
export type StepEvent = "none" | "stop" | "rest" | "driver" | "regime";

/** Halvings in the search for a change of regime. */
const regimeBisections = 40;

export class StepEvents {
  /** What came first in the last step, and at which share of it. */
  event: StepEvent = "none";
  share = 1;

  /** @param travel angle of the open stop [rad] */
  constructor(
    private readonly equations: SlipEquations,
    private readonly step: SlipStep,
    private readonly driver: Driver,
    private readonly travel: number,
  ) {}

  /** Finds the first event of the step just made in a direction, and puts END where it happens. */
  find(direction: 1 | -1): void {
    const { equations, step } = this;
    const { path } = step;
    this.share = 1;
    this.event = "none";
    this.consider(restIn(path, direction), "rest");
    this.consider(this.driver.changeIn(path), "driver");
    this.meetStopBy(path, direction);
    step.probe(END, this.share);
    if (equations.regimeLead(END) >= 0) return;
    this.share *= this.regimeChange(this.share);
    this.event = "regime";
    step.probe(END, this.share);
  }

  /** A stop within what is used of the step: it may lie before a turn, so that the step's end is short of it again. */
  private meetStopBy(path: Float64Array, direction: 1 | -1): void {
    const stop = direction > 0 ? this.travel : 0;
    const { share } = this;
    const reached = share === 1 ? (path[states + ANGLE] as number) : along(path, ANGLE, share);
    if (direction * (reached - stop) < 0) return;
    this.share = crossing(path, ANGLE, stop, share);
    this.event = "stop";
  }

  private consider(share: number, event: StepEvent): void {
    if (share > this.share || (share === this.share && this.event !== "none")) return;
    this.share = share;
    this.event = event;
  }

  /** Share of the used part of the step at which the other regime comes to hold. */
  private regimeChange(used: number): number {
    let low = 0;
    let high = 1;
    for (let n = 0; n < regimeBisections; n++) {
      const middle = 0.5 * (low + high);
      this.step.probe(END, middle * used);
      if (this.equations.regimeLead(END) >= 0) low = middle;
      else high = middle;
    }
    return high;
  }
}

/** Share of a step at which the speed vanishes, also where it would pass zero and return; 2 if it does not. */
function restIn(path: Float64Array, direction: 1 | -1): number {
  if (direction * (path[states + SPEED] as number) < 0) return crossing(path, SPEED, 0);
  // A ball that has just broken away starts with neither speed nor acceleration: its path may seem to dip.
  if ((path[SPEED] as number) === 0) return 2;
  const slowest = turn(path, SPEED, direction > 0 ? -1 : 1);
  return slowest < 1 && direction * along(path, SPEED, slowest) < 0 ? crossing(path, SPEED, 0, slowest) : 2;
}
