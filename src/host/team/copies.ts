/**
 * Plain folders and the team's store: a folder becomes a dossier of the team, a dossier a folder, and
 * what was changed in a copy goes back, file by file, unless somebody else was there first.
 */
import { mkdir, readdir, rename, rm } from "node:fs/promises";
import { dirname, join } from "node:path";
import { isSealedPath } from "../../dossier/index.js";
import { refuse } from "../../fault/index.js";
import { evidence } from "../evidence.js";
import { sha256 } from "../hash.js";
import { kindAt, readText } from "../readFile.js";
import { refuseFile, refuseSystem } from "../system.js";
import { refuseConflicts } from "./conflict.js";
import { type FileFacts, factsOf, filesInFolder, piecesOf, writePieces } from "./folderFiles.js";
import { type KnownVersion, type Origin, readOrigin, writeOrigin } from "./origin.js";
import { detailOf, isRefused } from "./refusal.js";
import { bytesOf, headsOf, presentPieces, type StoredVersion, type TeamStore } from "./store.js";
import { schemaName } from "./structure.js";

/** How far a transfer is. */
export interface Transfer {
  readonly signal?: AbortSignal;
  readonly onBytes?: (done: number, total: number) => void;
}

/** What was committed. */
export interface Committed {
  readonly dossier: string;
  readonly revision: number;
  readonly at: string;
  readonly files: readonly { readonly path: string; readonly removed: boolean; readonly bytes: number }[];
}

/** A file as it goes into a change; `base` is the revision it rests on. */
interface ChangedFile extends FileFacts {
  readonly removed: boolean;
  readonly base: number | null;
}

/** Brings a plain folder in as a new dossier; the folder is a copy of it from then on. */
export async function importFolder(
  store: TeamStore,
  folder: string,
  id: string,
  why: string,
  transfer: Transfer = {},
): Promise<Committed> {
  requireId(id);
  const files = await filesInFolder(folder);
  if (!files.some(({ path }) => path === "valve.yaml"))
    refuseFile(folder, {
      code: "dossier-without-valve",
      found: "there is no valve.yaml in this folder",
      allowed: "A dossier is a folder with a valve.yaml in it.",
      mend: "Name the folder of a dossier",
    });
  await requireSeals(folder, files);
  const changed = files.map((file): ChangedFile => ({ ...file, removed: false, base: null }));
  const committed = await send(store, folder, id, true, why, changed, transfer);
  await writeOrigin(
    folder,
    originAfter({ address: store.address, dossier: id, files: {} }, changed, committed),
  );
  return committed;
}

/** Words joined by hyphens: they can be a name of a folder everywhere. */
function requireId(id: string): void {
  if (/^[a-z0-9]+(-[a-z0-9]+)*$/.test(id)) return;
  refuse(
    "team-dossier-id",
    `"${id}" is no name for a dossier`,
    "A name has small letters, digits and single hyphens.",
    "Write, for example, --as petrel-oxygen-main",
  );
}

/** Writes a dossier as a plain folder, which must not be there yet. @param upTo  a revision; the newest if left out */
export async function exportDossier(
  store: TeamStore,
  id: string,
  folder: string,
  upTo: number | undefined,
  transfer: Transfer = {},
): Promise<{ readonly revision: number; readonly files: number; readonly bytes: number }> {
  if ((await kindAt(folder)) !== "nothing")
    refuseFile(folder, {
      code: "file-exists",
      found: "there is something of this name already",
      allowed: "Nothing is overwritten unless you ask for it.",
      mend: "Choose another name, or move the old one away",
    });
  const heads = (await headsOf(store, id, upTo)).filter(({ removed }) => !removed);
  const total = heads.reduce((sum, { bytes }) => sum + bytes, 0);
  const beside = `${folder.replace(/\/+$/, "")}.${String(process.pid)}.part`;
  let done = 0;
  try {
    await mkdir(beside, { recursive: true });
    for (const head of heads) {
      transfer.signal?.throwIfAborted();
      await writePieces(join(beside, head.path), head, bytesOf(store, head), join(folder, head.path));
      done += head.bytes;
      transfer.onBytes?.(done, total);
    }
    await writeOrigin(beside, { address: store.address, dossier: id, files: knownOf(heads) });
    await rename(beside, folder).catch((error: unknown) => refuseSystem(error, folder, "write"));
  } finally {
    await rm(beside, { recursive: true, force: true });
  }
  const revision = heads.reduce((most, head) => Math.max(most, head.revision), 0);
  return { revision, files: heads.length, bytes: total };
}

function knownOf(heads: readonly StoredVersion[]): Record<string, KnownVersion> {
  return Object.fromEntries(
    heads.map(({ path, revision, sha256: hash }) => [path, { revision, sha256: hash }]),
  );
}

/**
 * Commits what was changed in a copy: one change of the dossier, whole or not at all.
 * @param over  revisions of others that this one is put over, having been seen, by path
 * @returns     undefined where nothing was changed
 * Refuses      files that somebody else has changed since, with both values
 */
export async function commitFolder(
  store: TeamStore,
  folder: string,
  why: string,
  over: ReadonlyMap<string, number>,
  transfer: Transfer = {},
): Promise<Committed | undefined> {
  const origin = await readOrigin(folder);
  const present = await filesInFolder(folder);
  const changed = changedFiles(origin, present, over);
  const removedSeal = changed.find(({ path, removed }) => removed && isSealedPath(path));
  if (removedSeal !== undefined) refuseSealed(folder, removedSeal.path, "was removed");
  const changedSeal = changed.find(({ path }) => isSealedPath(path) && origin.files[path] !== undefined);
  if (changedSeal !== undefined) refuseSealed(folder, changedSeal.path, "was changed");
  if (changed.length === 0) return undefined;
  await requireSeals(folder, changed);
  try {
    const committed = await send(store, folder, origin.dossier, false, why, changed, transfer);
    await writeOrigin(folder, originAfter(origin, changed, committed));
    return committed;
  } catch (error) {
    if (!isRefused(error, "conflict")) throw error;
    return await refuseConflicts(store, origin.dossier, folder, conflictPaths(error), origin.files, present);
  }
}

function refuseSealed(folder: string, path: string, what: string): never {
  return refuseFile(join(folder, path), {
    code: "team-sealed",
    found: `a sealed prediction ${what}`,
    allowed: "A sealed prediction is written once and changed by nobody, whatever the role.",
    mend: `Take the file back by \`coldturn team update\` with --theirs ${path}`,
  });
}

function changedFiles(
  { files }: Origin,
  present: readonly FileFacts[],
  over: ReadonlyMap<string, number>,
): readonly ChangedFile[] {
  const baseOf = (path: string): number | null => over.get(path) ?? files[path]?.revision ?? null;
  const written = present
    .filter(({ path, sha256: hash }) => files[path]?.sha256 !== hash || over.has(path))
    .map((file) => ({ ...file, removed: false, base: baseOf(file.path) }));
  const removed = Object.keys(files)
    .filter((path) => !present.some((one) => one.path === path))
    .map((path) => ({ path, removed: true, base: baseOf(path), sha256: sha256(""), bytes: 0, pieces: [] }));
  return [...written, ...removed];
}

function conflictPaths(error: unknown): readonly string[] {
  const detail = detailOf(error);
  return Array.isArray(detail)
    ? detail.flatMap((one: unknown) =>
        typeof one === "object" && one !== null && "path" in one ? [String(one.path)] : [],
      )
    : [];
}

/** Refuses a sealed prediction whose seal is broken before anybody else has it. */
async function requireSeals(folder: string, files: readonly { readonly path: string }[]): Promise<void> {
  const seals = files.filter(({ path }) => isSealedPath(path));
  if (seals.length === 0) return;
  const { openSealed } = await evidence();
  for (const { path } of seals) {
    const { text, path: shown } = await readText(join(folder, path));
    openSealed(text, shown, sha256);
  }
}

/** Sends the pieces that the store does not have and the change, in one transaction. */
async function send(
  store: TeamStore,
  folder: string,
  dossier: string,
  isNew: boolean,
  why: string,
  files: readonly ChangedFile[],
  { signal, onBytes }: Transfer,
): Promise<Committed> {
  const present = new Set(
    await presentPieces(
      store,
      files.flatMap(({ pieces }) => pieces),
    ),
  );
  const missing = files.filter(({ pieces }) => pieces.some((one) => !present.has(one)));
  const total = missing.reduce((sum, { bytes }) => sum + bytes, 0);
  let done = 0;
  const client = await store.pool.connect();
  let isWhole = false;
  try {
    await client.query("begin");
    for (const file of missing) {
      let place = 0;
      for await (const piece of piecesOf(join(folder, file.path))) {
        signal?.throwIfAborted();
        const wanted = file.pieces[place++];
        if (wanted === undefined || sha256(piece) !== wanted) refuseMeanwhile(join(folder, file.path));
        if (!present.has(wanted)) await client.query(`select ${schemaName}.put_piece($1)`, [piece]);
        present.add(wanted);
        done += piece.length;
        onBytes?.(done, total);
      }
    }
    const { rows } = await client.query<{ number: number; stamp: Date }>(
      `select number, stamp from ${schemaName}.commit_change($1, $2, $3, $4)`,
      [dossier, isNew, why, JSON.stringify(files)],
    );
    signal?.throwIfAborted();
    await client.query("commit");
    isWhole = true;
    const [made] = rows;
    if (made === undefined) throw new Error("the store did not number the change");
    return {
      dossier,
      revision: made.number,
      at: made.stamp.toISOString(),
      files: files.map(({ path, removed, bytes }) => ({ path, removed, bytes })),
    };
  } finally {
    // What is not whole ends with its connection: nothing of it stays.
    client.release(!isWhole);
  }
}

function refuseMeanwhile(path: string): never {
  return refuseFile(path, {
    code: "file-changed",
    found: "the file was changed by somebody else since it was read",
    allowed: "Their change is not overwritten; nothing was written.",
    mend: "Give the same command again: it starts from the file as it is now",
  });
}

function originAfter(origin: Origin, changed: readonly ChangedFile[], { revision }: Committed): Origin {
  const files: Record<string, KnownVersion> = { ...origin.files };
  for (const { path, removed, sha256: hash } of changed) {
    if (removed) delete files[path];
    else files[path] = { revision, sha256: hash };
  }
  return { ...origin, files };
}

/** What an update did to a copy. */
export interface Updated {
  readonly dossier: string;
  readonly written: readonly string[];
  readonly removed: readonly string[];
}

/**
 * Takes over what others have committed since; files changed here stay, unless they are in conflict.
 * @param theirs  paths whose version of the others is taken, whatever was changed here
 * Refuses        where a file was changed here and by somebody else; nothing is written then
 */
export async function updateFolder(
  store: TeamStore,
  folder: string,
  theirs: ReadonlySet<string>,
  transfer: Transfer = {},
): Promise<Updated> {
  const origin = await readOrigin(folder);
  const heads = await headsOf(store, origin.dossier);
  const present = await filesInFolder(folder);
  const unknown = [...theirs].find((path) => !heads.some((head) => head.path === path));
  if (unknown !== undefined)
    refuse(
      "team-theirs-unknown",
      `--theirs ${unknown}: the team's dossier has never had this file`,
      "It names a file of the dossier as `coldturn team history` does.",
      "Look for a misspelt name",
    );
  const own = (path: string): string | undefined => present.find((one) => one.path === path)?.sha256;
  const isMoved = (head: StoredVersion): boolean =>
    theirs.has(head.path)
      ? own(head.path) !== (head.removed ? undefined : head.sha256)
      : head.revision !== origin.files[head.path]?.revision &&
        !(head.removed && origin.files[head.path] === undefined);
  const isSame = (head: StoredVersion): boolean =>
    own(head.path) === (head.removed ? undefined : head.sha256);
  const moved = heads.filter(isMoved);
  const conflicts = moved.filter(
    (head) => !theirs.has(head.path) && own(head.path) !== origin.files[head.path]?.sha256 && !isSame(head),
  );
  if (conflicts.length > 0) {
    const paths = conflicts.map(({ path }) => path);
    await refuseConflicts(store, origin.dossier, folder, paths, origin.files, present);
  }
  const files: Record<string, KnownVersion> = { ...origin.files };
  const written: string[] = [];
  const removed: string[] = [];
  for (const head of moved) {
    transfer.signal?.throwIfAborted();
    if (!isSame(head)) {
      await requireUnchanged(folder, head.path, own(head.path));
      if (head.removed) {
        await removeFile(folder, head.path);
        removed.push(head.path);
      } else {
        await writePieces(join(folder, head.path), head, bytesOf(store, head));
        written.push(head.path);
      }
    }
    if (head.removed) delete files[head.path];
    else files[head.path] = { revision: head.revision, sha256: head.sha256 };
    // After each file, so that an interruption leaves a copy that knows what it holds.
    await writeOrigin(folder, { ...origin, files });
  }
  return { dossier: origin.dossier, written, removed };
}

/** Refuses a file that an editor has written while the update was on its way. */
async function requireUnchanged(folder: string, path: string, hash: string | undefined): Promise<void> {
  const isThere = (await kindAt(join(folder, path))) === "file";
  const found = isThere ? (await factsOf(folder, path)).sha256 : undefined;
  if (found !== hash) refuseMeanwhile(join(folder, path));
}

/** Removes a file, and its folder where it was the last one in it. */
async function removeFile(folder: string, path: string): Promise<void> {
  await rm(join(folder, path), { force: true });
  const place = dirname(path);
  if (place !== "." && (await readdir(join(folder, place))).length === 0)
    await rm(join(folder, place), { recursive: true });
}
