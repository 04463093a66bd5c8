/**
 * The files of a dossier's folder as bytes: found, hashed piece by piece, read and written without being
 * held in memory as a whole. Hidden files and empty folders are no part of a dossier.
 */
import { createHash } from "node:crypto";
import { mkdir, open, readdir, realpath, rename, rm, stat } from "node:fs/promises";
import { dirname, join, sep } from "node:path";
import { isFitPath } from "../../dossier/index.js";
import { type Fault, Refusal } from "../../fault/index.js";
import { sha256 } from "../hash.js";
import { refuseFile, refuseSystem } from "../system.js";
import { pieceBytes } from "./structure.js";

/** The bytes of a file, by their hashes. */
export interface FileFacts {
  /** From the folder of the dossier, parts joined by strokes. */
  readonly path: string;
  readonly sha256: string;
  readonly bytes: number;
  /** SHA-256 of each piece, in order. */
  readonly pieces: readonly string[];
}

/** Every file of a folder, in order of path. Refuses one that a dossier cannot have, or that cannot be read. */
export async function filesInFolder(folder: string): Promise<readonly FileFacts[]> {
  const faults: Fault[] = [];
  const paths = await pathsIn(folder, "", faults);
  if (faults.length > 0) throw new Refusal(faults);
  const facts: FileFacts[] = [];
  for (const path of paths.toSorted()) facts.push(await factsOf(folder, path));
  return facts;
}

/** Blocks of a search that may still be going on: they can be worked out again. */
const searchName = "seek";

async function pathsIn(folder: string, below: string, faults: Fault[]): Promise<readonly string[]> {
  const place = join(folder, below);
  try {
    const found: string[] = [];
    for (const entry of await readdir(place, { withFileTypes: true })) {
      if (entry.name.startsWith(".") || (below === "" && entry.name === searchName)) continue;
      const path = below === "" ? entry.name : `${below}/${entry.name}`;
      if (entry.isDirectory()) found.push(...(await pathsIn(folder, path, faults)));
      else if (entry.isSymbolicLink() && !(await staysIn(folder, path)))
        faults.push(leading(join(folder, path)));
      else if (isFitPath(path) && (await stat(join(folder, path))).isFile()) found.push(path);
      else faults.push(unfit(join(folder, path)));
    }
    return found;
  } catch (error) {
    return refuseSystem(error, place, "read");
  }
}

/** Whether what a link stands for lies in the folder too. */
async function staysIn(folder: string, path: string): Promise<boolean> {
  const target = await realpath(join(folder, path)).catch(() => "");
  return target.startsWith(`${await realpath(folder)}${sep}`);
}

function leading(path: string): Fault {
  return {
    code: "team-path",
    where: { file: path },
    found: "this is a link that leads out of the folder, or nowhere",
    allowed: "What a team shares lies in the dossier: a link could bring in any file of this machine.",
    mend: "Put a copy of the file in its place, or move the link away",
  };
}

function unfit(path: string): Fault {
  return {
    code: "team-path",
    where: { file: path },
    found: "a dossier cannot have this",
    allowed: "It has files in folders, without control characters and backslashes in their names.",
    mend: "Rename the file, or move it away",
  };
}

/** Size and hashes of a file. */
export async function factsOf(folder: string, path: string): Promise<FileFacts> {
  const whole = createHash("sha256");
  const pieces: string[] = [];
  let bytes = 0;
  for await (const piece of piecesOf(join(folder, path))) {
    whole.update(piece);
    pieces.push(sha256(piece));
    bytes += piece.length;
  }
  return { path, sha256: whole.digest("hex"), bytes, pieces };
}

/** The pieces of a file, each a copy of its own. */
export async function* piecesOf(path: string): AsyncGenerator<Buffer> {
  try {
    const file = await open(path, "r");
    try {
      for (;;) {
        const piece = await nextPiece(file);
        if (piece.length > 0) yield piece;
        if (piece.length < pieceBytes) return;
      }
    } finally {
      await file.close();
    }
  } catch (error) {
    refuseSystem(error, path, "read");
  }
}

/** A full piece, or what is left: a read may give less than was asked for. */
async function nextPiece(file: Awaited<ReturnType<typeof open>>): Promise<Buffer> {
  const piece = Buffer.allocUnsafe(pieceBytes);
  let length = 0;
  while (length < pieceBytes) {
    const { bytesRead } = await file.read(piece, length, pieceBytes - length, null);
    if (bytesRead === 0) break;
    length += bytesRead;
  }
  return piece.subarray(0, length);
}

/**
 * Writes a file whole or not at all, piece by piece. Folders on the way are made.
 * @param shown  its path as the user knows it
 * Refuses pieces that do not have the hash of the whole.
 */
export async function writePieces(
  path: string,
  { sha256: wanted }: Pick<FileFacts, "sha256">,
  pieces: AsyncIterable<Uint8Array>,
  shown = path,
): Promise<void> {
  const beside = join(dirname(path), `.${wanted.slice(0, 12)}.${String(process.pid)}.part`);
  try {
    await mkdir(dirname(path), { recursive: true });
    try {
      const whole = createHash("sha256");
      const file = await open(beside, "w");
      try {
        for await (const piece of pieces) {
          whole.update(piece);
          await file.writeFile(piece);
        }
        await file.sync();
      } finally {
        await file.close();
      }
      if (whole.digest("hex") !== wanted) refuseBytes(shown);
      await rename(beside, path);
    } finally {
      await rm(beside, { force: true });
    }
  } catch (error) {
    refuseSystem(error, shown, "write");
  }
}

function refuseBytes(path: string): never {
  return refuseFile(path, {
    code: "team-bytes",
    found: "the bytes that the database gave are not those that were committed: their SHA-256 differs",
    allowed: "A file is written as it was committed, or not at all.",
    mend: "Let who runs the database look for a damaged disk, and restore it from a backup",
  });
}
