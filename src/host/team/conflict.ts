/** Two people have changed one file: what each made of it, set side by side. */
import { join } from "node:path";
import { type DifferentValue, differentValues } from "../../dossier/index.js";
import { type Fault, Refusal } from "../../fault/index.js";
import { readBytes } from "../readFile.js";
import type { FileFacts } from "./folderFiles.js";
import type { KnownVersion } from "./origin.js";
import { bytesOf, changesOf, headsOf, type StoredVersion, type TeamStore, versionAt } from "./store.js";

/** A file that was changed by somebody else since the copy began. */
interface Conflict {
  readonly path: string;
  readonly revision: number;
  readonly name: string;
  readonly who: string;
  readonly at: string;
  readonly why: string;
  readonly isRemoved: boolean;
  /** Values that differ; undefined where the versions are no YAML or one of them is gone. */
  readonly values: readonly DifferentValue[] | undefined;
}

/** A larger text is no file written by hand; it is not taken apart. */
const largestCompared = 1_000_000;
/** Values shown of one file; the rest is counted. */
const mostShown = 12;

/** Refuses with what stands against each of the files. @param known  the versions that the copy began with */
export async function refuseConflicts(
  store: TeamStore,
  dossier: string,
  folder: string,
  paths: readonly string[],
  known: Readonly<Record<string, KnownVersion>>,
  mine: readonly FileFacts[],
): Promise<never> {
  const heads = await headsOf(store, dossier);
  const changes = await changesOf(store, dossier);
  const faults: Fault[] = [];
  for (const path of paths) {
    const head = heads.find((one) => one.path === path);
    const change = changes.find(({ revision }) => revision === head?.revision);
    if (head === undefined || change === undefined) continue;
    const began = known[path];
    const base = began === undefined ? undefined : await versionAt(store, dossier, path, began.revision);
    const own = mine.some((one) => one.path === path) ? await readBytes(join(folder, path)) : undefined;
    const values = await valuesOf(store, path, base, head, own);
    const { revision, name, who, at, why } = change;
    faults.push(faultOf(folder, { path, revision, name, who, at, why, isRemoved: head.removed, values }));
  }
  throw new Refusal(faults);
}

async function valuesOf(
  store: TeamStore,
  path: string,
  base: StoredVersion | undefined,
  head: StoredVersion,
  own: Uint8Array | undefined,
): Promise<readonly DifferentValue[] | undefined> {
  if (!/\.ya?ml$/i.test(path) || head.removed || own === undefined) return undefined;
  if (Math.max(head.bytes, own.length, base?.bytes ?? 0) > largestCompared) return undefined;
  const before = base === undefined || base.removed ? undefined : await textOf(store, base);
  return differentValues(before, await textOf(store, head), new TextDecoder().decode(own));
}

async function textOf(store: TeamStore, version: StoredVersion): Promise<string> {
  const pieces: Buffer[] = [];
  for await (const piece of bytesOf(store, version)) pieces.push(piece);
  return Buffer.concat(pieces).toString("utf8");
}

function faultOf(folder: string, { path, revision, name, who, at, why, isRemoved, values }: Conflict): Fault {
  const did = isRemoved ? "removed" : "changed";
  return {
    code: "team-conflict",
    where: { file: join(folder, path) },
    found: [
      `${name} (${who}) ${did} this at ${at}, change ${String(revision)}: ${why}`,
      ...(values === undefined ? [] : valueLines(values)),
    ].join("\n"),
    allowed: "Nobody's change is overwritten unseen; nothing was committed.",
    mend: `Put into your file what shall hold and commit with --over ${path}@${String(revision)}, or take theirs by \`coldturn team update\` with --theirs ${path}`,
  };
}

function valueLines(values: readonly DifferentValue[]): readonly string[] {
  if (values.length === 0) return ["   only comments or the order differ"];
  const word = (text: string | undefined): string => text ?? "(none)";
  const lines = values
    .slice(0, mostShown)
    .map(
      ({ path, before, theirs, mine }) =>
        `   ${path}: was ${word(before)}, theirs ${word(theirs)}, yours ${word(mine)}`,
    );
  const more = values.length - mostShown;
  return more > 0 ? [...lines, `   and ${String(more)} more`] : lines;
}
