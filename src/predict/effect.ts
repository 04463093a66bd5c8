/**
 * Which declared inputs make the band as wide as it is: first and total effects on the opening rate.
 *
 * The rate 1/time is used because it passes the cliff smoothly: a drive that stalls has the rate 0,
 * while it has no time. Correlated inputs are sampled as declared; an effect then counts an input's
 * independent share in the order in which they are correlated.
 */
import { type EffectEstimate, sobolEffects } from "../numerics/index.js";
import type { BlockResult } from "./block.js";
import type { Plan } from "./plan.js";

export interface InputEffect {
  readonly path: string;
  readonly first: EffectEstimate;
  readonly total: EffectEstimate;
}

/** Effects, largest total first. Empty where nothing is uncertain or nothing moves. */
export function effectsOf(plan: Plan, blocks: readonly BlockResult[], seed: number): readonly InputEffect[] {
  const d = plan.space.inputs.length;
  const width = d + 2;
  const ordered = [...blocks].sort((a, b) => a.request.start - b.request.start);
  const total = ordered.reduce((sum, block) => sum + block.request.count, 0);
  if (d === 0 || total < 2) return [];
  const designs = Array.from({ length: width }, () => new Float64Array(total));
  let i = 0;
  for (const block of ordered) {
    for (let k = 0; k < block.request.count; k++, i++) {
      for (let j = 0; j < width; j++) {
        const design = designs[j];
        if (design !== undefined) design[i] = block.rows[k * width + j] ?? 0;
      }
    }
  }
  const [a, b, ...mixed] = designs;
  if (a === undefined || b === undefined) return [];
  const { effects } = sobolEffects({ a, b, mixed }, { seed, confidence: 0.95, resamples: 200 });
  return (effects ?? [])
    .map(
      ({ first, total: whole }, j): InputEffect => ({
        path: plan.space.inputs[j]?.path ?? "",
        first,
        total: whole,
      }),
    )
    .sort((x, y) => y.total.estimate - x.total.estimate);
}
