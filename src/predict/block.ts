/**
 * Blocks of samples: the unit of work that is handed to a worker. A block's numbers depend on the
 * plan, the seed and its place alone, so that any number of workers in any order gives the same bits.
 */

import { Refusal } from "../fault/index.js";
import { sobolBlock } from "../numerics/index.js";
import { columnIndex } from "./columns.js";
import { EffectsValues, valuesAt } from "./inputs.js";
import type { Plan } from "./plan.js";
import { fillRow, rowWidth } from "./row.js";
import { ValveSample } from "./valveSample.js";

export interface BlockRequest {
  /** `band`: every figure of a sample; `effects`: the opening rate at the points of the two designs. */
  readonly kind: "band" | "effects";
  readonly seed: number;
  /** Number of the first sample and how many. */
  readonly start: number;
  readonly count: number;
  /** Column of the opening time whose rate the effects explain. */
  readonly column: string;
  /** Of effects: the inputs of which the mixed points are evaluated, ascending; every one if absent. */
  readonly inputs?: readonly number[];
}

/** Rows of `rowWidth` numbers for a band; of inputs + 2 opening rates for effects. */
export interface BlockResult {
  readonly request: BlockRequest;
  readonly rows: Float64Array;
  /** Samples that no valve can be: a bore that does not fit its ball. Their rows are NaN. */
  readonly impossible: number;
}

/** Evaluates one block. */
export function runBlock(plan: Plan, request: BlockRequest): BlockResult {
  return request.kind === "band" ? bandBlock(plan, request) : effectsBlock(plan, request);
}

function bandBlock(plan: Plan, request: BlockRequest): BlockResult {
  const { space } = plan;
  const sample = new ValveSample(plan);
  const d = Math.max(space.inputs.length, 1);
  const points = sobolBlock(request.start, request.count, d, request.seed);
  const rows = new Float64Array(request.count * rowWidth);
  let impossible = 0;
  for (let i = 0; i < request.count; i++) {
    valuesAt(space, points.subarray(i * d, (i + 1) * d), sample.values);
    const row = rows.subarray(i * rowWidth, (i + 1) * rowWidth);
    if (!tryRow(sample, row, false)) impossible++;
  }
  return { request, rows, impossible };
}

/**
 * The opening rate, 1/time, at the points of the A, B and mixed designs. A stalled drive has the rate
 * 0: so the effects reach across the cliff beyond which there is no time.
 */
function effectsBlock(plan: Plan, request: BlockRequest): BlockResult {
  const { space } = plan;
  const sample = new ValveSample(plan);
  const d = space.inputs.length;
  const designs = designsOf(plan, request);
  const width = designs.length;
  const points = sobolBlock(request.start, request.count, 2 * d, request.seed);
  const rows = new Float64Array(request.count * width);
  const row = new Float64Array(rowWidth);
  const values = new EffectsValues(space);
  const time = columnIndex(request.column);
  let impossible = 0;
  for (let i = 0; i < request.count; i++) {
    values.take(points.subarray(i * 2 * d, (i + 1) * 2 * d));
    for (let k = 0; k < width; k++) {
      values.fill(designs[k] ?? 0, sample.values);
      if (!tryRow(sample, row, true)) impossible++;
      const seconds = row[time] ?? Number.NaN;
      rows[i * width + k] = seconds > 0 ? 1 / seconds : 0;
    }
  }
  return { request, rows, impossible };
}

/** Blocks of `effectsPoint` that a request evaluates: A, B and the mixed ones asked for. */
export function designsOf({ space }: Plan, { inputs }: BlockRequest): readonly number[] {
  const mixed = inputs ?? space.inputs.map((_, j) => j);
  return [0, 1, ...mixed.map((j) => 2 + j)];
}

function tryRow(sample: ValveSample, row: Float64Array, openingOnly: boolean): boolean {
  try {
    fillRow(sample, row, { openingOnly });
    return true;
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    row.fill(Number.NaN);
    return false;
  }
}

/** Samples a block holds at most: a few tens of milliseconds of work, for progress and cancelling. */
const blockSize = { band: 512, effects: 32 } as const;

/** Cuts a band or the designs of its effects into blocks, in order. @param rest begin and inputs of a part */
export function blocksOf(
  kind: BlockRequest["kind"],
  total: number,
  seed: number,
  column: string,
  { from = 0, ...rest }: { readonly from?: number; readonly inputs?: readonly number[] } = {},
): readonly BlockRequest[] {
  const size = blockSize[kind];
  const blocks: BlockRequest[] = [];
  for (let start = from; start < total; start += size) {
    blocks.push({ kind, seed, start, count: Math.min(size, total - start), column, ...rest });
  }
  return blocks;
}
