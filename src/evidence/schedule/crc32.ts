/**
 * CRC-32: the remainder of the bytes by x^32+x^26+x^23+x^22+x^16+x^12+x^11+x^10+x^8+x^7+x^5+x^4+x^2+x+1, bits of a byte
 * from the lowest on, begun with and combined with all ones.
 *
 * Source  [itu-v42-2002, clause 8.1.1.6.2]; of "123456789" it is cbf43926
 */
const reflected = 0xedb88320;

const table = Uint32Array.from({ length: 256 }, (_, byte) => {
  let rest = byte;
  for (let bit = 0; bit < 8; bit++) rest = (rest & 1) === 1 ? (rest >>> 1) ^ reflected : rest >>> 1;
  return rest;
});

/** CRC-32 of a text as UTF-8. @param before CRC-32 of what stands ahead of it; left out: nothing does */
export function crc32(text: string, before = 0): number {
  let rest = ~before >>> 0;
  for (const byte of new TextEncoder().encode(text)) rest = (table[(rest ^ byte) & 0xff] ?? 0) ^ (rest >>> 8);
  return ~rest >>> 0;
}

/** As eight hex digits. */
export function crcWords(crc: number): string {
  return crc.toString(16).padStart(8, "0");
}
