/** The channels of a log as the reduction reads them: one sample clock, means with their uncertainty. */
import { type Contributor, mean, median, standardDeviation } from "../../numerics/index.js";
import { resolutionStep } from "../event/staircase.js";
import type { RoleId } from "../log/index.js";
import { withoutTurns } from "../log/turns.js";
import type { ChannelLog } from "../run/channels.js";

/** A delay of a channel against what it measures. */
export interface Lag {
  readonly lag_s: number;
  readonly standardUncertainty_s: number;
}

/** What the reduction is told beside the channels. */
export interface RecordOptions {
  readonly lags?: Partial<Record<RoleId, Lag>>;
  /** Dimension of the flow channel: its unit is the file's. */
  readonly flow?: "mass flow" | "volume flow";
}

const noLag: Lag = { lag_s: 0, standardUncertainty_s: 0 };

/** A channel over a stretch of time, as a contributor to a measurement. */
export interface StretchMean extends Contributor {
  readonly samples: number;
}

/** Samples that carry the information of one, at most: a longer memory is a drift. */
const mostCorrelation = 50;

/** A log for reduction. */
export class LogRecord {
  readonly time_s: Float64Array;
  private readonly channels: ChannelLog["channels"];
  private readonly steps = new Map<RoleId, number>();
  private interval: number | undefined;
  /** Standard uncertainty of the clocks of a run of several files, one against the other [s]. */
  readonly clockUncertainty_s: number;

  constructor(
    log: ChannelLog,
    private readonly options: RecordOptions = {},
  ) {
    this.time_s = log.time_s;
    this.channels = log.channels.map((channel) =>
      channel.role === "angle" ? { ...channel, values: withoutTurns(channel.values).values } : channel,
    );
    this.clockUncertainty_s = (log.clocks ?? []).reduce(
      (u, one) => Math.max(u, one.standardUncertainty_s),
      0,
    );
  }

  get flowDimension(): RecordOptions["flow"] {
    return this.options.flow;
  }

  values(role: RoleId): Float64Array | undefined {
    return this.channels.find((channel) => channel.role === role)?.values;
  }

  lag(role: RoleId): Lag {
    return this.options.lags?.[role] ?? noLag;
  }

  /** Of the sensor, by its calibration; 0 where not known. */
  sensorUncertainty(role: RoleId): number {
    return this.channels.find((channel) => channel.role === role)?.standardUncertainty ?? 0;
  }

  /** Roles whose sensors have no stated uncertainty. */
  uncalibrated(roles: readonly RoleId[]): readonly RoleId[] {
    return roles.filter((role) =>
      this.channels.some((one) => one.role === role && one.standardUncertainty === undefined),
    );
  }

  step(role: RoleId): number {
    const known = this.steps.get(role);
    if (known !== undefined) return known;
    const step = resolutionStep(this.values(role) ?? []);
    this.steps.set(role, step);
    return step;
  }

  /**
   * Mean of a channel between two instants of what it measures; its own lag is taken off.
   *
   *   u^2 = s^2 tau / n + q^2 / 12 + u_sensor^2 + (slope u_t)^2
   *
   * with tau the samples that share one error and u_t what lag and clock leave open.
   *
   * @param slope  change per second, if it matters
   * @returns          undefined without a reading in the stretch
   * Source            [gum-2008, 4.2.3, 4.3.7 and F.2.2.1]
   */
  mean(
    role: RoleId,
    from_s: number,
    to_s: number,
    { slope = 0 }: { readonly slope?: number } = {},
  ): StretchMean | undefined {
    const values = this.values(role);
    if (values === undefined) return undefined;
    const { lag_s, standardUncertainty_s } = this.lag(role);
    const picked: number[] = [];
    for (let i = this.firstFrom(from_s, lag_s); i < values.length; i++) {
      if (!((this.time_s[i] ?? 0) - lag_s <= to_s)) break;
      const value = values[i] ?? Number.NaN;
      if (Number.isFinite(value)) picked.push(value);
    }
    if (picked.length === 0) return undefined;
    const n = picked.length;
    const scatter = n > 2 ? standardDeviation(picked) : 0;
    const typeA = scatter * Math.sqrt(Math.min(correlationOf(picked) / n, 1));
    const timing = slope * Math.hypot(standardUncertainty_s, this.clockUncertainty_s);
    return {
      name: `reading of the ${role.replaceAll("_", " ")}`,
      value: mean(picked),
      standardUncertainty: Math.hypot(
        typeA,
        this.step(role) / Math.sqrt(12),
        this.sensorUncertainty(role),
        timing,
      ),
      samples: n,
    };
  }

  /**
   * Reading of a channel that changes fast, at an instant that is not known well: the mean over three
   * samples, with a quarter of what the channel spans within two standard uncertainties of the instant.
   * @returns undefined without a reading there
   */
  around(role: RoleId, at_s: number, { instant_s }: { readonly instant_s: number }): StretchMean | undefined {
    const interval = this.interval_s();
    const near = this.mean(role, at_s - 1.5 * interval, at_s + 1.5 * interval);
    const values = this.values(role);
    if (near === undefined || values === undefined) return undefined;
    const { lag_s, standardUncertainty_s } = this.lag(role);
    const reach = Math.max(
      2 * Math.hypot(instant_s, standardUncertainty_s, this.clockUncertainty_s),
      interval,
    );
    let low = near.value;
    let high = near.value;
    // A little ahead of the reach, so that rounding leaves none out.
    for (let i = this.firstFrom(at_s - reach - interval, lag_s); i < values.length; i++) {
      const since = (this.time_s[i] ?? 0) - lag_s - at_s;
      if (since > reach) break;
      const value = values[i] ?? Number.NaN;
      if (!(Math.abs(since) <= reach) || !Number.isFinite(value)) continue;
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
    return { ...near, standardUncertainty: Math.hypot(near.standardUncertainty, (high - low) / 4) };
  }

  /** Mean slope of a channel over a stretch, per second; 0 where it cannot be told. */
  slope(role: RoleId, from_s: number, to_s: number): number {
    const middle = (from_s + to_s) / 2;
    const early = this.mean(role, from_s, middle);
    const late = this.mean(role, middle, to_s);
    return early === undefined || late === undefined ? 0 : (2 * (late.value - early.value)) / (to_s - from_s);
  }

  /** Sampling interval [s]. */
  interval_s(): number {
    const { time_s } = this;
    this.interval ??= time_s.length < 2 ? 0 : median(time_s.subarray(1).map((t, i) => t - (time_s[i] ?? 0)));
    return this.interval;
  }

  /** The first sample at or behind an instant of what a channel of this lag measures. */
  private firstFrom(from_s: number, lag_s: number): number {
    let low = 0;
    let high = this.time_s.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((this.time_s[middle] ?? 0) - lag_s >= from_s) high = middle;
      else low = middle + 1;
    }
    return low;
  }
}

/** (1 + r)/(1 - r) of the correlation r of neighbours: a noise behind a first-order filter. */
function correlationOf(values: readonly number[]): number {
  const n = values.length;
  const level = mean(values);
  let square = 0;
  let product = 0;
  for (let i = 0; i < n; i++) {
    square += ((values[i] ?? 0) - level) ** 2;
    if (i > 0) product += ((values[i] ?? 0) - level) * ((values[i - 1] ?? 0) - level);
  }
  const r = square > 0 ? Math.max(product / square, 0) : 0;
  return Math.min((1 + r) / Math.max(1 - r, 1e-6), mostCorrelation);
}
