/**
 * One propellant's way from tank to chamber: the line, the valve with its motion, a volume that fills, the injector.
 *
 * Quasi-steady in the liquid; x the filled share of the volume between valve and injector:
 *
 *   filling    p_T - p_c = (R_u + 1/(rho C^2) + x R_p) W^2,   rho V dx/dt = W
 *   full       p_T - p_c = (R_u + 1/(rho C^2) + R_p + R_i) W^2
 *   choked     W^2 = g FL^2 (p_T - FF pv - R_u W^2),  g = rho C^2, where that is less
 *   tank       p_T = p_0 - d W regulated,  p_0 (V_0 / (V_0 + m/rho))^n blowing down
 *
 * The gas ahead of the liquid leaves freely; no liquid passes the injector before the volume is full; nothing flows back.
 *
 * Source     [nasa-sp-8123], priming; [nasa-sp-125], start; from memory. Choking: [iec60534-2-1, clause 5.1]
 * Valid for  openings slow against the waves of the line: the inertia of the liquid is left to the line's own model.
 */
import {
  type Density,
  type Pressure,
  requireNotNegative,
  requirePositive,
  type Time,
  type Volume,
} from "../../quantity/index.js";

/** Opening of a valve against time: at even times from first motion to its end, standing before and after. */
export interface OpeningTrace {
  /** From the command of the valve [s]. */
  readonly start: number;
  readonly end: number;
  /** C [m2] and FL [-]. */
  readonly coefficient: Float64Array;
  readonly recovery: Float64Array;
}

/** What presses the liquid out of its tank. */
export type Pressurant =
  /** Pressure falls by so much for a flow [Pa/(kg/s)]. */
  | { readonly kind: "regulated"; readonly droop: number }
  | { readonly kind: "blowdown"; readonly ullage: Volume; readonly exponent: number };

/** One propellant. */
export interface StartSide {
  readonly tank: Pressure;
  readonly pressurant: Pressurant;
  readonly density: Density;
  /** FF pv of a choked valve [Pa]. */
  readonly chokingPressure: Pressure;
  /** dp = R W^2: tank to valve, valve to injector when full, injector [Pa/(kg/s)^2]. */
  readonly upstream: number;
  readonly passage: number;
  readonly injector: number;
  /** To be filled between valve and injector. */
  readonly volume: Volume;
  readonly valve: OpeningTrace;
  /** Command of this valve after the start [s]. */
  readonly offset: Time;
  /** It moves until this time after the start and stands from then on; left out: to its end [s]. */
  readonly stopsAt?: number;
}

/** Refuses a side that is none. */
export function requireSide(side: StartSide): void {
  requirePositive(side.density, "liquid density", "density", "Flow follows from it.");
  requirePositive(side.volume, "volume to fill", "volume", "It is filled.");
  requireNotNegative(side.tank, "tank pressure", "pressure", "It is absolute.");
  for (const [name, R] of [
    ["upstream", side.upstream],
    ["passage", side.passage],
    ["injector", side.injector],
  ] as const)
    requireNotNegative(
      R,
      `${name} resistance in Pa/(kg/s)^2`,
      "number",
      "A line does not gain pressure by flow.",
    );
  if (side.pressurant.kind === "regulated")
    requireNotNegative(
      side.pressurant.droop,
      "droop of the tank in Pa/(kg/s)",
      "number",
      "A regulator's pressure falls with its flow.",
    );
  else requirePositive(side.pressurant.ullage, "ullage", "volume", "Its gas drives the liquid.");
}

/** A side at one instant. */
export class SideState {
  /** Filled share of the volume [-]; drawn from the tank and passed through the injector [kg]. */
  share: number;
  drawn = 0;
  passed = 0;
  /** Of the last call of `flow` [kg/s], and its derivative by the chamber pressure. */
  W = 0;
  slope = 0;

  constructor(
    readonly side: StartSide,
    isFull: boolean,
  ) {
    this.share = isFull ? 1 : 0;
  }

  get isFull(): boolean {
    return this.share >= 1;
  }

  tankPressure(): number {
    const { tank, pressurant, density } = this.side;
    if (pressurant.kind === "regulated") return tank;
    const { ullage, exponent } = pressurant;
    return tank * (ullage / (ullage + this.drawn / density)) ** exponent;
  }

  /** Flow from the tank at a time and chamber pressure. @param share  filled share to take, 1 with the injector behind it */
  flow(t: number, chamber: number, share: number, isFull: boolean): number {
    const { side } = this;
    const { valve } = side;
    const until = Math.min(t, side.stopsAt ?? Number.POSITIVE_INFINITY) - side.offset;
    const points = valve.coefficient.length - 1;
    const place = Math.min(Math.max(((until - valve.start) / (valve.end - valve.start)) * points, 0), points);
    const k = Math.min(Math.floor(place), points - 1);
    const f = place - k;
    const C = (1 - f) * (valve.coefficient[k] ?? 0) + f * (valve.coefficient[k + 1] ?? 0);
    const FL = (1 - f) * (valve.recovery[k] ?? 1) + f * (valve.recovery[k + 1] ?? 1);
    this.W = 0;
    this.slope = 0;
    if (!(C > 0)) return 0;
    const g = side.density * C * C;
    const droop = side.pressurant.kind === "regulated" ? side.pressurant.droop : 0;
    const p = this.tankPressure();
    const behind = isFull ? side.passage + side.injector : share * side.passage;
    const across = p - chamber;
    if (!(across > 0)) return 0;
    const a = side.upstream + 1 / g + behind;
    const free = positiveRoot(a, droop, across);
    const limit = positiveRoot(side.upstream + 1 / (g * FL * FL), droop, p - side.chokingPressure);
    if (limit < free) {
      this.W = limit;
    } else {
      this.W = free;
      this.slope = -1 / (2 * a * free + droop);
    }
    return this.W;
  }
}

/** W > 0 of a W^2 + d W = D; 0 where D is not positive. */
function positiveRoot(a: number, d: number, D: number): number {
  return D > 0 ? (2 * D) / (d + Math.sqrt(d * d + 4 * a * D)) : 0;
}
