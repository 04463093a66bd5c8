/**
 * Which declared inputs make the band as wide as it is: first and total effects on the opening rate.
 *
 * The rate 1/time is used because it passes the cliff smoothly: a drive that stalls has the rate 0,
 * while it has no time. Correlated inputs are sampled as declared; an effect then counts an input's
 * independent share in the order in which they are correlated.
 *
 * The first points are evaluated for every input; the rest for those inputs alone that may matter by
 * what the first ones say, so that the openings go where the digits are.
 */
import { type EffectEstimate, type Effects, sobolEffects } from "../numerics/index.js";
import { type BlockResult, designsOf } from "./block.js";
import type { Plan } from "./plan.js";

export interface InputEffect {
  readonly path: string;
  readonly first: EffectEstimate;
  readonly total: EffectEstimate;
}

/** Base samples that every input has. */
export const pilotSamples = 64;
/** An input with a lesser total effect after those samples is not followed further [-]. */
const leastTotal = 0.005;

/**
 * The inputs that may matter by the first blocks, ascending. Every one where a drive stalls: of a few
 * points beyond a cliff, the first ones say little of who leads there.
 */
export function followedInputs(plan: Plan, blocks: readonly BlockResult[], seed: number): readonly number[] {
  if (blocks.some(({ rows }) => rows.includes(0))) return plan.space.inputs.map((_, j) => j);
  const { effects = [] } = estimates(plan, blocks, seed, 0) ?? {};
  return effects.flatMap(({ total }, j) => (total.estimate >= leastTotal ? [j] : []));
}

/** Effects, largest total first. Empty where nothing is uncertain or nothing moves. */
export function effectsOf(plan: Plan, blocks: readonly BlockResult[], seed: number): readonly InputEffect[] {
  const { effects = [] } = estimates(plan, blocks, seed, 200) ?? {};
  return effects
    .map(
      ({ first, total: whole }, j): InputEffect => ({
        path: plan.space.inputs[j]?.path ?? "",
        first,
        total: whole,
      }),
    )
    .sort((x, y) => y.total.estimate - x.total.estimate);
}

function estimates(
  plan: Plan,
  blocks: readonly BlockResult[],
  seed: number,
  resamples: number,
): Effects | undefined {
  const ordered = [...blocks].sort((a, b) => a.request.start - b.request.start);
  const total = ordered.reduce((sum, block) => sum + block.request.count, 0);
  if (plan.space.inputs.length === 0 || total < 2) return undefined;
  const columns = Array.from({ length: plan.space.inputs.length + 2 }, () => new Float64Array(total));
  // The blocks that lack an input come last, so that what it has is the beginning of its column.
  const filled = columns.map(() => 0);
  for (const { request, rows } of ordered) {
    const designs = designsOf(plan, request);
    designs.forEach((design, j) => {
      const column = columns[design];
      const from = filled[design] ?? 0;
      if (column === undefined) return;
      for (let k = 0; k < request.count; k++) column[from + k] = rows[k * designs.length + j] ?? 0;
      filled[design] = from + request.count;
    });
  }
  const [a, b, ...mixed] = columns.map((column, design) => column.subarray(0, filled[design]));
  if (a === undefined || b === undefined) return undefined;
  return sobolEffects({ a, b, mixed }, { seed, confidence: 0.95, resamples });
}
