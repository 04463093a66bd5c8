/**
 * The driver of the compliant train's motor: full voltage until its current limit, the limit held by chopping
 * as long as the voltage could drive more, or a current led to what a controller wants. Dead, it passes none.
 */
import type { ChainEquations } from "./chain.js";

/** A current this share beyond its limit has passed it; less is rounding. */
const limitMargin = 1e-9;

export class ChainDriver {
  private kind: "dead" | "full" | "limiting" | "led" = "dead";
  private readonly limit: number;
  /** Motor speed above which the voltage cannot drive the limit [rad/s]. */
  private readonly freeSpeed: number;

  /** @param sense of the stroke, and of the voltage under full drive */
  constructor(
    private readonly equations: ChainEquations,
    readonly sense: 1 | -1,
  ) {
    const { openCircuitVoltage, resistance, supplyResistance, currentLimit, torqueConstant } =
      equations.train;
    this.limit = sense * currentLimit;
    this.freeSpeed =
      (sense * (openCircuitVoltage - (resistance + supplyResistance) * currentLimit)) / torqueConstant;
    equations.setElectrical({ kind: "held" });
  }

  driveFully(): void {
    this.kind = "full";
    this.equations.setElectrical({ kind: "voltage", sense: this.sense });
  }

  /** Leads the current to a value within the limit, with a lag [s]. */
  lead(current: number, lag: number): void {
    const { currentLimit } = this.equations.train;
    const wanted = Math.min(Math.max(current, -currentLimit), currentLimit);
    this.kind = "led";
    this.equations.setElectrical({ kind: "led", current: wanted, lag });
  }

  /** Whether the battery sees the motor directly, without chopping. */
  get isFull(): boolean {
    return this.kind === "full";
  }

  get isDead(): boolean {
    return this.kind === "dead";
  }

  /** Above zero where the driver is to change what it does by itself. @param y state of the train */
  change(y: Float64Array): number {
    const { equations, sense } = this;
    if (this.kind === "full")
      return sense * ((y[equations.current] as number) - this.limit * (1 + limitMargin));
    if (this.kind === "limiting") return sense * ((y[equations.bodies] as number) - this.freeSpeed);
    return -1;
  }

  /** Changes from full voltage to the held limit or back; writes the current that is exact now. */
  changeOver(y: Float64Array): void {
    y[this.equations.current] = this.limit;
    if (this.kind === "full") this.hold();
    else this.driveFully();
  }

  /** Holds the limit by chopping. */
  hold(): void {
    this.kind = "limiting";
    this.equations.setElectrical({ kind: "held" });
  }
}
