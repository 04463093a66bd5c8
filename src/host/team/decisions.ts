/**
 * Decisions upon a sheet. The database keeps them (structure.ts): each person decides by an own login, once for
 * a sheet, and only while every file that the sheet rests on is as the sheet says. A copy of the dossier holds
 * what was decided when it was last asked for, in a hidden file, so that question 12 and the sheet can show it.
 */
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import type { DecisionWord } from "../../dossier/index.js";
import type { Decision } from "../../question/index.js";
import { hashFile } from "../hashFile.js";
import { readSheetFile } from "../sheetFile.js";
import { refuseFile } from "../system.js";
import { writeWhole } from "../wholeFile.js";
import { readOrigin } from "./origin.js";
import type { TeamStore } from "./store.js";
import { schemaName } from "./structure.js";

type Kept = Omit<Decision, "standing">;

/** What was decided upon the sheets of a dossier, oldest first. */
export async function decisionsOf({ pool }: TeamStore, dossier: string): Promise<readonly Decision[]> {
  const { rows } = await pool.query<Omit<Kept, "at"> & { readonly at: Date }>(
    `select path as sheet, encode(sha256, 'hex') as sha256, word, who as login, name, at, why
     from ${schemaName}.decision where dossier = $1 order by number`,
    [dossier],
  );
  return withStanding(rows.map(({ at, ...rest }) => ({ ...rest, at: at.toISOString() })));
}

/** Two persons who say the same are one decision; each is told how far that is. */
function withStanding(kept: readonly Kept[]): readonly Decision[] {
  return kept.map((one) => {
    const all = kept.filter(({ sheet, sha256 }) => sheet === one.sheet && sha256 === one.sha256);
    const words = new Set(all.map(({ word }) => word));
    const standing =
      all.length < 2 ? "one of two" : words.size === 1 ? "two persons agree" : "two persons differ";
    return { ...one, standing };
  });
}

/**
 * Records what the caller decides upon a sheet of a copy.
 *
 * @param sheet  its path from the folder, as `sheets/a.html`
 * Refuses       a folder that is no copy, a file that is no sheet; the store refuses the rest
 */
export async function decideOn(
  store: TeamStore,
  folder: string,
  sheet: string,
  word: DecisionWord,
  why: string,
): Promise<readonly Decision[]> {
  const { dossier } = await readOrigin(folder);
  const path = join(folder, sheet);
  const { files } = await readSheetFile(path);
  const { sha256 } = await hashFile(path);
  await store.pool.query(`select ${schemaName}.decide($1, $2, $3, $4, $5, $6)`, [
    dossier,
    sheet,
    sha256,
    word,
    why,
    JSON.stringify(files),
  ]);
  return await takeDecisions(store, folder);
}

const fileName = ".team-decisions.json";

/** Takes over what was decided into a copy. */
export async function takeDecisions(store: TeamStore, folder: string): Promise<readonly Decision[]> {
  const { dossier } = await readOrigin(folder);
  const decisions = await decisionsOf(store, dossier);
  await writeWhole(join(folder, fileName), `${JSON.stringify(decisions, undefined, 1)}\n`, "always");
  return decisions;
}

/** What a folder knows of decisions; none where it is no copy. */
export async function keptDecisions(folder: string): Promise<readonly Decision[]> {
  const path = join(folder, fileName);
  const text = await readFile(path, "utf8").catch(() => undefined);
  if (text === undefined) return [];
  const value = parsed(text);
  if (value !== undefined) return value;
  return refuseFile(path, {
    code: "team-origin",
    found: "this does not say what was decided",
    allowed: "The file is written by `coldturn team update` and `decide`, and by nobody else.",
    mend: "Remove it, and let `coldturn team update` write it anew",
  });
}

const texts = ["sheet", "sha256", "word", "login", "name", "at", "why", "standing"];

function parsed(text: string): readonly Decision[] | undefined {
  try {
    const value: unknown = JSON.parse(text);
    return isDecisions(value) ? value : undefined;
  } catch (thrown) {
    if (thrown instanceof SyntaxError) return undefined;
    throw thrown;
  }
}

function isDecisions(value: unknown): value is readonly Decision[] {
  return (
    Array.isArray(value) &&
    value.every(
      (one: unknown) =>
        typeof one === "object" &&
        one !== null &&
        texts.every((key) => typeof Reflect.get(one, key) === "string"),
    )
  );
}
