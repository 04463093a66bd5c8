/** Work of a prediction: blocks of its band and of the designs of its effects. */
import { applyDefaults, readDossier, type SourceFile } from "../../dossier/index.js";
import { type BlockRequest, type BlockResult, planFor, runBlock } from "../../predict/index.js";
import type { BlockWork } from "./work.js";

/** The hand-written files of a dossier, and the case. */
export interface PredictOrder {
  readonly valve: SourceFile;
  readonly parts: readonly SourceFile[];
  readonly caseId: string;
}

/** A result as plain data: JSON has no NaN, so the rows are the bytes of their numbers, little end first, in base 64. */
interface PlainResult {
  readonly request: BlockRequest;
  readonly rows: string;
  readonly impossible: number;
}

/** An order as it is queued: without the place of the files on this machine. */
export function predictOrder(
  { valve, parts }: Pick<PredictOrder, "valve" | "parts">,
  caseId: string,
): PredictOrder {
  const plain = ({ path, text }: SourceFile): SourceFile => ({ path: path.replace(/^.*[\\/]/, ""), text });
  return { valve: plain(valve), parts: parts.map(plain), caseId };
}

export const predictWork: BlockWork<PredictOrder, BlockRequest, PlainResult> = {
  kind: "predict",
  open: ({ valve, parts, caseId }) => {
    const plan = planFor(applyDefaults(readDossier({ valve, parts }).dossier, caseId).dossier, caseId);
    return (request) => {
      const { rows, impossible } = runBlock(plan, request);
      return { request, rows: bytesOf(rows).toString("base64"), impossible };
    };
  },
};

/** The result of a block as it was before it was queued. */
export function predictResult(text: string): BlockResult {
  const { request, rows, impossible }: PlainResult = JSON.parse(text);
  const bytes = Buffer.from(rows, "base64");
  const numbers = new Float64Array(bytes.length / Float64Array.BYTES_PER_ELEMENT);
  for (let i = 0; i < numbers.length; i++)
    numbers[i] = bytes.readDoubleLE(i * Float64Array.BYTES_PER_ELEMENT);
  return { request, rows: numbers, impossible };
}

function bytesOf(numbers: Float64Array): Buffer {
  const bytes = Buffer.alloc(numbers.length * Float64Array.BYTES_PER_ELEMENT);
  for (const [i, value] of numbers.entries()) bytes.writeDoubleLE(value, i * Float64Array.BYTES_PER_ELEMENT);
  return bytes;
}
