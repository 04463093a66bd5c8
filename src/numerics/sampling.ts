/**
 * Points that fill the unit cube evenly: Sobol's sequence with Owen's nested scrambling, and Latin
 * hypercubes. A point depends on its index and the seed alone, so that any worker can make any
 * block of points with the same bits.
 */
import { refuse } from "../fault/index.js";
import { hashWords, randomStream } from "./random.js";
import table from "./sobolDirections.json" with { type: "json" };

/** A seed (whole number) scrambles; "unscrambled" gives the sequence as published, first point 0. */
export type Scramble = number | "unscrambled";

/** Most coordinates a Sobol point can have. */
export const SOBOL_DIMENSIONS = table.rows.length + 1;

const BITS = 32;
const UNIT = 2 ** -BITS;
const DIRECTIONS = directionWords();

/**
 * One coordinate of one point, in the Gray-code order of the published programs.
 *
 * @param index      number of the point from 0, below 2^32
 * @param dimension  which coordinate, from 0, below SOBOL_DIMENSIONS
 * @param scramble   see Scramble
 * @returns          in (0, 1) if scrambled; a multiple of 2^-32 in [0, 1) if not
 * Refuses           an index or dimension outside its range.
 * Source            [joe-kuo-2008]; scrambling [owen-1995], its random digits by hashing
 */
export function sobolPoint(index: number, dimension: number, scramble: Scramble): number {
  checkIndex(index);
  checkDimensions(dimension + 1);
  const word = sobolWord(index, dimension);
  if (scramble === "unscrambled") return (word >>> 0) * UNIT;
  const [low, high] = dimensionSeed(scramble, dimension);
  return ((scrambledWord(word, low, high) >>> 0) + 0.5) * UNIT;
}

/**
 * A block of points, row after row: out[(i - start) dimensions + j] is coordinate j of point i.
 *
 * @param start       index of the first point, from 0;  @param count  how many points
 * @param dimensions  coordinates of each point, 1 to SOBOL_DIMENSIONS
 * @param scramble    see Scramble
 * @param out         receives the numbers; made if not given; at least count x dimensions long
 * @returns           out
 * Refuses            a block beyond point 2^32, or more dimensions than the table has.
 */
export function sobolBlock(
  start: number,
  count: number,
  dimensions: number,
  scramble: Scramble,
  out: Float64Array = new Float64Array(count * dimensions),
): Float64Array {
  checkDimensions(dimensions);
  if (count === 0) return out;
  checkIndex(start);
  checkIndex(start + count - 1);
  for (let j = 0; j < dimensions; j++) {
    const [low, high] = scramble === "unscrambled" ? [0, 0] : dimensionSeed(scramble, j);
    let word = sobolWord(start, j);
    for (let i = 0; i < count; i++) {
      if (i > 0) word ^= DIRECTIONS[j * BITS + trailingZeros(start + i)] ?? 0;
      out[i * dimensions + j] =
        scramble === "unscrambled"
          ? (word >>> 0) * UNIT
          : ((scrambledWord(word, low, high) >>> 0) + 0.5) * UNIT;
    }
  }
  return out;
}

/**
 * Latin hypercube: each coordinate has exactly one point in each of n equal layers.
 *
 * @param seed        whole number;  @param count  number of points n, >= 1
 * @param dimensions  coordinates of each point, >= 1
 * @returns           n x dimensions, row after row, in (0, 1)
 * Source             [mckay-1979]
 */
export function latinHypercube(seed: number, count: number, dimensions: number): Float64Array {
  const out = new Float64Array(count * dimensions);
  const layers = new Uint32Array(count);
  for (let j = 0; j < dimensions; j++) {
    const stream = randomStream(seed, j);
    for (let i = 0; i < count; i++) layers[i] = i;
    for (let i = count - 1; i >= 0; i--) {
      const k = stream.below(i + 1);
      const layer = layers[k] ?? 0;
      layers[k] = layers[i] ?? 0;
      out[i * dimensions + j] = (layer + stream.uniform()) / count;
    }
  }
  return out;
}

/** Coordinate `dimension` of point `index` as 32 binary digits. */
function sobolWord(index: number, dimension: number): number {
  let gray = (index ^ (index >>> 1)) >>> 0;
  let word = 0;
  for (let bit = 0; gray !== 0; bit++, gray >>>= 1) {
    if (gray & 1) word ^= DIRECTIONS[dimension * BITS + bit] ?? 0;
  }
  return word;
}

/**
 * Owen's nested uniform scrambling in base 2: each digit is flipped by a coin that belongs to the
 * digits before it. The coin is a hash of seed and of the node of the binary tree, counted as in a heap.
 */
function scrambledWord(word: number, low: number, high: number): number {
  let flips = 0;
  for (let bit = BITS - 1; bit >= 0; bit--) {
    const node = bit === BITS - 1 ? 1 : (1 << (BITS - 1 - bit)) | (word >>> (bit + 1));
    let h = Math.imul(node, 0x9e3779b1) ^ low;
    h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
    h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35) ^ high;
    h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
    h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
    flips |= (h >>> 31) << bit;
  }
  return word ^ flips;
}

function dimensionSeed(seed: number, dimension: number): [low: number, high: number] {
  return [hashWords(seed, dimension, 1) | 0, hashWords(seed, dimension, 2) | 0];
}

function trailingZeros(n: number): number {
  return 31 - Math.clz32(n & -n);
}

/** Direction words v_1 ... v_32 of each dimension, by the recurrence of [joe-kuo-2008, eq. 2]. */
function directionWords(): Int32Array {
  const words = new Int32Array((table.rows.length + 1) * BITS);
  for (let k = 0; k < BITS; k++) words[k] = 1 << (BITS - 1 - k);
  table.rows.forEach((row, index) => {
    const [, degree = 0, inner = 0, ...initial] = row;
    const base = (index + 1) * BITS;
    for (let k = 0; k < BITS; k++) {
      if (k < degree) {
        words[base + k] = (initial[k] ?? 0) << (BITS - 1 - k);
        continue;
      }
      const back = words[base + k - degree] ?? 0;
      let word = back ^ (back >>> degree);
      for (let i = 1; i < degree; i++) {
        if ((inner >> (degree - 1 - i)) & 1) word ^= words[base + k - i] ?? 0;
      }
      words[base + k] = word;
    }
  });
  return words;
}

function checkIndex(index: number): void {
  if (Number.isInteger(index) && index >= 0 && index < 4294967296) return;
  refuse(
    "sample-index",
    `sample number ${index}`,
    "a whole number from 0 to 4294967295: the points have 32 binary digits",
    "Ask for fewer samples.",
  );
}

function checkDimensions(dimensions: number): void {
  if (Number.isInteger(dimensions) && dimensions >= 1 && dimensions <= SOBOL_DIMENSIONS) return;
  refuse(
    "sample-dimensions",
    `${dimensions} uncertain inputs`,
    `1 to ${SOBOL_DIMENSIONS}: the table of direction numbers ends there`,
    "Give fewer inputs an uncertainty.",
  );
}
