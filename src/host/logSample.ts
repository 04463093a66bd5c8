/** A large text log as far as a first look needs it: its head, some lines from all over it, its tail. */
import { type FileHandle, open } from "node:fs/promises";
import type { Notice } from "../fault/index.js";
import { evidence } from "./evidence.js";
import { refuseSystem } from "./system.js";

/** A line with its number from 1, which behind the head is only estimated. */
export interface SampleLine {
  readonly line: number;
  readonly text: string;
}

export interface LogSample {
  readonly lines: readonly SampleLine[];
  /** Lines up to this one have their true numbers. */
  readonly surely: number;
  readonly encoding:
    | "UTF-8"
    | "UTF-16, little end first"
    | "UTF-16, big end first"
    | "Windows-1252 (Latin-1)";
  readonly notices: readonly Notice[];
  /** Bytes of the file. */
  readonly bytes: number;
  /** What ends a line. */
  readonly lineEnd: "\n" | "\r\n" | "\r";
}

const headBytes = 32 * 1024;
const tailBytes = 8 * 1024;
const blocks = 64;
const blockBytes = 768;

/** Labels of the decoder. */
const labels = {
  "UTF-8": "utf-8",
  "UTF-16, little end first": "utf-16le",
  "UTF-16, big end first": "utf-16be",
  "Windows-1252 (Latin-1)": "windows-1252",
} as const;
export const decoderLabel = (encoding: LogSample["encoding"]): string => labels[encoding];

/** Samples a log. Refuses a file that is no text (as `decodeText`) or cannot be read. */
export async function sampleLog(path: string): Promise<LogSample> {
  const { decodeText, linesOf } = await evidence();
  try {
    const file = await open(path, "r");
    try {
      const bytes = (await file.stat()).size;
      const isWhole = bytes <= headBytes + blocks * blockBytes + tailBytes;
      const head = await bytesAt(file, 0, isWhole ? bytes : headBytes);
      const { text, encoding, notices } = decodeText(isWhole ? head : wholeCharacters(head));
      const decoder = new TextDecoder(decoderLabel(encoding), { ignoreBOM: true });
      const lineEnd = lineEndOf(text);
      const all = linesOf(text);
      const first = isWhole ? all : all.slice(0, -1);
      if (isWhole) return { lines: first, surely: first.length, encoding, notices, bytes, lineEnd };
      const each = Math.max(1, head.length / Math.max(1, first.length));
      const lines = [...first];
      for (let k = 1; k <= blocks; k++) {
        const at = even(headBytes + ((bytes - headBytes - tailBytes) * k) / (blocks + 1));
        const block = decoder.decode(await bytesAt(file, at, blockBytes));
        lines.push(...linesIn(cutHead(block, lineEnd), lineEnd, Math.round(at / each), true));
      }
      const tailAt = even(bytes - tailBytes);
      const tail = decoder.decode(await bytesAt(file, tailAt, bytes - tailAt));
      lines.push(...linesIn(cutHead(tail, lineEnd), lineEnd, Math.round(tailAt / each), false));
      return { lines, surely: first.length, encoding, notices, bytes, lineEnd };
    } finally {
      await file.close();
    }
  } catch (error) {
    return refuseSystem(error, path, "read");
  }
}

const even = (at: number): number => 2 * Math.floor(at / 2);

async function bytesAt(file: FileHandle, at: number, count: number): Promise<Uint8Array> {
  const buffer = new Uint8Array(count);
  const { bytesRead } = await file.read(buffer, 0, count, at);
  return buffer.subarray(0, bytesRead);
}

/** Without the last bytes, in which a character may be cut. */
function wholeCharacters(bytes: Uint8Array): Uint8Array {
  const last = Math.max(bytes.lastIndexOf(10), bytes.lastIndexOf(13));
  // In UTF-16 the line end has a second byte.
  return last <= 0 ? bytes : bytes.subarray(0, even(last));
}

function lineEndOf(text: string): LogSample["lineEnd"] {
  if (text.includes("\r\n")) return "\r\n";
  return text.includes("\n") ? "\n" : "\r";
}

/** From the first whole line on. */
function cutHead(text: string, lineEnd: string): string {
  const at = text.indexOf(lineEnd);
  return at < 0 ? "" : text.slice(at + lineEnd.length);
}

/** Lines of a part; the last one is left out where it may be cut. */
function linesIn(text: string, lineEnd: string, before: number, isCut: boolean): readonly SampleLine[] {
  const all = text.split(lineEnd);
  return (isCut ? all.slice(0, -1) : all).map((line, i) => ({ line: before + i + 1, text: line }));
}
