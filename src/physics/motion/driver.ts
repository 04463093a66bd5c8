/**
 * The motor driver: full voltage until its current limit, the limit held by chopping as long as the
 * voltage could drive more, or a current led to what a controller wants. Dead, it passes no current.
 */
import { ledCurrent, type RestCurrent, steadyCurrent } from "./restCurrent.js";
import type { SlipEquations } from "./slipEquations.js";
import { along, CURRENT, crossing, SPEED, states, turn } from "./stepPath.js";
import type { RigidTrain } from "./train.js";

/** A current this share beyond its limit has passed it; less is rounding. */
const limitMargin = 1e-9;
/** A speed found as that at which the voltage comes free may lie this share of the no-load speed below it. */
const speedRounding = 1e-12;

type Holding =
  | { readonly kind: "dead" }
  | { readonly kind: "full" }
  | { readonly kind: "limiting" }
  | { readonly kind: "led"; readonly current: number; readonly lag: number };

export class Driver {
  private holding: Holding = { kind: "dead" };
  private readonly resistance: number;
  /** Signed limit of the current, and the speed above which the voltage cannot drive it [A], [rad/s]. */
  private readonly limit: number;
  private readonly freeSpeed: number;
  private readonly speedMargin: number;

  /** @param sense of the stroke, and of the voltage under full drive */
  constructor(
    private readonly train: RigidTrain,
    private readonly equations: SlipEquations,
    private readonly sense: 1 | -1,
  ) {
    this.resistance = train.resistance + train.supplyResistance;
    this.limit = sense * train.currentLimit;
    this.freeSpeed =
      (sense * (train.openCircuitVoltage - this.resistance * train.currentLimit)) /
      (train.torqueConstant * train.ratio);
    this.speedMargin = (speedRounding * train.openCircuitVoltage) / (train.torqueConstant * train.ratio);
    equations.setElectrical({ kind: "held", current: 0 });
  }

  /** Applies the full voltage. */
  driveFully(): void {
    this.holding = { kind: "full" };
    this.equations.setElectrical({ kind: "voltage", sense: this.sense });
  }

  /** Leads the current to a value within the limit, with a lag [s]. */
  lead(current: number, lag: number): void {
    const { currentLimit } = this.train;
    const wanted = Math.min(Math.max(current, -currentLimit), currentLimit);
    this.holding = { kind: "led", current: wanted, lag };
    this.equations.setElectrical(this.holding);
  }

  /** Whether the battery sees the motor directly, without chopping. */
  get isFull(): boolean {
    return this.holding.kind === "full";
  }

  /** The current from now on while the ball rests. @param current now [A] */
  atRest(current: number): RestCurrent {
    const { train, holding, resistance } = this;
    if (holding.kind === "led")
      return ledCurrent(
        current,
        holding.current,
        holding.lag,
        train.openCircuitVoltage,
        resistance,
        train.inductance,
      );
    if (holding.kind !== "full") return steadyCurrent(current);
    const asymptote = (this.sense * train.openCircuitVoltage) / resistance;
    const meetsLimit = this.sense * (asymptote - this.limit) > 0;
    const isPast = this.sense * (current - this.limit) > 0;
    return {
      asymptote,
      timeConstant: train.inductance / resistance,
      ends: meetsLimit ? (isPast ? current : this.limit) : Number.NaN,
    };
  }

  /** Share of a step at which the driver changes what it does by itself; 2 if it does not. */
  changeIn(path: Float64Array): number {
    if (this.holding.kind === "full") return this.limitIn(path);
    if (this.holding.kind !== "limiting") return 2;
    const isFree = this.sense * ((path[states + SPEED] as number) - this.freeSpeed) > 0;
    return isFree ? crossing(path, SPEED, this.freeSpeed) : 2;
  }

  /** The speed has jumped at a stop: the limit may be beyond what the voltage can drive now. */
  meetsSpeed(speed: number): void {
    if (this.holding.kind === "limiting" && this.sense * (speed - this.freeSpeed) > 0) this.driveFully();
  }

  private limitIn(path: Float64Array): number {
    const { sense, limit, freeSpeed, speedMargin } = this;
    const past = sense * limit * (1 + limitMargin);
    const endsPast = sense * (path[states + CURRENT] as number) > past;
    // The slope of the path at its start is only as good as the step: a current that leaves its limit
    // may seem to rise first. What it does at its start is known from the speed.
    if ((path[CURRENT] as number) === limit && sense * ((path[SPEED] as number) - freeSpeed) >= -speedMargin)
      return endsPast ? this.returnIn(path) : 2;
    if (endsPast) return crossing(path, CURRENT, limit);
    const peak = turn(path, CURRENT, sense);
    return peak < 1 && sense * along(path, CURRENT, peak) > past ? crossing(path, CURRENT, limit, peak) : 2;
  }

  /** Share at which a current that left its limit at speed is back on it: after the speed has fallen to where the voltage can hold it. */
  private returnIn(path: Float64Array): number {
    const { sense, limit, freeSpeed } = this;
    if (sense * ((path[states + SPEED] as number) - freeSpeed) >= 0) return 1;
    return crossing(path, CURRENT, limit, 1, crossing(path, SPEED, freeSpeed));
  }

  /** Changes from full voltage to the held limit or back; returns the current that is exact now [A]. */
  change(): number {
    if (this.holding.kind === "full") {
      this.holding = { kind: "limiting" };
      this.equations.setElectrical({ kind: "held", current: this.limit });
    } else {
      this.driveFully();
    }
    return this.limit;
  }
}
