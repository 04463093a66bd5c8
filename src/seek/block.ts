/**
 * Blocks of candidates: the unit of work that is handed to a worker, here or on another host. What a block
 * gives depends on the order and the block alone, so that any number of workers in any sequence gives the
 * same bits, and a block that is worked out twice gives the same result twice. Both are plain data.
 */
import { refuse } from "../fault/index.js";
import { modelVersion } from "../predict/index.js";
import type { CandidateResult } from "./candidate.js";
import type { SeekOrder } from "./order.js";
import { evaluatorOf, type SeekPlan, seekPlan } from "./plan.js";

/** A range of candidates. */
export interface SeekBlock {
  /** Number of the first candidate. */
  readonly start: number;
  readonly count: number;
}

export interface SeekBlockResult {
  readonly block: SeekBlock;
  /** One for each candidate, in order. */
  readonly results: readonly CandidateResult[];
}

/** Candidates in a block: some seconds of work where most come to the band. */
const blockSize = 256;

/** Cuts a search into blocks, in order. @param size candidates of each, left out: the usual */
export function planBlocks({ space }: SeekPlan, size: number = blockSize): readonly SeekBlock[] {
  const blocks: SeekBlock[] = [];
  for (let start = 0; start < space.count; start += size)
    blocks.push({ start, count: Math.min(size, space.count - start) });
  return blocks;
}

/** Works one block out. */
export function workBlock(plan: SeekPlan, block: SeekBlock): SeekBlockResult {
  const evaluator = evaluatorOf(plan);
  return {
    block,
    results: Array.from({ length: block.count }, (_, i) => evaluator.evaluate(block.start + i)),
  };
}

/**
 * Whoever works blocks out: keeps the plan of the order it was last given, which takes longer to make than
 * a block to work out.
 */
export class SeekWorker {
  private plan: SeekPlan | undefined;
  private key = "";

  /** Refuses an order of another version of the model: its results would not be those of this one. */
  work(order: SeekOrder, block: SeekBlock): SeekBlockResult {
    if (order.model !== modelVersion)
      refuse(
        "seek-other-model",
        `the search was ordered of model ${order.model}, this program has ${modelVersion}`,
        "All blocks of a search are worked out by one version of the model.",
        "Order the search again, or start a worker of that version",
      );
    const key = JSON.stringify(order);
    if (this.plan === undefined || this.key !== key) {
      this.plan = seekPlan(order);
      this.key = key;
    }
    return workBlock(this.plan, block);
  }
}
