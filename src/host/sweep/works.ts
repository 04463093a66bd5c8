/** The kinds of work that a worker knows. */
import { predictWork } from "./predictWork.js";
import { seekWork } from "./seekWork.js";

/** A kind with its data as JSON texts, as the queue keeps them. */
export interface TextWork {
  readonly kind: string;
  readonly open: (order: string) => (block: string) => string;
}

interface AnyWork<Order, Block> {
  readonly kind: string;
  readonly open: (order: Order) => (block: Block) => unknown;
}

function asTexts<Order, Block>({ kind, open }: AnyWork<Order, Block>): TextWork {
  return {
    kind,
    open: (order) => {
      const work = open(JSON.parse(order));
      return (block) => JSON.stringify(work(JSON.parse(block)));
    },
  };
}

export const works: readonly TextWork[] = [asTexts(predictWork), asTexts(seekWork)];
