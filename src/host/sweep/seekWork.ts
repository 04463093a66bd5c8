/** Work of a search for other parts: blocks of its candidates. */
import { type SeekBlock, type SeekBlockResult, type SeekOrder, SeekWorker } from "../../seek/index.js";
import { runSweep, type SweepOptions } from "./sweep.js";
import type { BlockWork } from "./work.js";

export const seekWork: BlockWork<SeekOrder, SeekBlock, SeekBlockResult> = {
  kind: "seek",
  open: (order) => {
    const worker = new SeekWorker();
    return (block) => worker.work(order, block);
  },
};

/** Works the blocks of a search out on whatever workers a database has; the same results as on this machine. */
export async function queuedSeek(
  address: string,
  order: SeekOrder,
  blocks: readonly SeekBlock[],
  title: string,
  options: SweepOptions,
): Promise<readonly SeekBlockResult[]> {
  // Where the files lie on this machine is nobody's business, and the same search is the same sweep.
  const plain = ({ path, text }: SeekOrder["valve"]) => ({ path: path.replace(/^.*[\\/]/, ""), text });
  const queued = { ...order, valve: plain(order.valve), parts: order.parts.map(plain) };
  const texts = await runSweep(address, { kind: seekWork.kind, title, order: queued, blocks }, options);
  return texts.map((text): SeekBlockResult => JSON.parse(text));
}
