/**
 * A branched line as pipes between junctions, and the grid on which waves are followed in it.
 *
 * Flow is counted as mass flow W from the start of a pipe to its end, pressure absolute. Along a pipe
 *
 *   B = a/A   rise of pressure for each kg/s that is stopped [Pa s/kg]
 *   R = f L / (2 D rho A^2)   steady friction, dp = R W|W|
 *
 * The weight of the liquid is that of the heights of the junctions, rho g z; a pipe is straight between its two.
 */
import { refuse } from "../../fault/index.js";
import {
  type Density,
  type Length,
  type Pressure,
  requirePositive,
  type Speed,
  standardGravity,
  type Time,
  type Volume,
} from "../../quantity/index.js";

/** A straight pipe of one bore. */
export interface LinePipe {
  /** Junctions at its start and its end. */
  readonly from: number;
  readonly to: number;
  readonly length: Length;
  readonly bore: Length;
  readonly waveSpeed: Speed;
  /** Darcy friction factor of the steady flow, held through the transient [-]. */
  readonly frictionFactor: number;
  /** Coefficient of unsteady friction; 0 for none [-]. */
  readonly unsteady: number;
}

/** What stands at a junction: nothing, a constant pressure behind a loss, or a gas cushion behind a loss. */
export type Fitting =
  | { readonly kind: "none" }
  | {
      readonly kind: "pressure";
      readonly pressure: Pressure;
      /** Loss between junction and pressure, dp = R W|W|, 0 for none [Pa/(kg/s)^2]. */
      readonly resistance: number;
    }
  | {
      readonly kind: "accumulator";
      /** Gas at the steady pressure of the junction. */
      readonly gasVolume: Volume;
      /** p V^n constant [-]. */
      readonly exponent: number;
      readonly resistance: number;
    };

/** A loss between two junctions: filter, bend, flow meter. */
export interface LineLoss {
  readonly from: number;
  readonly to: number;
  /** dp = R W|W| [Pa/(kg/s)^2]. */
  readonly resistance: number;
}

/** The valve between two junctions. */
export interface LineValve {
  readonly from: number;
  readonly to: number;
}

/** The liquid of the line. */
export interface LineLiquid {
  readonly density: Density;
  readonly vapourPressure: Pressure;
  /** FF pv, the pressure in the vena contracta of a choked valve [Pa, absolute]. */
  readonly chokingPressure: Pressure;
}

/** A line. Every junction has a pipe; no junction has both a fitting and a loss or the valve, nor two of these. */
export interface LineNetwork {
  readonly pipes: readonly LinePipe[];
  /** One for each junction. */
  readonly fittings: readonly Fitting[];
  readonly losses: readonly LineLoss[];
  readonly valve: LineValve;
  readonly liquid: LineLiquid;
  /** Of each junction over the level of the valve; left out: all on one level [m]. */
  readonly heights?: readonly number[];
}

/**
 * rho g z of each junction [Pa].
 * Refuses  a loss or a valve between junctions on different levels: neither has a length
 */
export function headsOf({ heights, liquid, losses, valve, fittings }: LineNetwork): Float64Array {
  for (const { from, to } of [...losses, valve])
    if ((heights?.[from] ?? 0) !== (heights?.[to] ?? 0))
      refuse(
        "impossible-value",
        `junctions ${from} and ${to} on different levels`,
        "A loss or a valve has no height of its own.",
        "Give the rise to a pipe.",
      );
  return Float64Array.from(fittings, (_, j) => liquid.density * standardGravity.value * (heights?.[j] ?? 0));
}

/** Which junctions the valve parts from its inlet: 1 for each of them. */
export function behindValve({ pipes, losses, valve, fittings }: LineNetwork): Uint8Array {
  const behind = new Uint8Array(fittings.length);
  const links = [...pipes, ...losses];
  const reach = (j: number): void => {
    if (behind[j] === 1) return;
    behind[j] = 1;
    for (const { from, to } of links) {
      if (from === j) reach(to);
      if (to === j) reach(from);
    }
  };
  reach(valve.to);
  return behind;
}

/** Cross-section of a bore [m2]. */
export function areaOf(bore: Length): number {
  return (Math.PI / 4) * bore * bore;
}

/** B = a/A [Pa s/kg]. */
export function impedance({ bore, waveSpeed }: LinePipe): number {
  return waveSpeed / areaOf(bore);
}

/** R of the whole pipe, f L / (2 D rho A^2) [Pa/(kg/s)^2]. */
export function pipeResistance({ bore, length, frictionFactor }: LinePipe, rho: Density): number {
  return (frictionFactor * length) / (2 * bore * rho * areaOf(bore) ** 2);
}

/** Time step and number of reaches of each pipe. */
export interface LineGrid {
  readonly step: Time;
  readonly reaches: readonly number[];
  /** Largest share by which a pipe's travel time is off, because it must be whole reaches [-]. */
  readonly worst: number;
}

/** Steps that are tried between the coarsest and the finest. */
const tries = 60;
/** A step that is off by this share more is worth half as many reaches [-]. */
const enough = 0.01;

/**
 * A grid with about as many reaches as asked for. A pipe's travel time is rounded to whole steps, and its wave speed with
 * it: its inertia, L/A, and its friction stay what they are, and a rise of a very fast closing is off by the rounding.
 * @param reaches  wanted in all pipes together; each has at least one
 * Refuses         a pipe without length, bore or wave speed
 * Source          the choice of one step for several pipes: [wylie-streeter-1993, ch. 3]
 */
export function lineGrid(pipes: readonly LinePipe[], reaches: number): LineGrid {
  for (const { length, bore, waveSpeed, frictionFactor } of pipes) {
    requirePositive(length, "length of a pipe", "length", "A wave runs along it.");
    requirePositive(bore, "bore of a pipe", "length", "Liquid runs through it.");
    requirePositive(waveSpeed, "wave speed", "speed", "It is finite and not zero.");
    if (!(frictionFactor >= 0))
      refuse(
        "impossible-value",
        `friction factor ${frictionFactor}`,
        "It is zero or more.",
        "Give it as zero or a positive number.",
      );
  }
  const times = travelTimes(pipes);
  const whole = times.reduce((sum, time) => sum + time, 0);
  const wanted = Math.max(reaches, pipes.length);
  let best: LineGrid | undefined;
  for (let n = 0; n < tries; n++) {
    const step = (whole / wanted) * 2 ** (1 - (1.5 * n) / (tries - 1));
    const counts = times.map((time) => Math.max(1, Math.round(time / step)));
    const worst = Math.max(...times.map((time, i) => Math.abs(((counts[i] ?? 1) * step) / time - 1)));
    if (best === undefined || worst < best.worst - enough * 0.5 || (worst < best.worst && worst > enough))
      best = { step: step as Time, reaches: counts, worst };
  }
  if (best === undefined) throw new Error("a line without pipes");
  return best;
}

/**
 * The grid of pipes whose reaches are known already, as of another sample of the same line.
 * Refuses nothing; the step is that of the whole line
 */
export function gridWith(pipes: readonly LinePipe[], reaches: readonly number[]): LineGrid {
  const times = travelTimes(pipes);
  const step = times.reduce((sum, time) => sum + time, 0) / reaches.reduce((sum, n) => sum + n, 0);
  const worst = Math.max(...times.map((time, i) => Math.abs(((reaches[i] ?? 1) * step) / time - 1)));
  return { step: step as Time, reaches, worst };
}

function travelTimes(pipes: readonly LinePipe[]): readonly number[] {
  return pipes.map(({ length, waveSpeed }) => length / waveSpeed);
}

/**
 * Pipes one behind the other as one pipe of their length, travel time, inertance and loss: for motions that are slow
 * against their waves.
 *
 *   L = sum L_i,  a = L / sum(L_i/a_i),  A = L / sum(L_i/A_i),  R = sum R_i
 */
export function asOnePipe(
  pipes: readonly LinePipe[],
  rho: Density,
  ends: { readonly from: number; readonly to: number },
): LinePipe {
  const length = pipes.reduce((sum, pipe) => sum + pipe.length, 0);
  const time = travelTimes(pipes).reduce((sum, own) => sum + own, 0);
  const inertance = pipes.reduce((sum, pipe) => sum + pipe.length / areaOf(pipe.bore), 0);
  const R = pipes.reduce((sum, pipe) => sum + pipeResistance(pipe, rho), 0);
  const area = length / inertance;
  const bore = Math.sqrt((4 * area) / Math.PI) as Length;
  return {
    ...ends,
    length: length as Length,
    bore,
    waveSpeed: (length / time) as Speed,
    frictionFactor: (R * 2 * bore * rho * area * area) / length,
    unsteady: 0,
  };
}
