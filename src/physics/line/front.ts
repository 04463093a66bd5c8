/**
 * A front of liquid that runs from the valve into empty pipes, with gas ahead of it: how far it stands, what the column
 * behind it weighs and loses, and what the gas does.
 *
 *   I(x) = sum L/A,   z(x),   R(x) + 1/(2 rho A(x)^2)   of the liquid between valve and front, x its volume
 *   dp_g/dt = n p_g/(V - x) (W/rho - m/rho_g),   rho_g = p_g/(R_g T_g),   T_g = T_0 (p_g/p_0)^((n-1)/n)
 *
 * with A(x) the cross-section at the front, and m what the outlet's holes let out, as a nozzle: those whose loss for liquid
 * is that of the outlet. The front leaves no gas behind.
 *
 * Source  rigid column: [wylie-streeter-1993, ch. 6]; priming: [nasa-sp-8123], from memory; nozzle: [shapiro-1953]
 */
import { type Density, type Pressure, requirePositive, standardGravity } from "../../quantity/index.js";

/** A pipe that fills. */
export interface EmptyPipe {
  /** [m], [m2], and dp = R W^2 when full [Pa/(kg/s)^2]. */
  readonly length: number;
  readonly area: number;
  readonly resistance: number;
  /** Height of its end over its start; left out: level [m]. */
  readonly rise?: number;
}

/** The gas ahead of the front. */
export interface GasAhead {
  readonly pressure: Pressure;
  /** Specific gas constant [J/(kg K)] and temperature [K] at that pressure. */
  readonly gasConstant: number;
  readonly temperature: number;
  /** Exponent of its compression, from 1 to the ratio of heat capacities [-]. */
  readonly exponent: number;
  /** Ratio of heat capacities, for the nozzle [-]. */
  readonly heatRatio: number;
}

/** The empty line behind the valve. */
export interface EmptyLine {
  /** From the valve on. */
  readonly pipes: readonly EmptyPipe[];
  readonly gas: GasAhead;
  /** Pressure behind the outlet [Pa], and its loss for liquid [Pa/(kg/s)^2]; infinite for a dead end. */
  readonly backPressure: Pressure;
  readonly outletResistance: number;
  readonly density: Density;
}

/** Share of the volume at which the front counts as arrived [-]. */
const arrived = 2e-3;
/** Of what is left, the gas is followed in strides of this share [-]. */
const stride = 0.2;

export class Front {
  /** Volume of liquid behind the front, and of the whole line [m3]. */
  x = 0;
  readonly volume: number;
  /** Of the gas, now and at most [Pa]. */
  pressure: number;
  highest: number;
  /** Of the column at the last `look`: I [1/m], R with the velocity head [Pa/(kg/s)^2], rho g z [Pa]. */
  inertance = 0;
  resistance = 0;
  head = 0;
  private readonly holes: number;

  /** Refuses pipes without volume, a gas without pressure. */
  constructor(readonly line: EmptyLine) {
    const { pipes, gas, density, outletResistance } = line;
    this.volume = pipes.reduce((sum, { length, area }) => sum + length * area, 0);
    requirePositive(this.volume, "volume to fill", "volume", "A front needs room.");
    requirePositive(
      gas.pressure,
      "pressure of the gas ahead",
      "pressure",
      "Without gas it is that of the vapour.",
    );
    this.holes = Number.isFinite(outletResistance) ? 1 / Math.sqrt(2 * density * outletResistance) : 0;
    this.pressure = gas.pressure;
    this.highest = gas.pressure;
  }

  get isFull(): boolean {
    return this.x >= this.volume * (1 - arrived);
  }

  /** Temperature of the gas at a pressure [K]. */
  temperatureAt(p: number): number {
    const { temperature, pressure, exponent } = this.line.gas;
    return temperature * (p / pressure) ** ((exponent - 1) / exponent);
  }

  /** Inertance, resistance and weight of the column up to a volume. */
  look(x: number): void {
    const { pipes, density: rho } = this.line;
    let I = 0;
    let R = 0;
    let area = pipes[0]?.area ?? Number.NaN;
    let height = 0;
    let before = 0;
    for (const pipe of pipes) {
      const own = pipe.length * pipe.area;
      const share = Math.min(Math.max((x - before) / own, 0), 1);
      I += (share * pipe.length) / pipe.area;
      R += share * pipe.resistance;
      height += share * (pipe.rise ?? 0);
      if (x >= before) area = pipe.area;
      before += own;
    }
    this.inertance = I;
    this.resistance = R + 1 / (2 * rho * area * area);
    this.head = rho * standardGravity.value * height;
  }

  /** Moves the front on: the gas is compressed by it, then let out through the holes. @param by [m3];  @param h [s] */
  advance(by: number, h: number): void {
    const { gas, backPressure } = this.line;
    const strides = Math.max(
      1,
      Math.ceil(by / (stride * Math.max(this.volume - this.x, arrived * this.volume))),
    );
    const step = h / strides;
    for (let n = 0; n < strides && !this.isFull; n++) {
      const left = this.volume - this.x;
      this.x = Math.min(this.x + by / strides, this.volume);
      const remaining = Math.max(this.volume - this.x, arrived * this.volume);
      let p = this.pressure * (left / remaining) ** gas.exponent;
      this.highest = Math.max(this.highest, p);
      const T = this.temperatureAt(p);
      const out = nozzleFlow(p, T, backPressure, gas, this.holes);
      const share = (out * gas.gasConstant * T * step) / (p * remaining);
      const least = Math.min(p, backPressure);
      p = Math.max(p * Math.exp(-gas.exponent * share), least);
      this.pressure = p;
    }
  }
}

/** Above this pressure ratio no gas chokes: the critical one of k = 1, exp(-1/2), is the highest [-]. */
const highestCritical = 0.607;

/**
 * Mass flow of a perfect gas through holes, choked where p_b/p is below (2/(k+1))^(k/(k-1)); none backwards.
 * Source  [shapiro-1953, ch. 4]
 */
export function nozzleFlow(
  p: number,
  T: number,
  back: number,
  { gasConstant: R, heatRatio: k }: GasAhead,
  CdA: number,
): number {
  if (!(p > back) || CdA <= 0) return 0;
  const ratio = back / p;
  const r = ratio > highestCritical ? ratio : Math.max(ratio, (2 / (k + 1)) ** (k / (k - 1)));
  // r^(2/k) - r^((k+1)/k)
  const u = r ** (1 / k);
  return CdA * p * Math.sqrt(((2 * k) / ((k - 1) * R * T)) * u * (u - r));
}
