/**
 * A mark of this machine's arithmetic. Sums and products are the same bits everywhere [ieee-754-2019];
 * powers, logarithms and angles come from the library of the running program and may differ in the last
 * bit from one of its releases to another. Results are shared among workers of one mark alone.
 */
import { sha256 } from "../hash.js";

const functions: readonly ((x: number) => number)[] = [
  Math.sin,
  Math.cos,
  Math.tan,
  Math.asin,
  Math.acos,
  Math.atan,
  Math.sinh,
  Math.cosh,
  Math.tanh,
  Math.exp,
  Math.expm1,
  Math.log,
  Math.log1p,
  Math.log10,
  Math.log2,
  Math.cbrt,
  Math.sqrt,
  (x) => Math.atan2(x, 0.3),
  (x) => Math.hypot(x, 0.7),
  (x) => x ** 1.7,
  (x) => x ** -3,
];

/** Arguments from thousandths to thousands, none of them round. */
const arguments_ = Array.from({ length: 200 }, (_, i) => 0.001 * 1.0718 ** i);

let known: string | undefined;

/** Begin of the SHA-256 of what the functions give. */
export function arithmeticMark(): string {
  if (known === undefined) {
    const values = functions.flatMap((f) => arguments_.map((x) => f(x)));
    known = sha256(new Uint8Array(Float64Array.from(values).buffer)).slice(0, 12);
  }
  return known;
}
