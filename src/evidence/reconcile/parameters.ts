/**
 * The parameters of a joint update: every uncertain input of every run's plan once, as independent
 * normal scores z, and what the file takes for granted.
 *
 * An input is known by its path in the valve file, so two runs of one valve share its seat friction
 * and its cables; conditions of a test (temperatures, dwell, supply pressure, the voltage of its battery)
 * belong to their run, even where two runs are of one case. Declared correlations mix the scores, y = L z, with the shared
 * inputs first: conditions of two runs depend on each other only through what they share.
 */
import { normalCdf } from "../../numerics/index.js";
import { lawQuantile, type Plan } from "../../predict/index.js";
import type { Declared } from "../../quantity/index.js";
import { angleLagPath, clockOf, clockPath, commandDelayPath, type Granted, granted } from "./granted.js";
import type { MeasuredStroke } from "./measured.js";
import type { Viewing } from "./observe.js";
import { mixing } from "./scores.js";

/** One run to be fitted: the model of its case, and what was measured. */
export interface FittedRun {
  readonly plan: Plan;
  readonly stroke: MeasuredStroke;
}

export interface Parameter {
  /** Path in the valve file, or of `granted`. */
  readonly path: string;
  /** Place of the run it belongs to; undefined where runs share it. */
  readonly run: number | undefined;
  /** Runs that depend on it. */
  readonly runs: readonly number[];
  readonly granted: Granted | undefined;
}

/** A parameter as one run reads it. */
interface RunPart {
  /** Place in the joint vector. */
  readonly index: number;
  /** Place among the inputs of the run's plan; -1 for what is taken for granted. */
  readonly input: number;
}

/** Whether an input says how one test was made rather than what the valve is. */
export function isCondition(path: string): boolean {
  return /^(cases\[\d+\]|duty)\./.test(path) && !/\.line\./.test(path) && path !== "duty.ambient_pressure";
}

/** Whether each test has an input for itself: conditions, and the battery's voltage, which goes with its charge. */
function isOwnOfRun(path: string): boolean {
  return isCondition(path) || path === "drive.supply.open_circuit_voltage";
}

/** A part of a mixed score. */
export interface MixedScore {
  /** Place of the independent score. */
  readonly k: number;
  readonly weight: number;
}

/** Up to this score a declared law is taken at its word: the 95 % that people mean by it. */
const meant = 2;
/** How the tail of a normal law grows beyond, per score. Our choice: 4 declared deviations cost 3, 10 cost 4. */
const tailGrowth = 1.2;

/**
 * Distance from the mean of a normal law, in its deviations, at a score. What is declared with too small
 * a spread is the usual way in which a declaration is wrong, so the law has a long tail beyond its 95 %:
 * else a value that is far from what was declared would hide behind small shifts of all the others.
 *
 *   |y| <= 2: y,   beyond: 2 + (exp(k (|y| - 2)) - 1) / k
 */
function deviationsAt(y: number): number {
  const size = Math.abs(y);
  return size <= meant ? y : Math.sign(y) * (meant + Math.expm1(tailGrowth * (size - meant)) / tailGrowth);
}

/** Value of a declared law at a score. A range or a triangle ends where it was said to end. */
function declaredAt({ law, value }: Declared, score: number): number {
  const y = bounded(score);
  if (law.kind !== "normal" || Math.abs(y) <= meant) return lawQuantile(law, value, normalCdf(y));
  const edge = lawQuantile(law, value, normalCdf(Math.sign(y) * meant));
  const beyond = deviationsAt(y) - Math.sign(y) * meant;
  return Math.min(Math.max(edge + law.deviation * beyond, law.low), law.high);
}

/** A score beyond this is as good as impossible; quantiles stop here. */
const farthest = 8;
const bounded = (y: number): number => Math.min(Math.max(y, -farthest), farthest);

export class JointSpace {
  readonly parameters: readonly Parameter[];
  /** L of y = L z, row after row. */
  readonly mixing: Float64Array;
  private readonly parts: readonly (readonly RunPart[])[];
  private readonly isMixed: readonly boolean[];
  private readonly inputs: readonly (Plan["space"]["inputs"][number] | undefined)[];

  constructor(readonly runs: readonly FittedRun[]) {
    const keys = new Map<
      string,
      { path: string; run: number | undefined; runs: number[]; granted: Granted | undefined }
    >();
    const note = (path: string, run: number, ofRun: boolean, own: Granted | undefined): void => {
      const key = ofRun ? `${run} ${path}` : path;
      const known = keys.get(key);
      if (known === undefined)
        keys.set(key, { path, run: ofRun ? run : undefined, runs: [run], granted: own });
      else known.runs.push(run);
    };
    runs.forEach(({ plan, stroke }, r) => {
      for (const { path } of plan.space.inputs) note(path, r, isOwnOfRun(path), undefined);
      for (const one of [...granted, clockOf(stroke)])
        if (one.concerns(plan, stroke)) note(one.path, r, one.isOfRun, one);
    });
    // Shared ones first: a factor built row by row then leaves the conditions of two runs apart.
    const all = [...keys.values()];
    this.parameters = [
      ...all.filter(({ run }) => run === undefined),
      ...all.filter(({ run }) => run !== undefined),
    ];
    this.parts = runs.map(({ plan }, r) =>
      this.parameters.flatMap(({ path, runs: of }, index) =>
        of.includes(r) ? [{ index, input: plan.space.inputs.findIndex((input) => input.path === path) }] : [],
      ),
    );
    this.inputs = this.parameters.map(({ path, runs: of }) =>
      runs[of[0] ?? -1]?.plan.space.inputs.find((input) => input.path === path),
    );
    this.mixing = this.factor();
    const n = this.size;
    this.isMixed = this.parameters.map((_, i) =>
      this.mixing.subarray(i * n, i * n + i).some((entry) => entry !== 0),
    );
  }

  get size(): number {
    return this.parameters.length;
  }

  /** Places of the parameters that a run depends on. */
  of(run: number): readonly number[] {
    return (this.parts[run] ?? []).map(({ index }) => index);
  }

  /** Place of a parameter by its path, as a run has it; -1 if it has none. */
  find(path: string, run: number): number {
    return this.parameters.findIndex((one) => one.path === path && one.runs.includes(run));
  }

  /** Independent scores that a score is mixed of, y_i = sum of weight z_k. */
  mixedOf(i: number): readonly MixedScore[] {
    if (this.isMixed[i] !== true) return [{ k: i, weight: 1 }];
    return Array.from({ length: i + 1 }, (_, k) => ({
      k,
      weight: this.mixing[i * this.size + k] ?? 0,
    })).filter(({ weight }) => weight !== 0);
  }

  /** Score y_i at independent scores z. */
  scoreAt(z: ArrayLike<number>, i: number): number {
    if (this.isMixed[i] !== true) return z[i] ?? 0;
    let sum = 0;
    for (let k = 0; k <= i; k++) sum += (this.mixing[i * this.size + k] ?? 0) * (z[k] ?? 0);
    return sum;
  }

  /**
   * Sets the values of all slots of a run at independent scores.
   * @param values receives them, SI;  @param moved whether a parameter stands where z says; the others stay as stated
   */
  fill(
    run: number,
    z: ArrayLike<number>,
    values: Float64Array,
    moved: (index: number) => boolean = always,
  ): void {
    const plan = this.runs[run]?.plan;
    if (plan === undefined) return;
    values.set(plan.space.nominal);
    const parts = this.parts[run] ?? [];
    for (const { index, input } of parts) {
      const declared = plan.space.inputs[input];
      if (declared === undefined || !moved(index)) continue;
      const score = this.scoreAt(z, index);
      for (const { slot, declared: one } of declared.members) values[slot] = declaredAt(one, score);
    }
    // After the inputs: these act on what those say.
    for (const { index } of parts) {
      const own = this.parameters[index]?.granted;
      if (own?.enter !== undefined && moved(index))
        own.enter(values, plan, own.valueAt(bounded(z[index] ?? 0)));
    }
  }

  /** How the log of a run sees the stroke at independent scores. */
  viewing(run: number, z: ArrayLike<number>, moved: (index: number) => boolean = always): Viewing {
    const value = (path: string): number => {
      const index = this.find(path, run);
      const own = this.parameters[index]?.granted;
      if (own === undefined) return 0;
      return moved(index) ? own.valueAt(bounded(z[index] ?? 0)) : own.stated;
    };
    return { delay_s: value(commandDelayPath) + value(clockPath), angleLag_s: value(angleLagPath) };
  }

  /** Value of a parameter at a score: of a table its first row, SI. */
  valueAt(index: number, score: number): number {
    const parameter = this.parameters[index];
    if (parameter === undefined) return Number.NaN;
    if (parameter.granted !== undefined) return parameter.granted.valueAt(bounded(score));
    const member = this.inputOf(index)?.members[0]?.declared;
    return member === undefined ? Number.NaN : declaredAt(member, score);
  }

  /** The input of a plan that a parameter stands for; undefined for what is taken for granted. */
  inputOf(index: number): Plan["space"]["inputs"][number] | undefined {
    return this.inputs[index];
  }

  /** How far a score lies from what was declared, in declared uncertainties. */
  shiftAt(index: number, score: number): number {
    return this.inputOf(index)?.members[0]?.declared.law.kind === "normal" ? deviationsAt(score) : score;
  }

  /** As stated: the nominal value of an input, or what the file takes for granted. */
  statedOf(index: number): number {
    const own = this.parameters[index]?.granted;
    return own === undefined ? (this.inputOf(index)?.members[0]?.declared.value ?? Number.NaN) : own.stated;
  }

  /** Cholesky factor of the correlations of all scores; between conditions of two runs none is declared. */
  private factor(): Float64Array {
    const n = this.parameters.length;
    const R = new Float64Array(n * n);
    for (let i = 0; i < n; i++) R[i * n + i] = 1;
    this.runs.forEach(({ plan }, r) => {
      const m = plan.space.inputs.length;
      const own = mixing(plan.space);
      const place = plan.space.inputs.map(({ path }) => this.find(path, r));
      for (let i = 0; i < m; i++) {
        for (let j = 0; j < i; j++) {
          let sum = 0;
          for (let k = 0; k <= j; k++) sum += (own[i * m + k] ?? 0) * (own[j * m + k] ?? 0);
          const a = place[i] ?? 0;
          const b = place[j] ?? 0;
          R[a * n + b] = sum;
          R[b * n + a] = sum;
        }
      }
    });
    const L = new Float64Array(n * n);
    for (let i = 0; i < n; i++) {
      const run = this.parameters[i]?.run;
      for (let j = 0; j <= i; j++) {
        const other = this.parameters[j]?.run;
        if (other !== undefined && other !== run) continue;
        let sum = R[i * n + j] ?? 0;
        for (let k = 0; k < j; k++) sum -= (L[i * n + k] ?? 0) * (L[j * n + k] ?? 0);
        if (i === j) L[i * n + i] = Math.sqrt(Math.max(sum, leastPivot));
        else L[i * n + j] = sum / (L[j * n + j] ?? 1);
      }
    }
    return L;
  }
}

/** Correlations that cannot hold together over several cases leave this much of an input its own. */
const leastPivot = 1e-6;

function always(): boolean {
  return true;
}

/** Run whose own value a parameter is, where several runs are held together. */
export function ownRunOf({ parameters, runs }: JointSpace, j: number): { readonly runId?: string } {
  const run = parameters[j]?.run;
  const runId = run === undefined || runs.length < 2 ? undefined : runs[run]?.stroke.runId;
  return runId === undefined ? {} : { runId };
}
