import type { RandomStream } from "../../../src/numerics/index.js";

/** Shape of a stroke: share of the travel against share of its duration, from 0 to 1. */
export type Shape = (s: number) => number;

/**
 * Strokes in closed form, in the shares that the priors of the corner state: mostly a jump of
 * acceleration at the start, at times of jerk or speed; a stop hit at speed, or a braked end.
 */
export function drawShape(random: RandomStream): { readonly family: string; readonly shape: Shape } {
  const u = random.uniform();
  if (u < 0.4) return { family: "viscous run-up", shape: viscous(0.2 + 6 * random.uniform()) };
  if (u < 0.6) return { family: "trapezoid", shape: trapezoid(0.15 + 0.3 * random.uniform()) };
  if (u < 0.75) return { family: "jerk-limited", shape: jerkLimited(0.15 + 0.3 * random.uniform()) };
  if (u < 0.85) return { family: "cosine", shape: (s) => 0.5 * (1 - Math.cos(Math.PI * s)) };
  const leap = 0.2 + 0.4 * random.uniform();
  return { family: "leap", shape: (s) => leap * s + (1 - leap) * s * s };
}

/** Constant torque against a viscous load, into a stop. */
export function viscous(k: number): Shape {
  return (s) => (k * s - 1 + Math.exp(-k * s)) / (k - 1 + Math.exp(-k));
}

/** Even acceleration for a share a of the time, even speed, even braking. */
export function trapezoid(a: number): Shape {
  const top = 1 / (1 - a);
  return (s) =>
    s < a ? (top * s * s) / (2 * a) : s < 1 - a ? top * (s - a / 2) : 1 - (top * (1 - s) ** 2) / (2 * a);
}

/** As a trapezoid, with the acceleration rising and falling evenly within the share a. */
export function jerkLimited(a: number): Shape {
  const top = 1 / (1 - a);
  const ramp = (x: number) =>
    x < 0.5 ? (2 * x ** 3) / 3 : 1 / 12 + (x - 0.5) / 2 + (x - 0.5) ** 2 - (2 * (x - 0.5) ** 3) / 3;
  return (s) =>
    s < a ? top * a * ramp(s / a) : s < 1 - a ? top * (a / 2 + s - a) : 1 - top * a * ramp((1 - s) / a);
}

/** Share of the duration at which a shape passes a share of the travel. */
export function passes(shape: Shape, share: number): number {
  let low = 0;
  let high = 1;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (shape(middle) < share) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

export interface Recording {
  readonly time_s: Float64Array;
  readonly angle_rad: Float64Array;
  readonly truth: Readonly<Record<string, number>>;
}

/** How a stroke is recorded. Noise and step are shares of the travel. */
export interface Recorder {
  readonly rate_Hz: number;
  readonly noise: number;
  readonly step: number;
}

const travel = Math.PI / 2;

/** A recorded stroke of 0.3 to 0.8 s, at a random instant and a random place between two steps. */
export function record(random: RandomStream, shape: Shape, recorder: Recorder): Recording {
  const { rate_Hz, noise, step } = recorder;
  const duration = 0.3 + 0.5 * random.uniform();
  const start = 0.4 + 0.2 * random.uniform();
  const offset = 0.05 * random.uniform();
  const count = Math.round((start + duration + 0.4) * rate_Hz);
  const time_s = Float64Array.from({ length: count }, (_, i) => i / rate_Hz);
  const angle_rad = time_s.map((t) => {
    const s = (t - start) / duration;
    const clean = offset + (s <= 0 ? 0 : s >= 1 ? 1 : shape(s)) + (noise > 0 ? noise * random.normal() : 0);
    return travel * (step > 0 ? Math.round(clean / step) * step : clean);
  });
  const at = (share: number) => start + duration * passes(shape, share);
  return {
    time_s,
    angle_rad,
    truth: {
      "first motion": start,
      "10 % travel": at(0.1),
      "90 % travel": at(0.9),
      "99 % travel": at(0.99),
      "end of travel": start + duration,
    },
  };
}
