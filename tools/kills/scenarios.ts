/** What is killed: commands that write, and the server while it saves. To add one: one row in `scenarios`. */
import {
  cpSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { generateLogs } from "../../demo/generator/generate.js";
import { readDossier } from "../../src/dossier/index.js";
import { programFile } from "../../src/host/index.js";

export interface Scenario {
  readonly name: string;
  /** Share of all kills. */
  readonly share: number;
  /** What is typed. @param place  the dossier;  @param n  number of the kill */
  readonly words: (place: string, n: number) => readonly string[];
  /** Brings the dossier to where the command begins, before each kill. */
  readonly before?: (place: string, n: number) => void;
  /** Files that the command may change or make, by their path in the dossier; all others stay byte for byte. */
  readonly may: RegExp;
  /** Most new files that one call may leave. */
  readonly mostNew: number;
  /** Where it writes, if not into the dossier. */
  readonly other?: (place: string, n: number) => string;
}

export const logName = "dry.csv";
const few = ["--samples", "40", "--workers", "1"];
const remove = (place: string, ...path: readonly string[]) =>
  rmSync(join(place, ...path), { recursive: true, force: true });

/** A list of parts that `parts --import` takes in. */
const list = `Type;R [ohm]\n${[60, 70, 80, 90, 100].map((size) => `M ${size};0,${size}`).join("\n")}\n`;
const mapping =
  'kind: motor\nname: Type\ndecimal: comma\ncolumns:\n  - { column: "R [ohm]", field: resistance, unit: ohm, spread: 5 % }\n';

export const scenarios: readonly Scenario[] = [
  {
    name: "new",
    share: 8,
    words: (place, n) => ["new", `${place}-new-${n}`],
    may: /^$/,
    mostNew: 0,
    other: (place, n) => `${place}-new-${n}`,
  },
  {
    name: "seal",
    share: 14,
    words: (place, n) => ["seal", place, "--case", "dry-ambient", "--seed", String(n), ...few],
    may: /^predictions\//,
    mostNew: 1,
  },
  {
    name: "import",
    share: 18,
    words: (place, n) => [
      "import",
      place,
      join(place, "..", logName),
      "--case",
      "dry-ambient",
      "--date",
      "2026-04-14",
      "--anew",
      "--run",
      `kill-${n}`,
    ],
    // Each run is looked at as a whole: those of earlier kills have been.
    before: (place) => {
      for (const id of readdirSync(join(place, "runs")))
        if (id.startsWith("kill-")) remove(place, "runs", id);
    },
    may: /^runs\/kill-/,
    mostNew: 3,
  },
  {
    name: "accept",
    share: 4,
    words: (place) => [
      "reconcile",
      place,
      "--run",
      "first",
      "--accept",
      "--although-it-does-not-stand",
      ...few,
    ],
    before: (place) => cpSync(join(place, "..", "valve.yaml"), join(place, "valve.yaml")),
    may: /^(valve\.yaml|runs\/[^/]+\/[^/]+\.json|next\/.*)$/,
    mostNew: 3,
  },
  {
    name: "reduce",
    share: 8,
    words: (place) => ["reduce", place],
    before: (place) => remove(place, "runs", "first", "reduction.json"),
    may: /^runs\/[^/]+\/[^/]+\.json$/,
    mostNew: 20,
  },
  {
    name: "sheet",
    share: 4,
    words: (place, n) => ["sheet", place, "--out", join(place, "sheets", `kill-${n}.html`), ...few],
    before: (place) => mkdirSync(join(place, "sheets"), { recursive: true }),
    may: /^sheets\//,
    mostNew: 1,
  },
  {
    name: "hazards",
    share: 4,
    words: (place) => ["hazards", place, ...few],
    before: (place, n) => (n % 2 === 0 ? remove(place, "hazards.yaml") : undefined),
    may: /^hazards\.yaml$/,
    mostNew: 1,
  },
  {
    name: "parts",
    share: 8,
    words: (place) => [
      "parts",
      "--import",
      join(place, "..", "list.csv"),
      "--map",
      join(place, "..", "map.yaml"),
      "--in",
      place,
    ],
    before: (place, n) => (n % 3 === 0 ? remove(place, "parts") : undefined),
    may: /^parts\//,
    mostNew: 5,
  },
  {
    name: "profile",
    share: 2,
    words: (place) => ["profile", place, "--samples", "1", "--write", join(place, "controller"), "--force"],
    may: /^controller\//,
    mostNew: 2,
  },
  {
    name: "migrate",
    share: 8,
    words: (place) => ["migrate", place, "--write"],
    before: (place) => {
      const path = join(place, "valve.yaml");
      writeFileSync(
        path,
        readFileSync(join(place, "..", "valve.yaml"), "utf8").replace(/^coldturn: 1\n/m, ""),
      );
      remove(place, "valve.yaml.format-0");
    },
    may: /^valve\.yaml(\.format-0)?$/,
    mostNew: 1,
  },
  {
    name: "seek",
    share: 8,
    words: (place) => ["seek", place, "--samples", "8", "--workers", "1"],
    may: /^seek\//,
    mostNew: 400,
  },
];

/** The dossier that the kills begin from: the demo's, with a small search, a run and a sealed prediction to come. */
export function prepare(home: string): string {
  const place = join(home, "petrel");
  cpSync(programFile("demo", "petrel-oxygen-main"), place, { recursive: true });
  const path = join(place, "valve.yaml");
  const text = readFileSync(path, "utf8").replace(
    "stages: { least: 1, most: 2 }",
    "stages: { least: 1, most: 1 }",
  );
  writeFileSync(path, text);
  const [log] = generateLogs(readDossier({ valve: { path: "valve.yaml", text } }).dossier);
  if (log === undefined) throw new Error("the demo has no log");
  writeFileSync(join(home, logName), log.bytes);
  writeFileSync(join(home, "list.csv"), list);
  writeFileSync(join(home, "map.yaml"), mapping);
  writeFileSync(join(home, "valve.yaml"), text);
  return place;
}

/** A copy of the prepared dossier for one scenario, in a folder of its own. */
export function copyFor(name: string, home: string): string {
  const folder = join(home, name);
  mkdirSync(folder);
  for (const file of [logName, "list.csv", "map.yaml", "valve.yaml"])
    cpSync(join(home, file), join(folder, file));
  cpSync(join(home, "petrel"), join(folder, "petrel"), { recursive: true });
  return join(folder, "petrel");
}

/** Moves what a kill of `new` left out of the way; a folder without its file is whole too: it says nothing. */
export function newIsWhole(folder: string, text: string): boolean {
  const path = join(folder, "valve.yaml");
  const isWhole = !existsSync(path) || readFileSync(path, "utf8") === text;
  if (isWhole && existsSync(folder)) renameSync(folder, `${folder}-seen`);
  return isWhole;
}
