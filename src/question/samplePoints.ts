/** The random numbers behind the samples of a band, made again from the seed: which input stood where in which sample. */
import { sobolBlock } from "../numerics/index.js";
import { type Prediction, planFor } from "../predict/index.js";

/** Where the inputs stood. */
export interface SamplePoints {
  /** Paths of the inputs. */
  readonly paths: readonly string[];
  /** Probability, in its own law, at which each input stood: samples one after the other [-]. */
  readonly points: Float64Array;
  readonly samples: number;
}

/** More samples than this would not change what is printed: chance leaves 0.2 % of a spread. */
const mostSamples = 512;

/** The first samples of a band; undefined without a band or without uncertain inputs. */
export function samplePointsOf(prediction: Prediction): SamplePoints | undefined {
  const { band, dossier, caseId, options } = prediction;
  if (band === undefined) return undefined;
  const { space } = planFor(dossier, caseId);
  const d = space.inputs.length;
  const samples = Math.min(band.samples, mostSamples);
  if (d === 0 || samples < 2) return undefined;
  const points = sobolBlock(0, samples, d, options.seed);
  for (let i = 0; i < samples; i++) space.copula?.correlate(points.subarray(i * d, (i + 1) * d));
  return { paths: space.inputs.map(({ path }) => path), points, samples };
}
