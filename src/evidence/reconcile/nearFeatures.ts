/** Features of a near model (nearModel.ts) at the inputs as they act, and slopes back to those. */
import { SteadyBalance } from "./steadyBalance.js";
import { firstCurve, type SteadyLayout } from "./steadyBase.js";

/** Polynomials of second order in some inputs. */
export interface BasePart {
  /** Inputs that count, as places among those of the run. */
  readonly inputs: readonly number[];
  /** Whether products of two count beside the inputs themselves. */
  readonly isBent: boolean;
  /** Terms x outputs, row after row; a constant, the inputs, the products. */
  readonly coefficients: Float64Array;
  readonly outputs: number;
  /** Of each output: it is a feature over its deviation. */
  readonly deviation: Float64Array;
  /** What the outputs weigh, row after row over the stretch of numbers and curves from `from` on. */
  readonly from: number;
  readonly modes: Float64Array;
  /** What there is where all outputs are nothing. */
  readonly mean: Float64Array;
}

/** A weighted sum over a curve, less its middle. */
export interface CurveFeature {
  readonly weights: Float64Array;
  readonly middle: number;
}

/** Plain data: it can be sent to another thread. */
export interface FeatureModel {
  readonly inputs: number;
  readonly layout: SteadyLayout;
  readonly parts: readonly BasePart[];
  readonly current: readonly CurveFeature[];
  readonly time: readonly CurveFeature[];
}

/** Inputs, outputs of the parts, modes of current and time. */
export function featureCount({ inputs, parts, current, time }: FeatureModel): number {
  return inputs + parts.reduce((sum, { outputs }) => sum + outputs, 0) + current.length + time.length;
}

/** Terms of a part. @param out receives them */
export function fillPart(
  { inputs, isBent }: Pick<BasePart, "inputs" | "isBent">,
  x: ArrayLike<number>,
  out: Float64Array,
): void {
  const n = inputs.length;
  out[0] = 1;
  for (let a = 0; a < n; a++) out[1 + a] = x[inputs[a] as number] as number;
  if (!isBent) return;
  let t = 1 + n;
  for (let a = 0; a < n; a++)
    for (let b = 0; b <= a; b++) out[t++] = (out[1 + a] as number) * (out[1 + b] as number);
}

export function partTerms({ inputs, isBent }: Pick<BasePart, "inputs" | "isBent">): number {
  const n = inputs.length;
  return 1 + n + (isBent ? (n * (n + 1)) / 2 : 0);
}

export class NearFeatures {
  readonly values: Float64Array;
  private readonly balance: SteadyBalance;
  private readonly base: Float64Array;
  private readonly toBase: Float64Array;
  private readonly toCurrent: Float64Array;
  private readonly toTime: Float64Array;
  private readonly terms: readonly Float64Array[];

  constructor(private readonly model: FeatureModel) {
    const { layout } = model;
    this.values = new Float64Array(featureCount(model));
    this.balance = new SteadyBalance(layout);
    this.base = new Float64Array(firstCurve(layout) + 3 * layout.nodes);
    this.toBase = new Float64Array(this.base.length);
    this.toCurrent = new Float64Array(layout.nodes);
    this.toTime = new Float64Array(layout.nodes);
    this.terms = model.parts.map((part) => new Float64Array(partTerms(part)));
  }

  set(x: Float64Array): void {
    this.setBase(x);
    const { model, values, balance } = this;
    let f = values.length - model.current.length - model.time.length;
    for (const one of model.current) values[f++] = along(one, balance.current);
    for (const one of model.time) values[f++] = along(one, balance.time);
  }

  /** Current and time over the opening at inputs; buffers that the next call uses again. */
  curvesAt(x: Float64Array): { readonly current: Float64Array; readonly time: Float64Array } {
    this.setBase(x);
    return this.balance;
  }

  private setBase(x: Float64Array): void {
    const { model, values, base, balance } = this;
    values.set(x);
    let f = model.inputs;
    for (let p = 0; p < model.parts.length; p++) {
      const part = model.parts[p] as BasePart;
      const terms = this.terms[p] as Float64Array;
      const { outputs, coefficients, mean, modes, from, deviation } = part;
      fillPart(part, x, terms);
      const width = mean.length;
      for (let m = 0; m < width; m++) base[from + m] = mean[m] as number;
      for (let o = 0; o < outputs; o++) {
        let value = 0;
        for (let t = 0; t < terms.length; t++)
          value += (terms[t] as number) * (coefficients[t * outputs + o] as number);
        values[f++] = value;
        const share = (deviation[o] as number) * value;
        for (let m = 0; m < width; m++)
          base[from + m] = (base[from + m] as number) + share * (modes[o * width + m] as number);
      }
    }
    balance.set(base);
  }

  /** Slopes to the inputs where it was set last. @param slopes to the features;  @param out receives them, added to what it has */
  addSlopes(slopes: Float64Array, out: Float64Array): void {
    const { model, toBase, toCurrent, toTime, balance } = this;
    let f = slopes.length - model.current.length - model.time.length;
    toBase.fill(0);
    toCurrent.fill(0);
    toTime.fill(0);
    for (const one of model.current) addAlong(one, slopes[f++] as number, toCurrent);
    for (const one of model.time) addAlong(one, slopes[f++] as number, toTime);
    balance.addSlopes(toCurrent, toTime, toBase);
    f = model.inputs;
    for (let a = 0; a < model.inputs; a++) out[a] = (out[a] as number) + (slopes[a] as number);
    for (let p = 0; p < model.parts.length; p++) {
      const part = model.parts[p] as BasePart;
      const { outputs, coefficients, mean, modes, from, deviation, inputs, isBent } = part;
      const terms = this.terms[p] as Float64Array;
      const width = mean.length;
      const n = inputs.length;
      for (let o = 0; o < outputs; o++) {
        let g = 0;
        for (let m = 0; m < width; m++) g += (toBase[from + m] as number) * (modes[o * width + m] as number);
        g = (slopes[f++] as number) + g * (deviation[o] as number);
        for (let a = 0; a < n; a++) {
          const j = inputs[a] as number;
          out[j] = (out[j] as number) + g * (coefficients[(1 + a) * outputs + o] as number);
        }
        if (!isBent) continue;
        let t = 1 + n;
        for (let a = 0; a < n; a++)
          for (let b = 0; b <= a; b++) {
            const s = g * (coefficients[t++ * outputs + o] as number);
            const [one, other] = [inputs[a] as number, inputs[b] as number];
            out[one] = (out[one] as number) + s * (terms[1 + b] as number);
            out[other] = (out[other] as number) + s * (terms[1 + a] as number);
          }
      }
    }
  }
}

function along({ weights, middle }: CurveFeature, curve: Float64Array): number {
  let sum = -middle;
  for (let m = 0; m < weights.length; m++) sum += (weights[m] as number) * (curve[m] as number);
  return sum;
}

function addAlong({ weights }: CurveFeature, by: number, out: Float64Array): void {
  for (let m = 0; m < weights.length; m++) out[m] = (out[m] as number) + by * (weights[m] as number);
}
