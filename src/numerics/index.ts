export { type ChainDiagnosis, type Chains, diagnoseChains, effectiveSize, rHat } from "./chainDiagnostics.js";
export {
  betaQuantile,
  chiSquaredCdf,
  chiSquaredQuantile,
  logGamma,
  regularizedBeta,
  studentCdf,
  studentQuantile,
} from "./distributions.js";
export {
  type BootstrapOptions,
  type Effect,
  type EffectEstimate,
  type EffectEvaluations,
  type Effects,
  effectsPoint,
  sobolEffects,
} from "./effects.js";
export { type SymmetricEigen, symmetricEigen } from "./eigen.js";
export { completeEllipticE, completeEllipticK } from "./elliptic.js";
export { evenCubic } from "./evenCubic.js";
export {
  type Filtered,
  lowPassOnePole,
  movingAverage,
  movingMedian,
  savitzkyGolayDerivative,
  savitzkyGolayWeights,
} from "./filters.js";
export { type Beyond, type Interpolant, monotoneCubic, pchipSlopes, piecewiseLinear } from "./interpolate.js";
export {
  type LeastSquaresProblem,
  type LeastSquaresReason,
  type LeastSquaresResult,
  leastSquares,
} from "./leastSquares.js";
export { type ExpectedNarrowing, expectedNarrowing } from "./linearGaussian.js";
export { mean, median, pearson, ranks, spearman, standardDeviation, variance } from "./moments.js";
export {
  type ChainPart,
  type ChainState,
  type ExactLaw,
  factorOf,
  type NearLaw,
  nearDraws,
  placeAt,
  type Reference,
  referenceOf,
  startChain,
  walkChain,
} from "./nearChain.js";
export {
  normalCdf,
  normalDensity,
  normalQuantile,
  triangularQuantile,
  truncatedNormalQuantile,
  uniformQuantile,
} from "./normal.js";
export {
  binomialCdf,
  clopperPearson,
  type ProbabilityInterval,
  type QuantileInterval,
  quantileInterval,
  quantileOfSorted,
  type ToleranceLimit,
  type TooFew,
  wilksConfidence,
  wilksSampleSize,
} from "./orderStatistics.js";
export {
  type Contribution,
  type Contributor,
  type ContributorCorrelation,
  coverageFactorFor,
  type Measurement,
  type MonteCarloOptions,
  type MonteCarloResult,
  numericalTolerance,
  type Propagated,
  propagate,
  propagateByMonteCarlo,
  secondOrderUncertainty,
} from "./propagate.js";
export { integrate } from "./quadrature.js";
export { hashWords, type RandomStream, randomStream } from "./random.js";
export { type Copula, gaussianCopula } from "./rankCorrelation.js";
export { ridgeRegression } from "./ridge.js";
export { rodas } from "./rodas.js";
export { findRoot, type RootOptions } from "./roots.js";
export { nextStep, RosenbrockStep, type StiffSystem } from "./rosenbrock.js";
export { latinHypercube, type Scramble, SOBOL_DIMENSIONS, sobolBlock, sobolPoint } from "./sampling.js";
export { exactShapley, type SampledShapleyShares, type ShapleyShares, sampledShapley } from "./shapley.js";
export { curveAt, curveTurn, curveZero, type StepCurve } from "./stepCurve.js";
export { type StraightLine, straightLine } from "./straightLine.js";
export { chanceOfAtLeast, mannKendall, type TrendTest } from "./trend.js";
