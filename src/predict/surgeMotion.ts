/** The valve's motion as the line sees it: its opening against time, under the drop that the waves make of the steady one. */
import { type InstalledSystem, installedFlowOverAngles } from "../physics/flow/index.js";
import type { LineGrid } from "../physics/line/index.js";
import { type Stroke, StrokePath } from "../physics/motion/index.js";
import type { Plan } from "./plan.js";
import { type Sense, strokeOf } from "./strokes.js";
import { openings, type ValveSample } from "./valveSample.js";

/** The valve's motion in one stroke: C and FL at even times from first motion to its end. */
export interface Motion {
  readonly stroke: Stroke;
  readonly start: number;
  readonly end: number;
  readonly angle: Float64Array;
  readonly coefficient: Float64Array;
  readonly recovery: Float64Array;
  /** First and last point between which the steady flow changes. */
  readonly matters: readonly [number, number];
}

/** Drop and inlet pressure at each opening [Pa], or what the waves make of the steady ones [-]. */
interface Loading {
  readonly drop: Float64Array;
  readonly inlet: Float64Array;
}

const unloaded = (): Loading => ({
  drop: new Float64Array(openings).fill(1),
  inlet: new Float64Array(openings).fill(1),
});

/** Part of the flow that a motion must move before, or has yet to move when, its waves are followed in a sample [-]. */
const trimmed = 0.015;
/** A motion lasts at least so long [s]. */
const shortestMotion = 1e-3;
/** Pressures below this are none [Pa]. */
export const leastPressure = 10;

/** Strokes of a sample, each under its own loading. */
export class ValveMotions {
  private readonly steady: Record<Sense, Loading> = { opening: unloaded(), closing: unloaded() };
  private readonly loading: Record<Sense, Loading> = { opening: unloaded(), closing: unloaded() };
  private readonly buffers = new Map<
    number,
    { angle: Float64Array; other: Float64Array; time: Float64Array }
  >();

  constructor(
    private readonly plan: Plan,
    private readonly sample: ValveSample,
  ) {}

  /** Takes the steady state of a new sample, after `updateFlow`. @param filling the line of an opening, where it is another one */
  takeSteady(filling?: InstalledSystem): void {
    const { sample, steady } = this;
    for (const { drop, inlet } of [steady.closing, steady.opening]) {
      drop.set(sample.drop);
      inlet.set(sample.inlet);
    }
    if (filling === undefined) return;
    const { drop, inlet } = steady.opening;
    installedFlowOverAngles(
      filling,
      sample.coefficient,
      sample.recovery,
      new Float64Array(openings),
      drop,
      inlet,
      new Uint8Array(openings),
    );
  }

  /** One stroke under the present loading. */
  motion(sense: Sense, points: number): Motion {
    const { sample, plan, loading } = this;
    const { drop, inlet } = loading[sense];
    const steady = this.steady[sense];
    for (let j = 0; j < openings; j++) {
      sample.drop[j] = (steady.drop[j] ?? 0) * (drop[j] ?? 1);
      sample.inlet[j] = (steady.inlet[j] ?? 0) * (inlet[j] ?? 1);
    }
    sample.updateTorque();
    const path = new StrokePath();
    const { stroke } = strokeOf(plan, sample, sample.train(), sense, undefined, { path });
    // A ball that does not move leaves the line as it is.
    const start = stroke.firstMotion ?? 0;
    const end = Math.max(stroke.arrival ?? stroke.end, start + shortestMotion);
    const buffer = this.bufferOf(points);
    for (let k = 0; k < points; k++) buffer.time[k] = start + ((end - start) * k) / (points - 1);
    path.sample(buffer.time, buffer.angle, buffer.other, buffer.other);
    const step = sample.angles[1] ?? 1;
    const coefficient = new Float64Array(points);
    const recovery = new Float64Array(points);
    for (let k = 0; k < points; k++) {
      const place = Math.min(Math.max((buffer.angle[k] ?? 0) / step, 0), openings - 1);
      const j = Math.min(Math.floor(place), openings - 2);
      coefficient[k] = between(sample.coefficient, j, place - j);
      recovery[k] = between(sample.recovery, j, place - j);
    }
    return {
      stroke,
      start,
      end,
      angle: buffer.angle.slice(),
      coefficient,
      recovery,
      matters: this.mattersOf(sense, buffer.angle),
    };
  }

  /** Points of a motion between which the steady flow makes all but `trimmed` of its change. */
  private mattersOf(sense: Sense, angle: Float64Array): readonly [number, number] {
    const { massFlow, angles } = this.sample;
    const full = Math.abs(massFlow[openings - 1] ?? 0);
    const passes = massFlow.findIndex((flow) => Math.abs(flow) >= (1 - trimmed) * full);
    const limit = angles[Math.max(passes, 0)] ?? 0;
    const last = angle.length - 1;
    if (sense === "closing") return [Math.max(angle.findIndex((at) => at < limit) - 1, 0), last];
    const past = angle.findIndex((at) => at > limit);
    return [0, past < 0 ? last : Math.min(past + 1, last)];
  }

  private bufferOf(points: number) {
    const known = this.buffers.get(points);
    if (known !== undefined) return known;
    const column = () => new Float64Array(points);
    const made = { angle: column(), other: column(), time: column() };
    this.buffers.set(points, made);
    return made;
  }

  /** Drop and inlet pressure of the waves over those of the steady flow, at each opening the motion passes. */
  load(sense: Sense, motion: Motion, grid: LineGrid, ahead: Float64Array, behind: Float64Array): void {
    const { drop, inlet } = this.loading[sense];
    const steady = this.steady[sense];
    const { angles } = this.sample;
    const points = motion.angle.length - 1;
    const sign = sense === "opening" ? 1 : -1;
    let k = 0;
    for (let n = 0; n < openings; n++) {
      const j = sense === "opening" ? n : openings - 1 - n;
      const angle = angles[j] ?? 0;
      while (k < points && sign * ((motion.angle[k] ?? 0) - angle) < 0) k++;
      const time = (k / points) * (motion.end - motion.start);
      const at = Math.min(Math.round(time / grid.step), ahead.length - 1);
      const steadyDrop = steady.drop[j] ?? 0;
      const steadyInlet = steady.inlet[j] ?? 0;
      const across = (ahead[at] ?? 0) - (behind[at] ?? 0);
      if (Math.abs(steadyDrop) > leastPressure) drop[j] = across / steadyDrop;
      if (steadyInlet > leastPressure) inlet[j] = (ahead[at] ?? 0) / steadyInlet;
    }
  }
}

export function between(column: Float64Array, j: number, share: number): number {
  const low = column[j] ?? 0;
  return low + share * ((column[j + 1] ?? low) - low);
}

/** Opening of the valve against time from first motion. */
export function openingOf({ coefficient, recovery, start, end }: Motion) {
  const points = coefficient.length - 1;
  return (t: number) => {
    const place = Math.min((t / (end - start)) * points, points);
    const k = Math.min(Math.floor(place), points - 1);
    return { coefficient: between(coefficient, k, place - k), recovery: between(recovery, k, place - k) };
  };
}
