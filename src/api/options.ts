/** What the model is asked for, from what the caller asked for. */
import { defaultOptions, type PredictionOptions } from "../predict/index.js";
import type { PredictingManner } from "./manner.js";

/** Samples that give a verdict within some seconds; `coldturn predict` draws 10000. */
const usualSamples = 512;

/** Samples of band and effects: the effects have as many in proportion as are usual. */
export function optionsOf({ samples = usualSamples, seed = 1 }: PredictingManner): PredictionOptions {
  for (const [name, value] of Object.entries({ samples, seed }))
    if (!Number.isSafeInteger(value) || value < 0)
      throw new RangeError(`${name} must be a whole number, 0 or more; ${String(value)} is not`);
  const effectSamples = Math.round((samples * defaultOptions.effectSamples) / defaultOptions.samples);
  return { samples, seed, effectSamples };
}
