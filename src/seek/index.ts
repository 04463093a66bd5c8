export {
  type Loser,
  type LossCount,
  type NamedResult,
  type Relaxation,
  type SeekAnswer,
  type SeekLimit,
  seekAnswer,
} from "./answer.js";
export { dimensionOf, endWords, figureIds, type SeekAxis, seekAxes, shownResults, valueOn } from "./axes.js";
export { planBlocks, type SeekBlock, type SeekBlockResult, SeekWorker, workBlock } from "./block.js";
export type { CandidateFigure, CandidateResult, FigureId, Miss, Sieve } from "./candidate.js";
export { type ChoiceFile, choiceFile, choiceOf } from "./choiceFile.js";
export type { CriterionId } from "./criteria.js";
export { choicesFigure, choicesInFigure, scatterFigure, scatterPoints } from "./figures.js";
export type { Objective } from "./front.js";
export { type SeekOrder, seekOrder, usualSeekSamples } from "./order.js";
export { type PeakMargins, peakMargins } from "./peaks.js";
export { type SeekPlan, seekPlan } from "./plan.js";
export { type SeekScope, seekScope } from "./scope.js";
export { type ChoiceNames, choiceAt, partsOf } from "./space.js";
export { type Concept, type ConceptFigure, type Trade, tradeOf } from "./trade.js";
