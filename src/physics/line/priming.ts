/**
 * A line behind the valve that stands empty and fills: a front of liquid with gas ahead of it, and its stop.
 *
 * The liquid between source and front is a rigid column; W its mass flow, x the volume behind the front:
 *
 *   I(x) dW/dt = p_s - p_g - rho g z(x) - R_u W^2 - W^2/(rho C(t)^2) - R(x) W^2 - W^2 / (2 rho A(x)^2),   rho dx/dt = W
 *   dp_g/dt = n p_g/(V - x) (W/rho - m/rho_g),   rho_g = p_g/(R_g T_g),   T_g = T_0 (p_g/p_0)^((n-1)/n)
 *
 * with z(x) the height of the front over the valve, p_s counted at its level, I(x) = sum L/A of all liquid, A(x) the cross-section at the front, and m what the outlet's holes let out, as a
 * nozzle. The front leaves no gas behind. Where it has filled the line, the outlet passes liquid, and the wave that
 * stops the rest of the flow is that of the last pipe, p = p_g + B (W - W_out), W_out^2 = (p - p_b)/R_out.
 *
 * Source  rigid column: [wylie-streeter-1993, ch. 6]; priming: [nasa-sp-8123], from memory; nozzle: [shapiro-1953]
 */
import {
  type Density,
  type Pressure,
  requireNotNegative,
  requirePositive,
  standardGravity,
  type Time,
} from "../../quantity/index.js";

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

/** A filling. */
export interface Filling {
  readonly supplyPressure: Pressure;
  /** Between source and valve: sum L/A [1/m] and dp = R W^2 [Pa/(kg/s)^2]. */
  readonly inertance: number;
  readonly resistance: number;
  readonly density: Density;
  /** FF pv of a choked valve [Pa]. */
  readonly chokingPressure: Pressure;
  /** Opening of the valve against time: C [m2] and FL [-]. */
  readonly opening: (t: number) => { readonly coefficient: number; readonly recovery: number };
  /** From the valve on. */
  readonly pipes: readonly EmptyPipe[];
  readonly gas: GasAhead;
  /** Pressure behind the outlet [Pa], and its loss for liquid [Pa/(kg/s)^2]; infinite for a dead end. */
  readonly backPressure: Pressure;
  readonly outletResistance: number;
  /** B = a/A of the last pipe [Pa s/kg]. */
  readonly impedance: number;
}

/** What filling does. */
export interface Filled {
  /** From the start of the motion until liquid stands at the outlet; undefined where gas holds it off. */
  readonly time: Time | undefined;
  /** Speed of the front as it is stopped [m/s]. */
  readonly frontSpeed: number;
  /** Highest of the gas, and its temperature then [Pa], [K]. */
  readonly gasPressure: number;
  readonly gasTemperature: number;
  /** As the front is stopped, by the wave of the last pipe; and had it been a dead end [Pa]. */
  readonly stopPressure: number;
  readonly deadEndPressure: number;
}

/** Share of the volume at which the front counts as arrived [-]. */
const arrived = 2e-3;
/** Step as a share of what is left to fill at the present flow, and its bounds [s]. */
const stepShare = 0.05;
const longestStep = 2e-3;
const shortestStep = 1e-8;
const mostSteps = 50_000;

/**
 * Follows the front from the valve to the outlet.
 * @param until  as long as it is followed [s]
 * Refuses       pipes without volume, a gas without pressure
 * Valid for     liquid that does not flash; a front that fills the bore; elasticity only in its stop
 */
export function fill(filling: Filling, until: number): Filled {
  const { gas, pipes, density: rho } = filling;
  const volume = pipes.reduce((sum, { length, area }) => sum + length * area, 0);
  requirePositive(volume, "volume to fill", "volume", "A front needs room.");
  requirePositive(
    gas.pressure,
    "pressure of the gas ahead",
    "pressure",
    "Without gas it is that of the vapour.",
  );
  requireNotNegative(filling.inertance, "inertance", "number", "It is length over area.");
  const holes = Number.isFinite(filling.outletResistance)
    ? 1 / Math.sqrt(2 * rho * filling.outletResistance)
    : 0;
  let t = 0;
  let x = 0;
  let W = 0;
  let p: number = gas.pressure;
  let highest = p;
  for (let n = 0; n < mostSteps && t < until && x < volume * (1 - arrived); n++) {
    const left = volume - x;
    const wanted = W > 0 ? (stepShare * left * rho) / W : longestStep;
    const h = Math.min(Math.max(wanted, shortestStep), longestStep);
    const { inertance, resistance, head, shut } = columnAt(filling, t + h / 2, x + (W * h) / (2 * rho));
    const before = W;
    W = shut ? 0 : nextFlow(W, filling.supplyPressure - p - head, resistance, inertance, h);
    W = Math.min(W, mostThrough(filling, t + h, W));
    x = Math.min(x + (h * (before + W)) / (2 * rho), volume);
    const remaining = Math.max(volume - x, arrived * volume);
    // Compressed by the front, then let out through the holes.
    p *= (left / remaining) ** gas.exponent;
    highest = Math.max(highest, p);
    const T = gas.temperature * (p / gas.pressure) ** ((gas.exponent - 1) / gas.exponent);
    const out = nozzleFlow(p, T, filling.backPressure, gas, holes);
    const share = (out * gas.gasConstant * T * h) / (p * remaining);
    const least = Math.min(p, filling.backPressure);
    p = Math.max(p * Math.exp(-gas.exponent * share), least);
    t += h;
  }
  const isFull = x >= volume * (1 - arrived);
  const area = pipes.at(-1)?.area ?? Number.NaN;
  const { impedance: B, outletResistance: R, backPressure } = filling;
  const dead = p + B * W;
  // W_out + (p - p_g)/B = W with p - p_b = R W_out^2.
  const difference = dead - backPressure;
  const out =
    Number.isFinite(R) && difference > 0 ? (2 * difference) / (B + Math.sqrt(B * B + 4 * R * difference)) : 0;
  return {
    time: isFull ? (t as Time) : undefined,
    frontSpeed: isFull ? W / (rho * area) : 0,
    gasPressure: highest,
    gasTemperature: gas.temperature * (highest / gas.pressure) ** ((gas.exponent - 1) / gas.exponent),
    stopPressure: isFull ? dead - B * Math.min(out, W) : highest,
    deadEndPressure: isFull ? dead : highest,
  };
}

/** Highest flow that a choking valve lets through [kg/s]. */
function mostThrough(
  { opening, supplyPressure, resistance, density, chokingPressure }: Filling,
  t: number,
  W: number,
): number {
  const { coefficient, recovery } = opening(t);
  const p1 = supplyPressure - resistance * W * W;
  return coefficient * recovery * Math.sqrt(Math.max(density * (p1 - chokingPressure), 0));
}

/** Inertance and resistance of the column of liquid, the velocity head of its front and the valve with it, and its weight. */
function columnAt({ pipes, density: rho, inertance, resistance, opening }: Filling, t: number, x: number) {
  const { coefficient: C } = opening(t);
  let I = inertance;
  let R = resistance;
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
  return {
    inertance: Math.max(I, leastInertance),
    resistance: R + 1 / (2 * rho * area * area) + (C > 0 ? 1 / (rho * C * C) : 0),
    head: rho * standardGravity.value * height,
    shut: C <= 0,
  };
}

/**
 * I dW/dt = P - R W^2 over a step with P, R and I held, exact for P > 0; for P <= 0 implicit, and not below zero.
 */
function nextFlow(W: number, P: number, R: number, I: number, h: number): number {
  if (P > 0) {
    const steady = Math.sqrt(P / R);
    const turned = Math.tanh((h * Math.sqrt(P * R)) / I);
    return (steady * (W + steady * turned)) / (steady + W * turned);
  }
  const b = W + (h * P) / I;
  return b <= 0 ? 0 : (2 * b) / (1 + Math.sqrt(1 + (4 * h * R * b) / I));
}

/** A column without length has at least this [1/m]. */
const leastInertance = 1;

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
  const critical = (2 / (k + 1)) ** (k / (k - 1));
  const r = Math.max(back / p, critical);
  return CdA * p * Math.sqrt((2 * k) / ((k - 1) * R * T)) * Math.sqrt(r ** (2 / k) - r ** ((k + 1) / k));
}

/**
 * Bounds of what flashes as a cryogen enters an empty line: by the pressure alone, and by all the heat of its metal.
 *
 *   least  x = (h - h_boiling(p)) / h_fg, isenthalpic;   most  m = M c dT / h_fg beside it
 *
 * @param h,boiling,latent  enthalpy of the liquid, of the boiling liquid at the pressure of the gas ahead, and h_fg [J/kg]
 * @param heat              of the metal down to that boiling point [J]
 * Valid as    bounds: how fast the metal gives its heat, and what the vapour does to the front, are not in them
 */
export function flashed(
  h: number,
  boiling: number,
  latent: number,
  heat: number,
): { readonly share: number; readonly byMetal: number } {
  return { share: Math.max((h - boiling) / latent, 0), byMetal: Math.max(heat, 0) / latent };
}
