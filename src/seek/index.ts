export { type Loser, type NamedResult, type Relaxation, type SeekAnswer, seekAnswer } from "./answer.js";
export { planBlocks, type SeekBlock, type SeekBlockResult, SeekWorker, workBlock } from "./block.js";
export type { CandidateFigure, CandidateResult, FigureId, Miss, Sieve } from "./candidate.js";
export type { CriterionId } from "./criteria.js";
export type { Objective } from "./front.js";
export { type SeekOrder, seekOrder, usualSeekSamples } from "./order.js";
export { type SeekPlan, seekPlan } from "./plan.js";
export { type ChoiceNames, choiceAt, partsOf } from "./space.js";
export { type Concept, type ConceptFigure, type Trade, tradeOf } from "./trade.js";
