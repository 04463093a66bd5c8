/**
 * A line behind the valve that stands empty and fills: a front of liquid with gas ahead of it, and its stop.
 *
 * The liquid between source and front is a rigid column; W its mass flow, x the volume behind the front:
 *
 *   I(x) dW/dt = p_s - p_g - rho g z(x) - R_u W^2 - W^2/(rho C(t)^2) - R(x) W^2 - W^2 / (2 rho A(x)^2),   rho dx/dt = W
 *
 * with p_s counted at the level of the valve, I(x) = sum L/A of all liquid, and the rest of the front's. Where it has filled
 * the line, the outlet passes liquid, and the wave that stops the rest of the flow is that of the last pipe,
 * p = p_g + B (W - W_out), W_out^2 = (p - p_b)/R_out.
 *
 * Source  rigid column: [wylie-streeter-1993, ch. 6]; priming: [nasa-sp-8123], from memory
 */
import { type Pressure, requireNotNegative, type Time } from "../../quantity/index.js";
import { type EmptyLine, Front } from "./front.js";

/** A filling. */
export interface Filling extends EmptyLine {
  readonly supplyPressure: Pressure;
  /** Between source and valve: sum L/A [1/m] and dp = R W^2 [Pa/(kg/s)^2]. */
  readonly inertance: number;
  readonly resistance: number;
  /** FF pv of a choked valve [Pa]. */
  readonly chokingPressure: Pressure;
  /** Opening of the valve against time: C [m2] and FL [-]. */
  readonly opening: (t: number) => { readonly coefficient: number; readonly recovery: number };
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
  requireNotNegative(filling.inertance, "inertance", "number", "It is length over area.");
  const { pipes, density: rho } = filling;
  const front = new Front(filling);
  let t = 0;
  let W = 0;
  for (let n = 0; n < mostSteps && t < until && !front.isFull; n++) {
    const left = front.volume - front.x;
    const wanted = W > 0 ? (stepShare * left * rho) / W : longestStep;
    const h = Math.min(Math.max(wanted, shortestStep), longestStep);
    const { coefficient: C } = filling.opening(t + h / 2);
    front.look(front.x + (W * h) / (2 * rho));
    const before = W;
    const driving = filling.supplyPressure - front.pressure - front.head;
    const resistance = filling.resistance + front.resistance + 1 / (rho * C * C);
    const inertance = Math.max(filling.inertance + front.inertance, leastInertance);
    W = C <= 0 ? 0 : nextFlow(W, driving, resistance, inertance, h);
    W = Math.min(W, mostThrough(filling, t + h, W));
    front.advance((h * (before + W)) / (2 * rho), h);
    t += h;
  }
  const { isFull, highest, pressure: p } = front;
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
    gasTemperature: front.temperatureAt(highest),
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
