/** Length of one batch [ms]: long against the clock's resolution and a scheduler's slice. */
const BATCH = 30;
/** Batches; the median of an odd number is one of them. */
const BATCHES = 15;
/** Time given to the compiler of the engine before the first batch [ms]. */
const WARM_UP = 200;

/**
 * Median time of one call, from batches of calls in this process.
 * @param work  what is timed; returns a number, so that the engine cannot drop the computation
 * @returns     median over the batches of the mean time of a call [s]
 */
export function timeOfCall(work: () => number): number {
  let sum = 0;
  let calls = 0;
  const warmed = performance.now() + WARM_UP;
  for (; performance.now() < warmed || calls < 2; calls++) sum += work();
  const perBatch = Math.max(1, Math.round((calls * BATCH) / WARM_UP));
  const means: number[] = [];
  for (let batch = 0; batch < BATCHES; batch++) {
    const started = performance.now();
    for (let call = 0; call < perBatch; call++) sum += work();
    means.push((performance.now() - started) / 1000 / perBatch);
  }
  if (Number.isNaN(sum)) throw new Error("the timed work returned NaN");
  return median(means);
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[(sorted.length - 1) >> 1] ?? Number.NaN;
}
