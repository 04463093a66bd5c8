/** What a test of a part alone is expected to show, with a small band: a motor run free, a stem held. */
import { applyDefaults, type Dossier, type TestKind } from "../../dossier/index.js";
import { Refusal } from "../../fault/index.js";
import { quantileOfSorted, sobolBlock } from "../../numerics/index.js";
import { isAnswerable, type Plan, planFor, ValveSample, valuesAt } from "../../predict/index.js";
import { kindsOfTest } from "./kinds.js";

/** One figure of a channel, SI. */
export interface BenchValue {
  readonly channel: string;
  readonly what: "highest" | "at the end";
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/** A test of a part alone. */
export interface BenchTest {
  readonly values: readonly BenchValue[];
  /** Share of the samples between the ends [-]. */
  readonly coverage: number;
  /** Time over which it is observed [s]. */
  readonly horizon_s: number;
  /** Readings that the ranking takes of each channel. */
  readonly readings: number;
}

const coverage = 0.95;
/** Enough for the ends of a range of an instrument. */
const mostSamples = 200;
/** As the kinds take them: twelve stretches of sixteen readings. */
const readings = 192;

/**
 * Follows a test of a part alone.
 * @param caseId  whose conditions it is made at
 * @returns       undefined where the motion is not known;  Refuses an unknown case
 */
export function benchTest(
  dossier: Dossier,
  kind: TestKind,
  caseId: string,
  { seed, samples }: { readonly seed: number; readonly samples: number },
): BenchTest | undefined {
  const of = kindsOfTest.find((one) => one.kind === kind);
  const plan = planFor(applyDefaults(dossier, caseId).dossier, caseId);
  if (of === undefined || !isAnswerable(plan, "motion")) return undefined;
  const { space } = plan;
  const d = Math.max(space.inputs.length, 1);
  const nominal = sampleOf(plan, space.nominal);
  const horizon_s = of.horizon(plan, nominal);
  const base = of.observe(plan, nominal, horizon_s).flatMap(figuresOf);
  const count = Math.min(samples, mostSamples);
  const points = count === 0 ? new Float64Array(0) : sobolBlock(0, count, d, seed);
  const values = new Float64Array(space.nominal.length);
  const drawn: number[][] = base.map(() => []);
  for (let i = 0; i < count; i++) {
    valuesAt(space, points.subarray(i * d, (i + 1) * d), values);
    try {
      const found = of.observe(plan, sampleOf(plan, values), horizon_s).flatMap(figuresOf);
      for (const [k, { value }] of found.entries()) drawn[k]?.push(value);
    } catch (thrown) {
      // A sample that no valve can be shows nothing.
      if (!(thrown instanceof Refusal)) throw thrown;
    }
  }
  return {
    values: base.map((one, k) => {
      const sorted = Float64Array.from(drawn[k] ?? []).sort();
      if (sorted.length < 2) return { ...one, low: one.value, high: one.value };
      return {
        ...one,
        low: quantileOfSorted(sorted, (1 - coverage) / 2),
        high: quantileOfSorted(sorted, (1 + coverage) / 2),
      };
    }),
    coverage,
    horizon_s,
    readings,
  };
}

function sampleOf(plan: Plan, values: Float64Array): ValveSample {
  const sample = new ValveSample(plan);
  sample.values.set(values);
  sample.updateFlow();
  sample.updateTorque();
  return sample;
}

function figuresOf({ channel, values }: { readonly channel: string; readonly values: Float64Array }) {
  const last = values.at(-1) ?? Number.NaN;
  const highest = values.reduce((most, value) => Math.max(most, value), Number.NEGATIVE_INFINITY);
  const end = { channel, what: "at the end" as const, value: last };
  return highest > last ? [{ channel, what: "highest" as const, value: highest }, end] : [end];
}
