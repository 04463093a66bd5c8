export { completeEllipticE, completeEllipticK } from "./elliptic.js";
export { type Beyond, type Interpolant, monotoneCubic, pchipSlopes, piecewiseLinear } from "./interpolate.js";
export {
  normalCdf,
  normalDensity,
  normalQuantile,
  triangularQuantile,
  truncatedNormalQuantile,
  uniformQuantile,
} from "./normal.js";
export { hashWords, type RandomStream, randomStream } from "./random.js";
export { findRoot, type RootOptions } from "./roots.js";
export { latinHypercube, type Scramble, SOBOL_DIMENSIONS, sobolBlock, sobolPoint } from "./sampling.js";
