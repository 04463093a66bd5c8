/**
 * What a folder remembers of the team's dossier that it is a copy of: which, and the version of each file
 * that it holds. A hidden file, so that it is no part of the dossier.
 */
import { join } from "node:path";
import { kindAt, readText } from "../readFile.js";
import { refuseFile } from "../system.js";
import { writeWhole } from "../wholeFile.js";

const originName = ".team.json";
const format = "coldturn-team/1";

/** The version of a file that the folder began with. */
export interface KnownVersion {
  readonly revision: number;
  readonly sha256: string;
}

export interface Origin {
  /** Of the database, without a password. */
  readonly address: string;
  readonly dossier: string;
  readonly files: Readonly<Record<string, KnownVersion>>;
}

export async function writeOrigin(folder: string, origin: Origin): Promise<void> {
  const text = `${JSON.stringify({ format, ...origin }, undefined, 1)}\n`;
  await writeWhole(join(folder, originName), text, "always");
}

/** Refuses a folder that is no copy of a team's dossier. */
export async function readOrigin(folder: string): Promise<Origin> {
  const path = join(folder, originName);
  if ((await kindAt(path)) !== "file")
    return refuseOrigin(folder, "this folder is no copy of a team's dossier");
  const origin = parsed((await readText(path)).text);
  return origin ?? refuseOrigin(path, "this does not say which dossier the folder is a copy of");
}

function refuseOrigin(path: string, found: string): never {
  return refuseFile(path, {
    code: "team-origin",
    found,
    allowed:
      "A copy knows from which versions of the files it began; `coldturn team export` and `import` note it.",
    mend: "Export the dossier into a new folder, and take your changes over there",
  });
}

function parsed(text: string): Origin | undefined {
  try {
    const value: unknown = JSON.parse(text);
    return isOrigin(value) ? value : undefined;
  } catch (thrown) {
    if (thrown instanceof SyntaxError) return undefined;
    throw thrown;
  }
}

function isOrigin(value: unknown): value is Origin {
  return (
    isRecord(value) &&
    value.format === format &&
    typeof value.address === "string" &&
    typeof value.dossier === "string" &&
    isRecord(value.files) &&
    Object.values(value.files).every(
      (one) => isRecord(one) && typeof one.revision === "number" && typeof one.sha256 === "string",
    )
  );
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null;
}
