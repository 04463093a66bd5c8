/**
 * Seeded pseudo-random numbers. A stream is named by (seed, stream), so that what a piece of work
 * draws depends on which piece it is and never on which worker does it.
 */
import { xoroshiro128plusFromState } from "pure-rand/generator/xoroshiro128plus";
import { normalQuantile } from "./normal.js";

/** A source of pseudo-random numbers; each call moves it on by one. */
export interface RandomStream {
  /** Uniform on the open interval (0, 1): an odd multiple of 2^-53, so neither 0 nor 1 occurs. */
  uniform(): number;
  /** Standard normal. */
  normal(): number;
  /** Whole number from 0 to count - 1, each as likely, count up to 2^32. */
  below(count: number): number;
}

/**
 * Opens the stream of that number under that seed, at its start.
 *
 * @param seed    whole number;  @param stream  whole number >= 0
 * @returns       xoroshiro128+ started from a 128-bit hash of both: two streams of the period
 *                2^128 overlap with a chance below 1e-15 for a million streams of 1e9 numbers
 * Source         generator [blackman-vigna-2021]; hash: murmur3 finaliser, common practice, no source
 */
export function randomStream(seed: number, stream = 0): RandomStream {
  const words = [1, 2, 3, 4].map((word) => hashWords(seed, stream, word) | 0);
  const generator = xoroshiro128plusFromState(words);
  const uniform = (): number => {
    // The low bits of this generator are its weakest: take the high ones of each word.
    const high = generator.next() >>> 6;
    const low = generator.next() >>> 6;
    return (high * 67108864 + low + 0.5) * 2 ** -52;
  };
  return {
    uniform,
    normal: () => normalQuantile(uniform()),
    below: (count) => Math.floor(uniform() * count),
  };
}

/**
 * 32-bit hash of three whole numbers.
 *
 * @param a  whole number, up to 2^53 in size;  @param b  the same;  @param c  the same
 * @returns  whole number from 0 to 2^32 - 1
 * Source    chained murmur3 finalisers; common practice, no source
 */
export function hashWords(a: number, b: number, c: number): number {
  let h = 0x9e3779b9;
  for (const value of [a, b, c]) {
    h = mix(Math.imul(h, 31) ^ (value | 0));
    h = mix(Math.imul(h, 31) ^ (Math.floor(value / 4294967296) | 0));
  }
  return h >>> 0;
}

function mix(h: number): number {
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return h ^ (h >>> 16);
}
