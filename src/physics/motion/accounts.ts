/**
 * Keeps the energy accounts of a stroke beside its motion.
 *
 * At rest the integrals have closed forms. In motion each power is integrated over a step by
 * Simpson's rule on the step's own path; the kinetic and magnetic energies are taken from the states,
 * so that the residual holds the integration's error against them.
 */
import { closeLedger, type EnergyLedger, entry } from "./ledger.js";
import { currentAfter, type RestCurrent } from "./restCurrent.js";
import { END, MIDDLE, type Point, type SlipEquations, START } from "./slipEquations.js";
import { along, CURRENT, turn } from "./stepPath.js";
import { batteryCurrent } from "./supply.js";
import type { Regime, RigidTrain } from "./train.js";

export class Accounts {
  private greatestBattery = 0;
  private readonly motorInertia: number;

  constructor(
    private readonly train: RigidTrain,
    private readonly equations: SlipEquations,
    private readonly sense: 1 | -1,
    /** One number for each of `ledgerEntries`. */
    private readonly sums: Float64Array,
  ) {
    sums.fill(0);
    this.motorInertia = train.lossless.inertia;
  }

  /** Greatest battery current so far [A]. */
  get peakBatteryCurrent(): number {
    return this.greatestBattery;
  }

  /** Kinetic energy of the whole train at a stem speed [J]. */
  kineticEnergy(speed: number): number {
    return 0.5 * this.motorInertia * this.train.ratio * speed * speed;
  }

  /** A stretch of rest. @param isFull whether the battery feeds the motor directly */
  rest(piece: RestCurrent, i0: number, duration: number, isFull: boolean): void {
    if (duration <= 0) return;
    const { train } = this;
    const { asymptote, timeConstant } = piece;
    const i1 = currentAfter(piece, i0, duration);
    const swing = i0 - asymptote;
    const decay = Math.exp(-duration / timeConstant);
    const square =
      asymptote * asymptote * duration +
      2 * asymptote * swing * timeConstant * (1 - decay) +
      0.5 * swing * swing * timeConstant * (1 - decay * decay);
    const copper = train.resistance * square;
    this.add(entry.copper, copper);
    if (isFull) {
      const charge = this.sense * (asymptote * duration + swing * timeConstant * (1 - decay));
      this.add(entry.supplied, train.openCircuitVoltage * charge);
      this.add(entry.supply, train.supplyResistance * square);
      this.noteBattery(Math.max(this.sense * i0, this.sense * i1));
      return;
    }
    // Chopped: the battery at the mean power of the stretch.
    const magnetic = 0.5 * train.inductance * (i1 * i1 - i0 * i0);
    const battery = batteryCurrent(
      train.openCircuitVoltage,
      train.supplyResistance,
      (copper + magnetic) / duration,
    );
    this.add(entry.supplied, train.openCircuitVoltage * battery * duration);
    this.add(entry.supply, train.supplyResistance * battery * battery * duration);
    this.noteBattery(battery);
  }

  /**
   * A step in motion, over the three points of the equations.
   * @param path of the step, of which `share` was used;  @param isFull as above
   */
  slip(
    duration: number,
    regime: Regime,
    direction: 1 | -1,
    isFull: boolean,
    path: Float64Array,
    share: number,
  ): void {
    const { equations, sense } = this;
    if (isFull) {
      const greatest = turn(path, CURRENT, sense);
      if (greatest < share) this.noteBattery(sense * along(path, CURRENT, greatest));
    }
    this.powers(START, duration / 6, regime, direction, isFull);
    this.powers(MIDDLE, (4 * duration) / 6, regime, direction, isFull);
    this.powers(END, duration / 6, regime, direction, isFull);
    this.add(
      entry.kinetic,
      this.kineticEnergy(equations.speedAt(END)) - this.kineticEnergy(equations.speedAt(START)),
    );
  }

  private powers(point: Point, weight: number, regime: Regime, direction: 1 | -1, isFull: boolean): void {
    const { train, equations, sums } = this;
    const w = equations.speedAt(point);
    const i = equations.currentAt(point);
    const friction = equations.frictionAt(point);
    const fluid = equations.fluidTorqueAt(point);
    const acceleration = equations.accelerationAt(point);
    const motorSpeed = train.ratio * w;
    const copper = train.resistance * i * i;
    let battery = this.sense * i;
    if (!isFull) {
      const magnetic = train.inductance * i * equations.currentRateAt(point);
      const power = copper + train.torqueConstant * motorSpeed * i + magnetic;
      battery = batteryCurrent(train.openCircuitVoltage, train.supplyResistance, power);
    }
    this.noteBattery(battery);
    const motorFriction = direction * train.motorFriction;
    // What the gears take: the motor torque this regime asks for less what lossless gears would.
    const gears =
      (regime.inertia - train.lossless.inertia) * acceleration +
      direction * regime.friction -
      motorFriction +
      (regime.loadShare - train.lossless.loadShare) * (direction * friction + fluid + train.damping * w);
    const add = (index: number, power: number) => {
      sums[index] = (sums[index] as number) + weight * power;
    };
    add(entry.supplied, train.openCircuitVoltage * battery);
    add(entry.supply, train.supplyResistance * battery * battery);
    add(entry.copper, copper);
    add(entry.motor, (train.motorDamping * motorSpeed + motorFriction) * motorSpeed);
    add(entry.gears, gears * motorSpeed);
    add(entry.friction, direction * friction * w);
    add(entry.damping, train.damping * w * w);
    add(entry.fluid, fluid * w);
  }

  /** A change of speed at one instant, its energy taken by the end stop. */
  impact(before: number, after: number): void {
    const taken = this.kineticEnergy(before) - this.kineticEnergy(after);
    this.add(entry.stop, taken);
    this.add(entry.kinetic, -taken);
  }

  /** Sets to rest a speed that is zero but for rounding. */
  stand(speed: number): void {
    this.add(entry.kinetic, -this.kineticEnergy(speed));
  }

  /** Closes the books. @param current in the winding at the end [A] */
  close(current: number): EnergyLedger {
    this.add(entry.magnetic, 0.5 * this.train.inductance * current * current);
    return closeLedger(this.sums);
  }

  private add(index: number, energy: number): void {
    this.sums[index] = (this.sums[index] as number) + energy;
  }

  private noteBattery(current: number): void {
    if (current > this.greatestBattery) this.greatestBattery = current;
  }
}
