/**
 * Cooling of a few lumped parts by a coolant that runs past the wetted ones, one after the other:
 *
 *   dE_i/dt = -Q_i(T_i, h_i) + sum_j (T_j - T_i) / R_ij + (T_surroundings - T_i) / R_i,   E_i = m_i h(T_i)
 *   h_(i+1) = h_i + Q_i / flow
 *
 * The state is the enthalpy of each part, so that what the coolant takes, what the surroundings give and what
 * the parts lose add up to rounding, whatever the step. Temperatures inside a part are even.
 *
 * Stepped by ROS2, a Rosenbrock method of order 2 that keeps its order with any matrix in place of the
 * Jacobian, and is L-stable with the true one [verwer-1999, eq. 2.7]; here the coupling through the coolant is
 * left out of the matrix and a slope that would feed itself (transition boiling) counts as none.
 */
import type {
  Area,
  Energy,
  Length,
  Mass,
  MassFlow,
  SpecificEnergy,
  Temperature,
  Time,
} from "../../quantity/index.js";
import type { Coolant } from "./coolant.js";
import type { SolidHeat } from "./solidHeat.js";
import { type CorrelationFactors, WettedWall } from "./wettedWall.js";

/** One part with one temperature. */
export interface CoolingPart {
  readonly mass: Mass;
  readonly heat: SolidHeat;
  /** Specific heat over that of `heat` [-]. */
  readonly heatFactor: number;
  /** Wall in the coolant; absent for a part that the coolant does not reach. */
  readonly wetted?: { readonly area: Area; readonly passage: Length };
  /** Thermal resistance to the surroundings [K/W]. */
  readonly toSurroundings: number;
}

/** A path of heat between two parts, by their places in the list. */
export interface CoolingLink {
  readonly first: number;
  readonly second: number;
  /** Thermal resistance [K/W]. */
  readonly resistance: number;
}

/** What is cooled, and by what. Parts stand in the order in which the coolant passes them. */
export interface CoolDownCase {
  readonly parts: readonly CoolingPart[];
  readonly links: readonly CoolingLink[];
  readonly start: Temperature;
  readonly surroundings: Temperature;
  readonly coolant: Coolant;
  readonly flow: MassFlow;
  /** Enthalpy of the coolant as it arrives at the first part [J/kg]. */
  readonly admitted: SpecificEnergy;
  readonly factors: CorrelationFactors;
}

/** A moment of the cooling. The arrays are reused: copy what is to stay. */
export interface CoolDownMoment {
  readonly time: Time;
  readonly temperatures: Float64Array;
  /** Rates of change [K/s]. */
  readonly rates: Float64Array;
  /** Heat that the coolant has taken since the start. */
  readonly taken: Energy;
}

/** What went where until the end. */
export interface CoolDownEnd {
  readonly time: Time;
  readonly temperatures: Float64Array;
  /** Heat that the coolant took, that the surroundings gave, and that the parts lost. */
  readonly taken: Energy;
  readonly given: Energy;
  readonly lost: Energy;
  /** Whether the parts came to rest; false where the steps ran out. */
  readonly isSettled: boolean;
  readonly steps: number;
}

const GAMMA = 1 - Math.SQRT1_2;
/** Error of a step that is let pass, as a temperature of any part [K]; the histories are within half a kelvin. */
const STEP_ERROR = 0.5;
const FIRST_STEP = 0.1;
const MOST_GROWTH = 3;
/** No part moves further in a step, whatever the error: regimes of boiling are not jumped over [K]. */
const LONGEST_MOVE = 15;
/** The parts are at rest when none has further to go [K]. */
const REST = 0.5;
/** A step after which nothing is left to move [s]. */
const FOREVER = 1e15;
/** Beyond this rounding looks like a rate [s]. */
const LONG_TIME = 1e6;
const MOST_STEPS = 1000;

/**
 * Follows a cool-down until the parts are at rest.
 * @param at  is told the start and every step
 * @param stepError  see above; smaller for tests of convergence [K]
 */
export function coolDown(
  given: CoolDownCase,
  at: (moment: CoolDownMoment) => void = () => {},
  stepError: number = STEP_ERROR,
): CoolDownEnd {
  const run = new CoolDownRun(given);
  let step = FIRST_STEP;
  let steps = 0;
  run.evaluate();
  at(run);
  // The cheap look first: what moves by more in as long again, or in two weeks, is not at rest.
  const isAtRest = () => run.fastest() * Math.min(run.time, LONG_TIME) < REST && run.remaining() < REST;
  while (steps < MOST_STEPS && !isAtRest()) {
    steps += 1;
    run.attempt(step);
    const excess = Math.max(run.error / stepError, (run.move / LONGEST_MOVE) ** 2);
    const growth = Math.min(Math.max(0.85 / Math.sqrt(Math.max(excess, 1e-9)), 0.2), MOST_GROWTH);
    if (excess <= 1) {
      run.accept(step);
      run.evaluate();
      at(run);
    }
    step *= growth;
  }
  return {
    time: run.time,
    temperatures: run.temperatures.slice(),
    taken: run.taken,
    given: run.given,
    lost: run.lost(),
    isSettled: isAtRest(),
    steps,
  };
}

/** The state of a run with its work arrays. */
class CoolDownRun implements CoolDownMoment {
  time = 0 as Time;
  readonly temperatures: Float64Array;
  readonly rates: Float64Array;
  taken = 0 as Energy;
  given = 0 as Energy;
  /** Of the step last attempted: its error as a temperature and the furthest move of a part [K]. */
  error = 0;
  move = 0;
  private readonly n: number;
  private readonly walls: readonly (WettedWall | undefined)[];
  private readonly startEnergy: Float64Array;
  private readonly energy: Float64Array;
  private readonly trialTemperature: Float64Array;
  private readonly capacity: Float64Array;
  /** Slope of the heat to the coolant in the temperature of the part [W/K]. */
  private readonly slope: Float64Array;
  private readonly leak: Float64Array;
  /** Heat to the coolant [W], and net power of each part, at the start of the step and at the trial point. */
  private readonly cooling: readonly [Float64Array, Float64Array];
  private readonly power: readonly [Float64Array, Float64Array];
  private readonly k1: Float64Array;
  private readonly k2: Float64Array;
  private readonly matrix: Float64Array;
  private readonly conductance: Float64Array;

  constructor(private readonly model: CoolDownCase) {
    const { parts, links, coolant, flow, factors, start } = model;
    const n = parts.length;
    const row = () => new Float64Array(n);
    this.n = n;
    this.walls = parts.map(({ wetted }) =>
      wetted === undefined ? undefined : new WettedWall(coolant, flow, wetted.area, wetted.passage, factors),
    );
    this.temperatures = row().fill(start);
    this.rates = row();
    this.energy = Float64Array.from(parts, (part) => energyOf(part, start));
    this.startEnergy = this.energy.slice();
    this.trialTemperature = row();
    this.capacity = row();
    this.slope = row();
    this.leak = Float64Array.from(parts, ({ toSurroundings }) => 1 / toSurroundings);
    this.cooling = [row(), row()];
    this.power = [row(), row()];
    this.k1 = row();
    this.k2 = row();
    this.matrix = new Float64Array(n * n);
    this.conductance = new Float64Array(n * n);
    for (const { first, second, resistance } of links) {
      for (const [i, j] of [
        [first, second],
        [second, first],
      ] as const)
        this.conductance[i * n + j] = (this.conductance[i * n + j] ?? 0) + 1 / resistance;
    }
  }

  /** Powers, slopes and rates at the present state. */
  evaluate(): void {
    const { n, temperatures: T, model, rates, capacity } = this;
    this.powers(T, 0);
    const power = this.power[0];
    for (let i = 0; i < n; i++) {
      const part = model.parts[i];
      if (part === undefined) continue;
      const C = part.mass * part.heatFactor * part.heat.specificHeat((T[i] ?? Number.NaN) as Temperature);
      capacity[i] = C;
      rates[i] = (power[i] ?? Number.NaN) / C;
    }
  }

  /** Heat to the coolant and net power of each part; at the start of a step its slopes too. */
  private powers(T: Float64Array, stage: 0 | 1): void {
    const { n, conductance, leak, model, walls, slope } = this;
    const { flow, surroundings } = model;
    const power = this.power[stage];
    const cooling = this.cooling[stage];
    let h = model.admitted as number;
    for (let i = 0; i < n; i++) {
      const wall = walls[i];
      const Ti = T[i] ?? Number.NaN;
      const Q = wall === undefined ? 0 : wall.heat(Ti as Temperature, h as SpecificEnergy);
      if (stage === 0) slope[i] = wall === undefined ? 0 : wall.slope;
      h += Q / flow;
      cooling[i] = Q;
      let sum = (surroundings - Ti) * (leak[i] ?? 0) - Q;
      for (let j = 0; j < n; j++) sum += (conductance[i * n + j] ?? 0) * ((T[j] ?? Number.NaN) - Ti);
      power[i] = sum;
    }
  }

  /** One step without accepting it. */
  attempt(step: number): void {
    const { n, k1, k2, energy, trialTemperature, capacity, model } = this;
    this.factorise(step);
    k1.set(this.power[0]);
    this.solve(k1);
    for (let i = 0; i < n; i++) {
      const part = model.parts[i];
      if (part === undefined) continue;
      const E = (energy[i] ?? Number.NaN) + step * (k1[i] ?? Number.NaN);
      trialTemperature[i] = temperatureOf(part, E);
    }
    this.powers(trialTemperature, 1);
    const power = this.power[1];
    for (let i = 0; i < n; i++) k2[i] = (power[i] ?? Number.NaN) - 2 * (k1[i] ?? Number.NaN);
    this.solve(k2);
    let error = 0;
    let move = 0;
    for (let i = 0; i < n; i++) {
      const a = k1[i] ?? Number.NaN;
      const b = k2[i] ?? Number.NaN;
      const perKelvin = step / (capacity[i] ?? Number.NaN);
      error = Math.max(error, Math.abs(0.5 * (a + b)) * perKelvin);
      move = Math.max(move, Math.abs(1.5 * a + 0.5 * b) * perKelvin);
    }
    this.error = error;
    this.move = move;
  }

  /** Takes the step that was attempted. */
  accept(step: number): void {
    const { n, k1, k2, energy, capacity, slope, leak, model, temperatures, trialTemperature } = this;
    const { surroundings, parts } = model;
    let taken = 0;
    let given = 0;
    for (let i = 0; i < n; i++) {
      const a = k1[i] ?? Number.NaN;
      const b = k2[i] ?? Number.NaN;
      const perKelvin = GAMMA * step * (1 / (capacity[i] ?? Number.NaN));
      const s = slope[i] ?? 0;
      const g = leak[i] ?? 0;
      // The same two stages for the sums of heat, with their rows of the matrix.
      const q1 = (this.cooling[0][i] ?? 0) + s * perKelvin * a;
      const q2 = (this.cooling[1][i] ?? 0) - 2 * q1 + s * perKelvin * b;
      taken += step * (1.5 * q1 + 0.5 * q2);
      const g1 = (surroundings - (temperatures[i] ?? Number.NaN)) * g - g * perKelvin * a;
      const g2 = (surroundings - (trialTemperature[i] ?? Number.NaN)) * g - 2 * g1 - g * perKelvin * b;
      given += step * (1.5 * g1 + 0.5 * g2);
      energy[i] = (energy[i] ?? Number.NaN) + step * (1.5 * a + 0.5 * b);
    }
    for (let i = 0; i < n; i++) {
      const part = parts[i];
      if (part !== undefined) temperatures[i] = temperatureOf(part, energy[i] ?? Number.NaN);
    }
    this.time = (this.time + step) as Time;
    this.taken = (this.taken + taken) as Energy;
    this.given = (this.given + given) as Energy;
  }

  /** The fastest rate of any part [K/s]. */
  fastest(): number {
    let most = 0;
    for (const rate of this.rates) most = Math.max(most, Math.abs(rate));
    return most;
  }

  /** How far any part still has to go by the slopes of the present state [K]. */
  remaining(): number {
    const { n, k1, capacity } = this;
    this.factorise(FOREVER);
    k1.set(this.power[0]);
    this.solve(k1);
    let most = 0;
    for (let i = 0; i < n; i++)
      most = Math.max(most, (Math.abs(k1[i] ?? Number.NaN) * GAMMA * FOREVER) / (capacity[i] ?? Number.NaN));
    return most;
  }

  /** Heat that the parts have lost since the start [J]. */
  lost(): Energy {
    return this.startEnergy.reduce((sum, E, i) => sum + E - (this.energy[i] ?? Number.NaN), 0) as Energy;
  }

  /** I - gamma step A, A the slopes of the powers in the energies, decomposed in place. */
  private factorise(step: number): void {
    const { n, matrix: M, conductance, slope, leak, capacity } = this;
    for (let j = 0; j < n; j++) {
      const perEnergy = (GAMMA * step) / (capacity[j] ?? Number.NaN);
      let own = (slope[j] ?? 0) + (leak[j] ?? 0);
      for (let i = 0; i < n; i++) {
        if (i === j) continue;
        const G = conductance[i * n + j] ?? 0;
        own += G;
        M[i * n + j] = -G * perEnergy;
      }
      M[j * n + j] = 1 + own * perEnergy;
    }
    // Diagonally dominant by columns: no pivots are needed.
    for (let k = 0; k < n; k++) {
      const pivot = M[k * n + k] ?? Number.NaN;
      for (let i = k + 1; i < n; i++) {
        const lead = M[i * n + k] ?? 0;
        if (lead === 0) continue;
        const factor = lead / pivot;
        M[i * n + k] = factor;
        for (let j = k + 1; j < n; j++) M[i * n + j] = (M[i * n + j] ?? 0) - factor * (M[k * n + j] ?? 0);
      }
    }
  }

  private solve(b: Float64Array): void {
    const { n, matrix: M } = this;
    for (let i = 1; i < n; i++) {
      let sum = b[i] ?? Number.NaN;
      for (let j = 0; j < i; j++) sum -= (M[i * n + j] ?? 0) * (b[j] ?? 0);
      b[i] = sum;
    }
    for (let i = n - 1; i >= 0; i--) {
      let sum = b[i] ?? Number.NaN;
      for (let j = i + 1; j < n; j++) sum -= (M[i * n + j] ?? 0) * (b[j] ?? 0);
      b[i] = sum / (M[i * n + i] ?? Number.NaN);
    }
  }
}

function energyOf({ mass, heat, heatFactor }: CoolingPart, T: Temperature): number {
  return mass * heatFactor * heat.enthalpy(T);
}

function temperatureOf({ mass, heat, heatFactor }: CoolingPart, energy: number): Temperature {
  return heat.temperature((energy / (mass * heatFactor)) as SpecificEnergy);
}
