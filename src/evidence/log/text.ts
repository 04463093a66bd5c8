/** Bytes of a log to text: which encoding it is in, and whether it is text at all. */
import { type Notice, refuse } from "../../fault/index.js";

/** A log as text, and how its bytes were read. */
export interface DecodedText {
  readonly text: string;
  readonly encoding:
    | "UTF-8"
    | "UTF-16, little end first"
    | "UTF-16, big end first"
    | "Windows-1252 (Latin-1)";
  readonly notices: readonly Notice[];
}

/** First bytes of files that are no text, and what to do with them. */
const signatures: readonly { readonly bytes: readonly number[]; readonly what: string }[] = [
  { bytes: [0x50, 0x4b, 0x03, 0x04], what: "a zip archive or a spreadsheet workbook" },
  { bytes: [0xd0, 0xcf, 0x11, 0xe0], what: "an old spreadsheet workbook" },
  { bytes: [0x1f, 0x8b], what: "a gzip archive" },
  { bytes: [0x50, 0x41, 0x52, 0x31], what: "a Parquet file" },
  { bytes: [0x89, 0x48, 0x44, 0x46], what: "an HDF5 file" },
  { bytes: [0x25, 0x50, 0x44, 0x46], what: "a PDF" },
];

/** Bytes looked at to tell text from other things. */
const sampleBytes = 4096;
/** Share of control characters that text never has. */
const mostControls = 0.01;

/**
 * Decodes a log.
 *
 * A byte order mark decides; without one, zero bytes in every second place mean UTF-16, valid UTF-8 is
 * UTF-8, and the rest is Windows-1252, which holds Latin-1. Common practice, no source.
 *
 * Refuses  an empty file, and one that is no text
 */
export function decodeText(bytes: Uint8Array): DecodedText {
  if (bytes.length === 0) refuseEmpty("the file holds no bytes");
  const known = signatures.find(({ bytes: lead }) => lead.every((byte, i) => bytes[i] === byte));
  if (known !== undefined) refuseBinary(`the file is ${known.what}`);
  const decoded = decodeAs(bytes);
  const text = decoded.text.replace(/^\uFEFF/, "");
  const sample = text.slice(0, sampleBytes);
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
  const controls = sample.match(/[\u0000-\u0008\u000B\u000C\u000E-\u001F\uFFFD]/g)?.length ?? 0;
  if (controls > mostControls * sample.length) {
    refuseBinary(`${controls} of the first ${sample.length} characters are control characters`);
  }
  if (text.trim() === "") refuseEmpty("the file holds only blanks");
  return { ...decoded, text };
}

function decodeAs(bytes: Uint8Array): DecodedText {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return utf16(bytes, "utf-16le", "a byte order mark says so");
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return utf16(bytes, "utf-16be", "a byte order mark says so");
  const zeros = zeroShares(bytes);
  const why = "every second byte is zero";
  if (zeros.odd > 0.4 && zeros.even < 0.05) return utf16(bytes, "utf-16le", why);
  if (zeros.even > 0.4 && zeros.odd < 0.05) return utf16(bytes, "utf-16be", why);
  try {
    const text = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
    return { text, encoding: "UTF-8", notices: [] };
  } catch (thrown) {
    if (!(thrown instanceof TypeError)) throw thrown;
    const at = bytes.findIndex((byte) => byte >= 0x80);
    const text = new TextDecoder("windows-1252").decode(bytes);
    const line = text.slice(0, at).split("\n").length;
    const notice = {
      code: "log-latin-1",
      text: `the file is not UTF-8; it was read as Windows-1252 (Latin-1), first special character in line ${line}: "${text[at]}"`,
    };
    return { text, encoding: "Windows-1252 (Latin-1)", notices: [notice] };
  }
}

function utf16(bytes: Uint8Array, label: "utf-16le" | "utf-16be", why: string): DecodedText {
  const encoding = label === "utf-16le" ? "UTF-16, little end first" : "UTF-16, big end first";
  const text = new TextDecoder(label, { ignoreBOM: true }).decode(bytes);
  return { text, encoding, notices: [{ code: "log-utf-16", text: `the file was read as UTF-16: ${why}` }] };
}

function zeroShares(bytes: Uint8Array): { readonly even: number; readonly odd: number } {
  const sample = bytes.subarray(0, sampleBytes);
  let even = 0;
  let odd = 0;
  for (const [i, byte] of sample.entries()) {
    if (byte === 0 && i % 2 === 0) even++;
    if (byte === 0 && i % 2 === 1) odd++;
  }
  const half = Math.max(1, sample.length / 2);
  return { even: even / half, odd: odd / half };
}

function refuseEmpty(found: string): never {
  return refuse(
    "log-empty",
    found,
    "A log is a text with a table: a line of column names, then rows of numbers.",
    "Check that the logger closed the file, and copy it again.",
  );
}

function refuseBinary(found: string): never {
  return refuse(
    "log-not-text",
    `${found}, so it is no text`,
    "A log is read from text: comma, semicolon, tab, bar or blank separated values.",
    "Export the data as CSV text and import that.",
  );
}
