/**
 * seek/<key>/<first candidate>.json: blocks of a search that are done, so that one that was broken off goes
 * on where it was. The key is a hash of the whole order, texts of the files and version of the model among
 * it, so that a block of another state of the dossier is never taken for one of this.
 */
import { rm } from "node:fs/promises";
import { join } from "node:path";
import type { SeekBlock, SeekBlockResult, SeekOrder } from "../seek/index.js";
import { sha256 } from "./hash.js";
import { readKept, writeKept } from "./keptFile.js";
import { namesIn } from "./readFile.js";

const format = "coldturn-seek-block/1";
const keyLength = 16;
const isKey = /^[0-9a-f]{16}$/;

/** The folder of an order's blocks in the folder of a dossier. */
export function seekFolder(folder: string, order: SeekOrder): string {
  return join(folder, "seek", sha256(JSON.stringify(order)).slice(0, keyLength));
}

/** Keeps a block that is done, whole or not at all. */
export async function keepSeekBlock(
  folder: string,
  order: SeekOrder,
  result: SeekBlockResult,
): Promise<void> {
  const path = join(seekFolder(folder, order), nameOf(result.block));
  await writeKept(path, { format, model: order.model, restsOn: [], finding: result });
}

/** The blocks that are done already, of those wanted. */
export async function keptSeekBlocks(
  folder: string,
  order: SeekOrder,
  blocks: readonly SeekBlock[],
): Promise<readonly SeekBlockResult[]> {
  const at = seekFolder(folder, order);
  const names = new Set(await namesIn(at));
  const found = await Promise.all(
    blocks.map(async (block) => {
      if (!names.has(nameOf(block))) return undefined;
      const stored = await readKept<SeekBlockResult>(join(at, nameOf(block)), format);
      const { finding } = stored ?? {};
      const isSame = finding?.block.start === block.start && finding.block.count === block.count;
      return isSame ? finding : undefined;
    }),
  );
  return found.filter((result) => result !== undefined);
}

/** Removes the blocks of other orders: of a dossier that has changed since they are of no use. */
export async function clearOtherSeeks(folder: string, order: SeekOrder): Promise<void> {
  const own = seekFolder(folder, order);
  for (const name of await namesIn(join(folder, "seek"))) {
    const path = join(folder, "seek", name);
    if (isKey.test(name) && path !== own) await rm(path, { recursive: true, force: true });
  }
}

function nameOf({ start }: SeekBlock): string {
  return `${start}.json`;
}
