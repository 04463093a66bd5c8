/** SHA-256 of a large file, part by part, and where its blank lines are. */
import { createHash } from "node:crypto";
import { open, stat } from "node:fs/promises";
import { Worker } from "node:worker_threads";
import { programFile } from "./place.js";
import { refuseSystem } from "./system.js";

const partBytes = 4 * 1024 * 1024;
const lineFeed = 10;
const carriageReturn = 13;

/** SHA-256 of a file and its size. */
export interface Hashed {
  readonly sha256: string;
  readonly bytes: number;
}

/** From this size on a file is hashed beside everything else: a thread takes as long to start as some 30 MB. */
const largeFrom = 32 * 1024 * 1024;

/** Hashes a file while others use it. Refuses a file that cannot be read. */
export async function hashFile(path: string): Promise<Hashed> {
  try {
    return (await stat(path)).size < largeFrom ? await hashHere(path) : await hashBeside(path);
  } catch (error) {
    return refuseSystem(error, path, "read");
  }
}

/** Hashes a file in this thread. */
export async function hashHere(path: string): Promise<Hashed> {
  const hash = createHash("sha256");
  let bytes = 0;
  await eachPart(path, (part) => {
    hash.update(part);
    bytes += part.length;
  });
  return { sha256: hash.digest("hex"), bytes };
}

function hashBeside(path: string): Promise<Hashed> {
  return new Promise((resolve, reject) => {
    const worker = new Worker(programFile("dist", "src", "host", "hashWorker.js"), {
      workerData: path,
      execArgv: [],
    });
    worker.once("message", resolve);
    worker.once("error", reject);
    worker.once("exit", (status) => reject(new Error(`hashing ended with status ${String(status)}`)));
  });
}

/** Numbers of the blank lines of a text, from 1. Refuses a file that cannot be read. */
export async function blankLines(path: string): Promise<readonly number[]> {
  const found: number[] = [];
  let line = 1;
  let isBlank = true;
  const look = (part: Buffer): void => {
    let from = 0;
    for (let at = part.indexOf(lineFeed); at >= 0; at = part.indexOf(lineFeed, from)) {
      if (at - from > 1 || (at - from === 1 && part[from] !== carriageReturn)) isBlank = false;
      if (isBlank) found.push(line);
      line++;
      isBlank = true;
      from = at + 1;
    }
    const rest = part.length - from;
    if (rest > 1 || (rest === 1 && part[from] !== carriageReturn)) isBlank = false;
  };
  try {
    await eachPart(path, look);
  } catch (error) {
    refuseSystem(error, path, "read");
  }
  return found;
}

async function eachPart(path: string, act: (part: Buffer) => void): Promise<void> {
  const file = await open(path, "r");
  try {
    const buffer = Buffer.allocUnsafe(partBytes);
    for (let at = 0; ; ) {
      const { bytesRead } = await file.read(buffer, 0, partBytes, at);
      if (bytesRead === 0) return;
      at += bytesRead;
      act(buffer.subarray(0, bytesRead));
    }
  } finally {
    await file.close();
  }
}
