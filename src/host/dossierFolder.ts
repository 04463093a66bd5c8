/** The folder of a dossier: valve.yaml, parts/*.yaml, runs/<id>/, predictions/*.json. */
import { basename, dirname, join } from "node:path";
import { nearName } from "../fault/index.js";
import { kindAt, namesIn, readText, refuseMissing, type TextFile } from "./readFile.js";
import { refuseFile } from "./system.js";

/** The hand-written files of a dossier, as they were when they were read. */
export interface DossierFiles {
  /** As the user named it. */
  readonly folder: string;
  readonly valve: TextFile;
  readonly parts: readonly TextFile[];
}

const valveName = "valve.yaml";

/**
 * Reads the hand-written files of a dossier.
 *
 * @param place  the folder, or the valve file in it
 * Refuses       a place without a valve file, a file that cannot be read
 */
export async function readDossierFiles(place: string): Promise<DossierFiles> {
  const kind = await kindAt(place);
  if (kind === "nothing") return await refuseMissing(place);
  if (kind === "file" && basename(place) !== valveName) return refuseOtherFile(place);
  const folder = kind === "file" ? dirname(place) : place;
  const path = join(folder, valveName);
  if ((await kindAt(path)) === "nothing") return await refuseEmptyFolder(folder);
  const partNames = (await namesIn(join(folder, "parts"))).filter((name) => /\.ya?ml$/i.test(name));
  const [valve, ...parts] = await Promise.all([
    readText(path),
    ...partNames.map((name) => readText(join(folder, "parts", name))),
  ]);
  return { folder, valve, parts };
}

/** Name and hash of each file that a prediction rests on, named from the folder of the dossier. */
export function restsOn({ valve, parts }: DossierFiles): readonly {
  readonly name: string;
  readonly sha256: string;
}[] {
  return [
    { name: valveName, sha256: valve.sha256 },
    ...parts.map(({ path, sha256 }) => ({ name: `parts/${basename(path)}`, sha256 })),
  ];
}

function refuseOtherFile(path: string): never {
  return refuseFile(path, {
    code: "dossier-not-folder",
    found: "this is a file, where the folder of a dossier is needed",
    allowed: `A dossier is a folder with a ${valveName} in it.`,
    mend: `Name the folder, or the ${valveName} in it`,
  });
}

async function refuseEmptyFolder(folder: string): Promise<never> {
  const names = await namesIn(folder);
  const near = nearName(valveName, names);
  return refuseFile(folder, {
    code: "dossier-without-valve",
    found: `there is no ${valveName} in this folder`,
    allowed: `A dossier is a folder with a ${valveName} in it.`,
    mend:
      near === undefined
        ? `Name another folder, or let \`coldturn new ${folder}\` make one to fill in`
        : `Rename the file to ${valveName}`,
    ...(near === undefined ? {} : { near: join(folder, near) }),
  });
}
