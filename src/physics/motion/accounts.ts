/**
 * Keeps the energy accounts of a stroke beside its motion.
 *
 * At rest the integrals have closed forms. In motion each power is integrated over a step by
 * Simpson's rule on the step's own path; the kinetic and magnetic energies are taken from the states,
 * so that the residual holds the integration's error against them.
 */
import { closeLedger, type EnergyLedger, entry } from "./ledger.js";
import { currentAfter, type RestCurrent } from "./restCurrent.js";
import { END, type Point, pointWidth, type SlipEquations, START } from "./slipEquations.js";
import { along, CURRENT, turn } from "./stepPath.js";
import { batteryCurrent } from "./supply.js";
import type { Regime, RigidTrain } from "./train.js";

/** Simpson's weights at the start, the middle and the end of a step. */
const simpson = [1 / 6, 4 / 6, 1 / 6] as const;

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
    this.powers(duration, regime, direction, isFull);
    this.add(
      entry.kinetic,
      this.kineticEnergy(equations.speedAt(END)) - this.kineticEnergy(equations.speedAt(START)),
    );
  }

  /** Adds the work of every power over a step, from its values at the three points. */
  private powers(duration: number, regime: Regime, direction: 1 | -1, isFull: boolean): void {
    const { train, equations, sense } = this;
    const { openCircuitVoltage, supplyResistance, resistance, ratio, lossless } = train;
    const motorFriction = direction * train.motorFriction;
    // What the gears take: the motor torque this regime asks for less what lossless gears would.
    const gearInertia = regime.inertia - lossless.inertia;
    const gearFriction = direction * regime.friction - motorFriction;
    const gearLoad = regime.loadShare - lossless.loadShare;
    let charge = 0;
    let batterySquare = 0;
    let copperHeat = 0;
    let motorWork = 0;
    let gearWork = 0;
    let frictionWork = 0;
    let speedSquare = 0;
    let fluidWork = 0;
    for (let k = 0; k < simpson.length; k++) {
      const point = (k * pointWidth) as Point;
      const weight = (simpson[k] as number) * duration;
      const w = equations.speedAt(point);
      const i = equations.currentAt(point);
      const friction = direction * equations.frictionAt(point);
      const fluid = equations.fluidTorqueAt(point);
      const motorSpeed = ratio * w;
      const copper = resistance * i * i;
      let battery = sense * i;
      if (!isFull) {
        const magnetic = train.inductance * i * equations.currentRateAt(point);
        const power = copper + train.torqueConstant * motorSpeed * i + magnetic;
        battery = batteryCurrent(openCircuitVoltage, supplyResistance, power);
      }
      this.noteBattery(battery);
      const gears =
        gearInertia * equations.accelerationAt(point) +
        gearFriction +
        gearLoad * (friction + fluid + train.damping * w);
      charge += weight * battery;
      batterySquare += weight * battery * battery;
      copperHeat += weight * copper;
      motorWork += weight * (train.motorDamping * motorSpeed + motorFriction) * motorSpeed;
      gearWork += weight * gears * motorSpeed;
      frictionWork += weight * friction * w;
      speedSquare += weight * w * w;
      fluidWork += weight * fluid * w;
    }
    this.add(entry.supplied, openCircuitVoltage * charge);
    this.add(entry.supply, supplyResistance * batterySquare);
    this.add(entry.copper, copperHeat);
    this.add(entry.motor, motorWork);
    this.add(entry.gears, gearWork);
    this.add(entry.friction, frictionWork);
    this.add(entry.damping, train.damping * speedSquare);
    this.add(entry.fluid, fluidWork);
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
