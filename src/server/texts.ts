/** The hand-written files of a dossier, read and saved. */
import { join } from "node:path";
import { type Fault, Refusal } from "../fault/index.js";
import { kindAt, namesIn, readText, runIds, sha256, writeWhole } from "../host/index.js";
import { inside, isTextPath, requireTextPath } from "./place.js";

/** A file as the page has it. */
export interface DossierText {
  /** From the folder of the dossier, as `parts/motor.yaml`. */
  readonly path: string;
  readonly text: string;
  /** Of the bytes. */
  readonly sha256: string;
}

/** All hand-written files of a dossier. What cannot be read hides no other file. */
export async function dossierTexts(
  folder: string,
): Promise<{ readonly files: readonly DossierText[]; readonly faults: readonly Fault[] }> {
  const files: DossierText[] = [];
  const faults: Fault[] = [];
  for (const path of await textPaths(folder)) {
    try {
      const file = await dossierText(folder, path);
      if (file !== undefined) files.push(file);
    } catch (thrown) {
      if (!(thrown instanceof Refusal)) throw thrown;
      faults.push(...thrown.faults);
    }
  }
  return { files, faults };
}

async function textPaths(folder: string): Promise<readonly string[]> {
  const lists = ["parts", "sensors"].map(async (name) =>
    (await namesIn(join(folder, name))).map((own) => `${name}/${own}`),
  );
  const runs = (await runIds(folder)).map((id) => `runs/${id}/run.yaml`);
  return ["valve.yaml", "hazards.yaml", "stand.yaml", ...(await Promise.all(lists)).flat(), ...runs].filter(
    isTextPath,
  );
}

/** One file; undefined where it is not there. */
export async function dossierText(folder: string, path: string): Promise<DossierText | undefined> {
  requireTextPath(path);
  const place = await inside(folder, path);
  if ((await kindAt(place)) !== "file") return undefined;
  const { text, sha256: found } = await readText(place);
  return { path, text, sha256: found };
}

/** What became of a save: kept, or held back because the file is no longer the one the page knew. */
export type Saved =
  | { readonly kind: "saved"; readonly sha256: string }
  | { readonly kind: "conflict"; readonly theirs: Omit<DossierText, "path"> | null };

/** Saves files one after the other: of two writers who know the same file, the second is told. */
export class TextSaver {
  private last: Promise<unknown> = Promise.resolve();

  /**
   * Saves a file whole or not at all.
   * @param base  hash of the file the page knows; null for a new one
   * Refuses      a path that is not the page's to write, a disk that is full
   */
  save(folder: string, path: string, text: string, base: string | null): Promise<Saved> {
    const turn = this.last.then(() => saved(folder, path, text, base));
    this.last = turn.catch(() => undefined);
    return turn;
  }
}

async function saved(folder: string, path: string, text: string, base: string | null): Promise<Saved> {
  const before = await dossierText(folder, path);
  // The record of a run is made by an import alone, with its original.
  // A kept variant is never written over: another one gets another name.
  const isKnown =
    before === undefined
      ? base === null && !path.startsWith("runs/")
      : before.sha256 === base && !path.startsWith("variants/");
  if (!isKnown) return conflict(before);
  try {
    await writeWhole(await inside(folder, path), text, base === null ? "never" : { sha256: base });
  } catch (thrown) {
    if (!(thrown instanceof Refusal) || !thrown.faults.some(isConflict)) throw thrown;
    return conflict(await dossierText(folder, path));
  }
  return { kind: "saved", sha256: sha256(text) };
}

function isConflict({ code }: Fault): boolean {
  return code === "file-changed" || code === "file-exists";
}

function conflict(found: DossierText | undefined): Saved {
  const theirs = found === undefined ? null : { text: found.text, sha256: found.sha256 };
  return { kind: "conflict", theirs };
}
