/** SHA-256 of a text, at once: the browser's own is given later only, and a register of hazards is read in one go. */

/** The first 32 bits of the fractional parts of the cube roots of the first 64 primes [fips-180-4-2015, 4.2.2]. */
const rounds = fractions(64, Math.cbrt);
/** Of the square roots of the first 8 [fips-180-4-2015, 5.3.3]. */
const begin = fractions(8, Math.sqrt);

function fractions(count: number, root: (prime: number) => number): readonly number[] {
  const primes: number[] = [];
  for (let n = 2; primes.length < count; n++) if (primes.every((prime) => n % prime !== 0)) primes.push(n);
  return primes.map((prime) => Math.floor((root(prime) % 1) * 2 ** 32) | 0);
}

const turned = (x: number, by: number): number => (x >>> by) | (x << (32 - by));

/** In hexadecimal, of the text as UTF-8. Source [fips-180-4-2015, 6.2] */
export function sha256(text: string): string {
  const bytes = new TextEncoder().encode(text);
  const padded = new Uint8Array(64 * Math.ceil((bytes.length + 9) / 64));
  padded.set(bytes);
  padded[bytes.length] = 0x80;
  const view = new DataView(padded.buffer);
  view.setUint32(padded.length - 8, Math.floor((8 * bytes.length) / 2 ** 32));
  view.setUint32(padded.length - 4, (8 * bytes.length) >>> 0);
  const hash = Int32Array.from(begin);
  const words = new Int32Array(64);
  for (let block = 0; block < padded.length; block += 64) {
    for (let t = 0; t < 16; t++) words[t] = view.getInt32(block + 4 * t);
    for (let t = 16; t < 64; t++) {
      const [v, w] = [words[t - 15] ?? 0, words[t - 2] ?? 0];
      const s0 = turned(v, 7) ^ turned(v, 18) ^ (v >>> 3);
      const s1 = turned(w, 17) ^ turned(w, 19) ^ (w >>> 10);
      words[t] = s1 + (words[t - 7] ?? 0) + s0 + (words[t - 16] ?? 0);
    }
    mix(hash, words);
  }
  return Array.from(hash, (word) => (word >>> 0).toString(16).padStart(8, "0")).join("");
}

function mix(hash: Int32Array, words: Int32Array): void {
  let [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0, g = 0, h = 0] = hash;
  for (let t = 0; t < 64; t++) {
    const s1 = turned(e, 6) ^ turned(e, 11) ^ turned(e, 25);
    const first = (h + s1 + ((e & f) ^ (~e & g)) + (rounds[t] ?? 0) + (words[t] ?? 0)) | 0;
    const s0 = turned(a, 2) ^ turned(a, 13) ^ turned(a, 22);
    const second = (s0 + ((a & b) ^ (a & c) ^ (b & c))) | 0;
    [h, g, f, e, d, c, b, a] = [g, f, e, (d + first) | 0, c, b, a, (first + second) | 0];
  }
  [a, b, c, d, e, f, g, h].forEach((value, i) => {
    hash[i] = (hash[i] ?? 0) + value;
  });
}
