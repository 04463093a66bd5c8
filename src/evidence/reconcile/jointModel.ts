/**
 * What a joint update makes least: residuals of all histories of all runs, and the scores.
 *
 *   -2 log posterior = sum over histories of (nu + N) log(1 + S/nu)  +  sum of z^2
 *
 * S is the sum of squares of a history's residuals, each over the standard uncertainty that noise and
 * model discrepancy leave it, N the number of independent stretches of a stroke. The discrepancy is
 * correlated along the stroke: neighbouring points share one error, so many points do not make a wrong
 * model certain. Its size is not known: about the declared size lies a scaled inverse chi-squared law
 * of nu degrees of freedom, and the size is integrated out, which leaves the logarithm: a history that
 * no parameter reaches loses its pull instead of dragging the parameters along.
 * Sources: discrepancy term [kennedy-ohagan-2001]; the integral is the multivariate t law
 * [gelman-2013, sec. 3.2 and appendix A]. Derived in docs/theory/reconciliation.md.
 */
import { Refusal } from "../../fault/index.js";
import { ValveSample } from "../../predict/index.js";
import { independentStretches, marginal, sizeFreedom } from "./marginal.js";
import type { MeasuredHistory } from "./measured.js";
import { fitTolerance, type Simulated, StrokeObserver } from "./observe.js";
import { type FittedRun, JointSpace } from "./parameters.js";

/**
 * Size of the model discrepancy as a share of a channel's range. Estimates: a lumped train is right to
 * about a degree, a quasi-steady current to some per cent, a quasi-steady pressure drop to a sixth.
 */
const discrepancyShare = {
  angle: 0.008,
  current: 0.04,
  "supply voltage": 0.02,
  "pressure drop": 0.15,
} as const;
/** What the choice of steps leaves in a history, relative; ten times the tolerance. */
export const simulationNoise = 10 * fitTolerance;

/** One history of one run after an update. */
export interface ChannelMisfit {
  readonly run: number;
  readonly channel: MeasuredHistory["channel"];
  /** Sum of squares over independent stretches; 1 is expected with the declared discrepancy [-]. */
  readonly misfit: number;
  /** Size of noise and discrepancy over the declared size, as estimated [-]. */
  readonly discrepancy: number;
}

/** Standard uncertainty that noise and model discrepancy of the declared size leave one point [unit of the history]. */
export function discrepancyOf({ channel, values, noise }: MeasuredHistory): number {
  return Math.hypot(noise, discrepancyShare[channel] * rangeOf(channel, values));
}

/** A drop smaller than this is not told from the offsets of its two sensors [Pa]. */
const leastDrop_Pa = 1e5;

function rangeOf(channel: MeasuredHistory["channel"], values: Float64Array): number {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  // A voltage hardly moves: what counts is a share of the voltage there is. Two pressure sensors differ.
  const least = {
    angle: 0,
    current: 0,
    "supply voltage": 0.1 * Math.abs(high),
    "pressure drop": leastDrop_Pa,
  };
  return Math.max(high - low, least[channel]);
}

/** Weight of each history's residuals: one over noise and discrepancy, spread over dependent points. */
function weights(histories: readonly MeasuredHistory[]): readonly number[] {
  return histories.map(({ channel, values, noise }) => {
    const discrepancy = discrepancyShare[channel] * rangeOf(channel, values);
    const dependent = Math.max(values.length / independentStretches, 1);
    const variance = noise * noise + discrepancy * discrepancy * dependent;
    return variance > 0 ? 1 / Math.sqrt(variance) : 0;
  });
}

export class JointModel {
  readonly space: JointSpace;
  private readonly samples: readonly ValveSample[];
  private readonly observers: readonly StrokeObserver[];
  private readonly weight: readonly (readonly number[])[];
  private readonly points: readonly number[];
  private readonly buffers: readonly Float64Array[];
  /** Share of their weight at which the data are let in. */
  strength = 1;
  /** Strokes simulated so far. */
  simulations = 0;

  constructor(
    readonly runs: readonly FittedRun[],
    tolerance: number = fitTolerance,
  ) {
    this.space = new JointSpace(runs);
    this.samples = runs.map(({ plan }) => new ValveSample(plan));
    this.observers = runs.map(({ plan, stroke }) => new StrokeObserver(plan, stroke, tolerance));
    this.weight = runs.map(({ stroke }) => weights(stroke.histories));
    this.points = runs.map(({ stroke }) =>
      stroke.histories.reduce((sum, { values }) => sum + values.length, 0),
    );
    this.buffers = this.points.map((count) => new Float64Array(count));
  }

  /** Simulated histories of one run; undefined where no valve can be so. Buffers that the next call uses again. */
  private seen(run: number, z: ArrayLike<number>): Simulated | undefined {
    const sample = this.samples[run];
    const observer = this.observers[run];
    if (sample === undefined || observer === undefined) return undefined;
    this.space.fill(run, z, sample.values);
    this.simulations++;
    return seenOrNothing(() => observer.at(sample, this.space.viewing(run, z)));
  }

  /**
   * Residuals of one run over their uncertainties, history after history; NaN where no valve can be so.
   * @param out receives them
   */
  private plainResiduals(run: number, z: ArrayLike<number>, out: Float64Array): void {
    const seen = this.seen(run, z);
    let k = 0;
    this.runs[run]?.stroke.histories.forEach(({ values }, h) => {
      const w = this.strength * (this.weight[run]?.[h] ?? 0);
      const simulated = seen?.[h];
      for (let i = 0; i < values.length; i++)
        out[k++] = w * ((simulated?.[i] ?? Number.NaN) - (values[i] as number));
    });
  }

  /** Number of residuals of a run. */
  private pointsOf(run: number): number {
    return this.points[run] ?? 0;
  }

  /** Weighted residuals of every run where the posterior was last asked for. */
  residualsNow(): readonly Float64Array[] {
    return this.buffers.map((residuals) => residuals.slice());
  }

  /** Sum of squares of each history of a run; NaN where no valve can be so. */
  private squares(run: number, z: ArrayLike<number>): readonly number[] {
    const residuals = this.buffers[run] ?? new Float64Array(0);
    this.plainResiduals(run, z, residuals);
    let k = 0;
    return (this.runs[run]?.stroke.histories ?? []).map(({ values }) => {
      let sum = 0;
      for (const end = k + values.length; k < end; k++) sum += (residuals[k] as number) ** 2;
      return sum;
    });
  }

  /** Residuals of one run whose squares sum to its part of -2 log likelihood. */
  residualsOf(run: number, z: ArrayLike<number>): Float64Array {
    const out = new Float64Array(this.pointsOf(run));
    let k = 0;
    const squares = this.squares(run, z);
    const residuals = this.buffers[run] ?? out;
    this.runs[run]?.stroke.histories.forEach(({ values }, h) => {
      const square = squares[h] ?? Number.NaN;
      const scale = square === 0 ? 0 : Math.sqrt(marginal(square) / square);
      for (const end = k + values.length; k < end; k++) out[k] = scale * (residuals[k] as number);
    });
    return out;
  }

  /** -log posterior but for a constant; not finite where no valve can be so. */
  minusLogPosterior(z: ArrayLike<number>): number {
    let sum = 0;
    for (let j = 0; j < this.space.size; j++) sum += (z[j] ?? 0) ** 2;
    for (let run = 0; run < this.runs.length; run++)
      for (const square of this.squares(run, z)) sum += marginal(square);
    return sum / 2;
  }

  /** How far each history is missed. */
  misfits(z: ArrayLike<number>): readonly ChannelMisfit[] {
    return this.runs.flatMap(({ stroke }, run) =>
      this.squares(run, z).map(
        (square, h): ChannelMisfit => ({
          run,
          channel: stroke.histories[h]?.channel ?? "angle",
          misfit: square / independentStretches,
          discrepancy: Math.sqrt((sizeFreedom + square) / (sizeFreedom + independentStretches)),
        }),
      ),
    );
  }
}

/** A simulation, or undefined where values are such that no valve can have them. */
export function seenOrNothing(simulate: () => Simulated): Simulated | undefined {
  try {
    return simulate();
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    return undefined;
  }
}
