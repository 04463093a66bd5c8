/**
 * What a sweep is made of: an order, cut into blocks, each worked out by itself. All three are plain data,
 * so that a worker on any host does the same with them. To add a kind:
 *   1. Write src/host/sweep/<kind>Work.ts that exports one `BlockWork`. Its result depends on the order and
 *      the block alone: no clock, no chance, nothing that another block left behind.
 *   2. Add its line to the list in works.ts.
 *   3. Test that JSON gives back the same bits, NaN included.
 */

/** A kind of work. */
export interface BlockWork<Order, Block, Result> {
  /** Stands in the name of its queue: small letters and hyphens. */
  readonly kind: string;
  /** Makes of an order what its blocks share; called once for many blocks. May refuse. */
  readonly open: (order: Order) => (block: Block) => Result;
}

/** A block worked out, or what it was refused for: the same everywhere, so not tried again. */
export type BlockOutcome =
  | { readonly isRefused: false; readonly text: string }
  | { readonly isRefused: true; readonly text: string };
