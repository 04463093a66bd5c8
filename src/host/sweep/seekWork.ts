/** Work of a search: blocks of its candidates. */
import {
  type SeekBlock,
  type SeekBlockResult,
  type SeekOrder,
  seekPlan,
  workBlock,
} from "../../seek/index.js";
import { runSweep, type SweepOptions } from "./sweep.js";
import type { BlockWork } from "./work.js";

export const seekWork: BlockWork<SeekOrder, SeekBlock, SeekBlockResult> = {
  kind: "seek",
  open: (order) => {
    const plan = seekPlan(order);
    return (block) => workBlock(plan, block);
  },
};

/**
 * Runs blocks on whatever workers a database has; the same results as on this machine.
 * @param address  of the database;  @param title  for people: which valve, which case
 */
export async function queuedSeek(
  address: string,
  work: { readonly title: string; readonly order: SeekOrder; readonly blocks: readonly SeekBlock[] },
  options: SweepOptions,
): Promise<readonly SeekBlockResult[]> {
  if (work.blocks.length === 0) return [];
  const texts = await runSweep(address, { kind: seekWork.kind, ...work }, options);
  return texts.map((text): SeekBlockResult => JSON.parse(text));
}
