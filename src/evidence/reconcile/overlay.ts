/** Measured histories beside simulated ones: as declared, as updated, and what is left between. */
import { ValveSample } from "../../predict/index.js";
import type { MeasuredHistory } from "./measured.js";
import { plainViewing, StrokeObserver } from "./observe.js";
import type { Update } from "./update.js";

/** Histories for the overlay: measured, simulated as declared, simulated as updated. */
export interface HistoryOverlay {
  readonly channel: MeasuredHistory["channel"];
  readonly time_s: readonly number[];
  readonly measured: readonly number[];
  readonly declared: readonly number[];
  readonly updated: readonly number[];
  /** Half width of what noise and model discrepancy leave one point, standard uncertainty [same unit]. */
  readonly allowance?: number;
  /** 95 % band of the updated model's histories over the posterior; there where one was sampled. */
  readonly band?: { readonly low: readonly number[]; readonly high: readonly number[] };
}

/** The overlays of one run. */
export function overlaysOf({ space, z }: Update, run: number): readonly HistoryOverlay[] {
  const fitted = space.runs[run];
  if (fitted === undefined) return [];
  const { plan, stroke } = fitted;
  const sample = new ValveSample(plan);
  space.fill(run, z, sample.values, () => false);
  const before = new StrokeObserver(plan, stroke).at(sample, plainViewing);
  space.fill(run, z, sample.values);
  const after = new StrokeObserver(plan, stroke).at(sample, space.viewing(run, z));
  return stroke.histories.map(({ channel, time_s, values }, h) => ({
    channel,
    time_s: [...time_s],
    measured: [...values],
    declared: [...(before[h] ?? [])],
    updated: [...(after[h] ?? [])],
  }));
}
