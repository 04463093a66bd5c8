/** What closing costs on a line, and how well it is resolved, at the nominal values. */
import { circleArea } from "../physics/flow/index.js";
import { criticalTime, joukowskyRise, type LineGrid } from "../physics/line/index.js";
import { type Length, type Speed, standardGravity } from "../quantity/index.js";
import type { SurgeBounds } from "./surgeAnswer.js";
import type { BuiltLine, SurgeLine } from "./surgeLine.js";
import { leastPressure } from "./surgeMotion.js";
import { openings, type ValveSample } from "./valveSample.js";

/** Of the whole line: what the bounds take from its figures. */
interface Found {
  readonly supply: number;
  /** Highest of the closing at each place, the valve last. */
  readonly close: readonly number[];
  readonly open: readonly number[];
  readonly shortestOf: readonly number[];
  /** Slowest scale of the closing's time that was tried [-]. */
  readonly slowest: number;
  /** Difference of two grids at the valve [Pa]. */
  readonly numerical: number;
}

export function boundsOf(
  whole: Found,
  { network, isScaled }: BuiltLine,
  grid: LineGrid,
  line: SurgeLine,
  sample: ValveSample,
): SurgeBounds {
  const { pipes, liquid } = network;
  const flow = sample.massFlow[openings - 1] ?? 0;
  const speedIn = (bore: Length) => flow / (liquid.density * circleArea((bore / 2) as Length));
  const main = (["upstream", "downstream"] as const).map((side) =>
    line.mainPipes(side).flatMap((i) => pipes[i] ?? []),
  );
  const last = main[0]?.at(-1);
  return {
    pipes: pipes.map(({ bore, waveSpeed }, i) => ({
      name: line.pipes[i]?.fields.name ?? `pipe ${i + 1}`,
      waveSpeed_m_s: waveSpeed,
      speed_m_s: line.pipes[i]?.isBranch === true ? 0 : speedIn(bore),
    })),
    aheadCritical_s: criticalTime(main[0] ?? []),
    behindCritical_s: criticalTime(main[1] ?? []),
    joukowsky_Pa:
      last === undefined
        ? Number.NaN
        : joukowskyRise(liquid.density, last.waveSpeed, speedIn(last.bore) as Speed),
    shortest: line.places.flatMap((place, i) =>
      place.allowed_Pa === undefined ? [] : [{ place, time_s: whole.shortestOf[i] ?? Number.NaN }],
    ),
    slowest: whole.slowest,
    supply_Pa: whole.supply,
    gridUncertainty:
      whole.numerical / Math.max((whole.close.at(-1) ?? Number.NaN) - whole.supply, leastPressure),
    rounded: grid.worst,
    opened: line.places.map((place, i) => ({ place, pressure_Pa: whole.open[i] ?? Number.NaN })),
    isScaled,
    level: line.pipes.flatMap(({ fields, rise }, i) => (rise < 0 ? [fields.name ?? `pipe ${i + 1}`] : [])),
    weight_Pa_m: liquid.density * standardGravity.value,
  };
}
