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
  requireResistance(side.upstream, "upstream resistance in Pa/(kg/s)^2");
  requireResistance(side.passage, "passage resistance in Pa/(kg/s)^2");
  requireResistance(side.injector, "injector resistance in Pa/(kg/s)^2");
  if (side.pressurant.kind === "regulated")
    requireNotNegative(
      side.pressurant.droop,
      "droop of the tank in Pa/(kg/s)",
      "number",
      "A regulator's pressure falls with its flow.",
    );
  else requirePositive(side.pressurant.ullage, "ullage", "volume", "Its gas drives the liquid.");
}

function requireResistance(R: number, name: string): void {
  requireNotNegative(R, name, "number", "A line does not gain pressure by flow.");
}

/** A side at one instant. */
export class SideState {
  /** Filled share of the volume [-]; drawn from the tank and passed through the injector [kg]. */
  share: number;
  drawn = 0;
  passed = 0;
  /** Derivative of the last flow by the chamber pressure [kg/s/Pa]. */
  slope = 0;
  /** Mass that fills the volume [kg]. */
  readonly whole: number;
  /** At the instant of the last `take`: tank [Pa], resistance up to the valve with it [Pa/(kg/s)^2], choked flow [kg/s]. */
  private pressure = 0;
  private ahead = 0;
  private choked = 0;
  private isShut = true;
  private readonly droop: number;
  private readonly moves: number;
  private readonly pace: number;
  /** From then on its valve passes; without end where it never does [s]. */
  readonly opensAt: number;

  constructor(
    readonly side: StartSide,
    isFull: boolean,
  ) {
    const { valve, pressurant } = side;
    this.share = isFull ? 1 : 0;
    this.whole = side.density * side.volume;
    this.droop = pressurant.kind === "regulated" ? pressurant.droop : 0;
    this.moves = side.offset + valve.start;
    this.pace = (valve.coefficient.length - 1) / (valve.end - valve.start);
    this.opensAt = this.openingTime();
  }

  private openingTime(): number {
    const { valve, stopsAt = Number.POSITIVE_INFINITY } = this.side;
    const first = valve.coefficient.findIndex((C) => C > 0);
    if (first === 0) return Number.NEGATIVE_INFINITY;
    const at = this.moves + (first - 1) / this.pace;
    return first < 0 || at >= stopsAt ? Number.POSITIVE_INFINITY : at;
  }

  get isFull(): boolean {
    return this.share >= 1;
  }

  /** Before this time its flow stands as it was at the beginning; without end where its valve never moves [s]. */
  get movesAt(): number {
    const { valve, stopsAt, pressurant } = this.side;
    if (!((valve.coefficient[0] ?? 0) > 0)) return this.opensAt;
    // A tank that blows down, and a volume that fills, change while the valve stands.
    if (!this.isFull || pressurant.kind === "blowdown") return Number.NEGATIVE_INFINITY;
    return this.moves >= (stopsAt ?? Number.POSITIVE_INFINITY) ? Number.POSITIVE_INFINITY : this.moves;
  }

  /** From this time on only the chamber moves its flow [s]. */
  get standsFrom(): number {
    const { valve, offset, stopsAt, pressurant } = this.side;
    if (pressurant.kind === "blowdown" || !(this.isFull || this.isShut)) return Number.POSITIVE_INFINITY;
    return Math.min(offset + valve.end, stopsAt ?? Number.POSITIVE_INFINITY);
  }

  tankPressure(): number {
    const { tank, pressurant, density } = this.side;
    if (pressurant.kind === "regulated") return tank;
    const { ullage, exponent } = pressurant;
    return tank * (ullage / (ullage + this.drawn / density)) ** exponent;
  }

  /** Takes valve and tank as they are at a time. */
  take(t: number): void {
    const { side } = this;
    const { coefficient, recovery } = side.valve;
    const until = side.stopsAt !== undefined && side.stopsAt < t ? side.stopsAt : t;
    const points = coefficient.length - 1;
    const place = Math.min(Math.max((until - this.moves) * this.pace, 0), points);
    const k = Math.min(Math.floor(place), points - 1);
    const f = place - k;
    const C = (1 - f) * (coefficient[k] ?? 0) + f * (coefficient[k + 1] ?? 0);
    this.isShut = !(C > 0);
    if (this.isShut) return;
    const FL = (1 - f) * (recovery[k] ?? 1) + f * (recovery[k + 1] ?? 1);
    const g = side.density * C * C;
    this.pressure = this.tankPressure();
    this.ahead = side.upstream + 1 / g;
    this.choked = positiveRoot(
      side.upstream + 1 / (g * FL * FL),
      this.droop,
      this.pressure - side.chokingPressure,
    );
  }

  /** Flow from the tank into a chamber pressure, as last taken. @param share  filled share to take; 1 with the injector behind it */
  flow(chamber: number, share: number, isFull: boolean): number {
    this.slope = 0;
    const across = this.pressure - chamber;
    if (this.isShut || !(across > 0)) return 0;
    const { side, droop } = this;
    const a = this.ahead + (isFull ? side.passage + side.injector : share * side.passage);
    const free = positiveRoot(a, droop, across);
    if (this.choked < free) return this.choked;
    this.slope = -1 / (2 * a * free + droop);
    return free;
  }

  /** Flow that fills the volume in a step, by the midpoint rule [kg/s]. */
  filling(t: number, dt: number, chamber: number): number {
    this.take(t + dt / 2);
    const first = this.flow(chamber, this.share, false);
    return this.flow(chamber, Math.min(this.share + (first * dt) / (2 * this.whole), 1), false);
  }
}

/** W > 0 of a W^2 + d W = D; 0 where D is not positive. */
function positiveRoot(a: number, d: number, D: number): number {
  if (!(D > 0)) return 0;
  return d === 0 ? Math.sqrt(D / a) : (2 * D) / (d + Math.sqrt(d * d + 4 * a * D));
}
