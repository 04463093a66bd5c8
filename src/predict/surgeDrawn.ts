/** A stroke and what the whole line felt of it, thinned out for the pictures. */
import type { LineGrid, LineNetwork, LineRun } from "../physics/line/index.js";
import type { Sense } from "./strokes.js";
import type { SurgeRun } from "./surgeAnswer.js";
import type { SurgeLine } from "./surgeLine.js";
import type { Motion } from "./surgeMotion.js";

/** A stroke with which the waves agree. */
export interface Coupled {
  readonly sense: Sense;
  readonly motion: Motion;
  readonly turns: number;
  readonly change: number;
  readonly coupling: number;
}

/** Points of a picture. */
const shownPoints = 400;

/** @param run  of the whole line, with its histories */
export function drawnRun(
  coupled: Coupled,
  run: LineRun,
  { network, grid }: { readonly network: LineNetwork; readonly grid: LineGrid },
  line: SurgeLine,
): SurgeRun {
  const { motion, sense } = coupled;
  const { history } = run;
  const { valve } = line;
  const column = (of: Float64Array | undefined) => of ?? new Float64Array(0);
  const steps = column(history?.valveFlow).length;
  const stride = Math.max(1, Math.ceil(steps / shownPoints));
  const every = Array.from({ length: Math.ceil(steps / stride) }, (_, n) => n * stride);
  const duration = motion.end - motion.start;
  const points = motion.angle.length - 1;
  const place = (n: number) => Math.min(Math.round(((n * grid.step) / duration) * points), points);
  const ofPipes = (["upstream", "downstream"] as const).flatMap((side) => line.mainPipes(side));
  const along: { x: number; high: number; low: number; steady: number }[] = [];
  let x = 0;
  for (const i of ofPipes) {
    const pipe = network.pipes[i];
    if (pipe === undefined) continue;
    const high = column(run.high[i]);
    const low = column(run.low[i]);
    const start = run.steady.pressure[pipe.from] ?? Number.NaN;
    const end = run.steady.pressure[pipe.to] ?? Number.NaN;
    for (let s = 0; s < high.length; s++) {
      const share = s / (high.length - 1);
      along.push({
        x: x + share * pipe.length,
        high: high[s] ?? Number.NaN,
        low: low[s] ?? Number.NaN,
        steady: start + share * (end - start),
      });
    }
    x += pipe.length;
  }
  return {
    sense,
    outcome: motion.stroke.outcome,
    start_s: motion.start,
    end_s: motion.end,
    time_s: every.map((n) => motion.start + n * grid.step),
    ahead_Pa: every.map((n) => column(history?.pressure[valve.from])[n] ?? Number.NaN),
    behind_Pa: every.map((n) => column(history?.pressure[valve.to])[n] ?? Number.NaN),
    flow_kg_s: every.map((n) => column(history?.valveFlow)[n] ?? Number.NaN),
    angle_rad: every.map((n) => motion.angle[place(n)] ?? Number.NaN),
    stations: line.stations.map(({ name }, k) => ({
      name,
      pressure_Pa: every.map((n) => column(history?.station[k])[n] ?? Number.NaN),
    })),
    x_m: along.map((point) => point.x),
    high_Pa: along.map(({ high }) => high),
    low_Pa: along.map(({ low }) => low),
    steady_Pa: along.map(({ steady }) => steady),
    vapour_m3: run.cavity,
    turns: coupled.turns,
    change: coupled.change,
    coupling: coupled.coupling,
  };
}
