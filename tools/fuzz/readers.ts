/**
 * The readers of files that come from outside, each with good files to begin from and the way a command
 * takes them. To add one: one row in `readers`. A reader may answer or refuse; whatever else it throws is a
 * defect, as is a fault that names no file, no mend, or no line where a person could look for it.
 */
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import * as h5 from "h5wasm/node";
import {
  applyDefaults,
  editHazards,
  editValveText,
  fileForms,
  migratedFile,
  partsOfTable,
  readDossier,
  readHazards,
  readStandFile,
  uncertainInputs,
} from "../../src/dossier/index.js";
import {
  canonicalJson,
  openSealed,
  readCalibration,
  readRun,
  verifySchedule,
} from "../../src/evidence/index.js";
import { type Fault, Refusal } from "../../src/fault/index.js";
import {
  openLog,
  programFile,
  readFinding,
  readPartTable,
  readSealed,
  readSensor,
  readSheetFile,
  readText,
  sha256,
  writeParquet,
} from "../../src/host/index.js";
import type { RandomStream } from "../../src/numerics/index.js";
import { randomStream } from "../../src/numerics/index.js";
import { planFor } from "../../src/predict/index.js";
import type { FileKind } from "./mutate.js";
import { partSeed, runSeed, scheduleSeeds, sealedSeed, sheetSeeds, solidSeed } from "./seeds.js";

export interface FuzzReader {
  readonly name: string;
  readonly kind: FileKind;
  /** Ending of the file, with its point. */
  readonly ending: string;
  /** Good files. */
  readonly seeds: (folder: string) => readonly Uint8Array[] | Promise<readonly Uint8Array[]>;
  /** Reads the file as a command does. @param folder  a scratch folder;  @param random  for what is done with it */
  readonly read: (
    path: string,
    folder: string,
    random: RandomStream,
  ) => Promise<readonly Fault[] | undefined>;
  /** Whether each fault must name a line, but for those of the whole file. */
  readonly hasLines?: true;
}

const textsIn = (folder: readonly string[], ending: RegExp): readonly Uint8Array[] =>
  readdirSync(programFile(...folder))
    .filter((name) => ending.test(name))
    .map((name) => readFileSync(programFile(...folder, name)));
const demo = (name: string): Uint8Array => readFileSync(programFile("demo", "petrel-oxygen-main", name));
const bytes = (text: string): Uint8Array => Buffer.from(text, "utf8");

/** A refusal of a part as its faults, anything else thrown on. */
function refused(act: () => unknown): void {
  try {
    act();
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
  }
}

async function readDossierFile(
  valve: { path: string; text: string },
  parts: readonly { path: string; text: string }[],
  random: RandomStream,
) {
  const { dossier, faults } = readDossier({ valve, parts });
  applyDefaults(dossier);
  refused(() => planFor(applyDefaults(dossier).dossier, "duty"));
  const inputs = uncertainInputs(dossier);
  const path = inputs[random.below(Math.max(1, inputs.length))]?.path;
  if (path !== undefined) refused(() => editValveText(valve.text, [{ path, value: "0.5" }]));
  for (const form of fileForms) refused(() => migratedFile(form, valve));
  return faults;
}

export const readers: readonly FuzzReader[] = [
  {
    name: "dossier",
    kind: "yaml",
    ending: ".yaml",
    hasLines: true,
    seeds: () => [
      demo("valve.yaml"),
      ...textsIn(["test", "dossier", "formats"], /^valve/),
      ...textsIn(["test", "dossier", "bad"], /\.yaml$/),
    ],
    read: async (path, _, random) => await readDossierFile(await readText(path), [], random),
  },
  {
    name: "part",
    kind: "yaml",
    ending: ".yaml",
    hasLines: true,
    seeds: () => [bytes(partSeed), bytes(solidSeed)],
    read: async (path, _, random) =>
      await readDossierFile(
        { path: "valve.yaml", text: "coldturn: 1\ndrive: { motor: { part: our motor } }\n" },
        [await readText(path)],
        random,
      ),
  },
  {
    name: "parts",
    kind: "table",
    ending: ".csv",
    seeds: () => [
      bytes("Type;R [ohm];J\nM 60;0,80;1,2\nM 90;0,55;3,4\n"),
      bytes('name,resistance,note\n"A, B",0.8,"two\nlines"\n'),
    ],
    read: async (path) => {
      const table = await readPartTable(path);
      const mapping = `kind: motor\nname: ${JSON.stringify(table.columns[0] ?? "Type")}\ndecimal: comma\ncolumns:\n  - { column: ${JSON.stringify(table.columns[1] ?? "R")}, field: resistance, unit: ohm, spread: 5 % }\n`;
      return partsOfTable(table, { path: "mapping.yaml", text: mapping }).faults;
    },
  },
  {
    name: "mapping",
    kind: "yaml",
    ending: ".yaml",
    seeds: () => [
      bytes(
        'kind: motor\nname: Type\ndecimal: comma\nreason: list of 2031\ncolumns:\n  - { column: "R [ohm]", field: resistance, unit: ohm, spread: 5 % }\n  - { column: J, field: inertia, unit: kg cm2 }\n',
      ),
    ],
    read: async (path) =>
      partsOfTable(
        {
          path: "list.csv",
          columns: ["Type", "R [ohm]", "J"],
          rows: [{ line: 2, cells: ["M 60", "0,80", "1,2"] }],
        },
        await readText(path),
      ).faults,
  },
  {
    name: "register",
    kind: "yaml",
    ending: ".yaml",
    hasLines: true,
    seeds: () => [demo("hazards.yaml"), ...textsIn(["test", "dossier", "formats"], /^hazards/)],
    read: async (path) => {
      const file = readHazards(await readText(path));
      if (file.faults.length === 0 && file.rows.length > 0)
        refused(() => editHazards(file, [{ path: "rows[0].stale", value: "no" }], []));
      return file.faults;
    },
  },
  {
    name: "stand",
    kind: "yaml",
    ending: ".yaml",
    hasLines: true,
    seeds: () => [demo("stand.yaml")],
    read: async (path) => readStandFile(await readText(path)).faults,
  },
  {
    name: "sheet",
    kind: "binary",
    ending: ".html",
    seeds: () => sheetSeeds(),
    read: async (path) => {
      await readSheetFile(path);
      return undefined;
    },
  },
  {
    name: "log",
    kind: "table",
    ending: ".csv",
    seeds: () => textsIn(["test", "logs"], /\.(csv|txt)$/),
    read: async (path, folder, random) => await readLog(path, folder, random),
  },
  {
    name: "parquet",
    kind: "binary",
    ending: ".parquet",
    seeds: async (folder) => [await parquetSeed(folder)],
    read: async (path, folder, random) => await readLog(path, folder, random),
  },
  {
    name: "hdf5",
    kind: "binary",
    ending: ".h5",
    seeds: async (folder) => [await hdf5Seed(folder)],
    read: async (path, folder, random) => await readLog(path, folder, random),
  },
  {
    name: "run",
    kind: "yaml",
    ending: ".yaml",
    seeds: () => [bytes(runSeed)],
    read: async (path) => {
      const { text } = await readText(path);
      readRun(text, path);
      return undefined;
    },
  },
  {
    name: "sensor",
    kind: "yaml",
    ending: ".yaml",
    seeds: () => [
      bytes(
        "kind: linear\nreading_unit: deg\nstandard_uncertainty: 0.2 deg\ndate: 2030-01-01\norigin: own comparison\npoints: [{ reading: 0, value: 0 deg }, { reading: 90, value: 90.9 deg }]\n",
      ),
      bytes(
        "kind: polynomial\nunit: bar\ncoefficients: [0.1, 2.5, 1e-3]\nrange: [0, 10]\nstandard_uncertainty: 0.2 bar\ndate: 2030-01-01\norigin: laboratory\n",
      ),
    ],
    // It lies in a folder of its own, by its id.
    read: async (path, folder) => {
      readCalibration(await readSensor(folder, idOf(path)));
      return undefined;
    },
  },
  {
    name: "sealed",
    kind: "json",
    ending: ".json",
    seeds: () => [bytes(sealedSeed)],
    read: async (path, folder, random) => {
      const { text } = await readText(path);
      // One in two with a seal that fits, as one who wants to deceive would write it.
      openSealed(random.below(2) === 0 ? text : resealed(text), path, sha256);
      await readSealed(folder);
      return undefined;
    },
  },
  {
    name: "kept",
    kind: "json",
    ending: ".json",
    seeds: () => [
      bytes(
        `${JSON.stringify({ sha256: "", format: "coldturn-reconciliation/1", model: "m", restsOn: [], finding: { a: { column: [1, null] } } }, null, 1)}\n`,
      ),
    ],
    read: async (path, folder) => {
      writeFileSync(join(folder, "reconciliation.json"), resealed(readFileSync(path, "utf8")));
      const record = readRun(runSeed, "run.yaml");
      await readFinding({ folder, record, file: { path: "run.yaml", text: runSeed, sha256: "c" } }, [], "m");
      return undefined;
    },
  },
  {
    name: "schedule",
    kind: "table",
    ending: ".csv",
    seeds: () => scheduleSeeds().map(bytes),
    read: async (path) => {
      verifySchedule(await readText(path), sha256);
      return undefined;
    },
  },
];

const idOf = (path: string): string => path.replace(/^.*\//, "").replace(/\.yaml$/, "");

/** A log as an import reads it: looked at, then read by the mapping that it proposes; one in three as a large one. */
async function readLog(path: string, folder: string, random: RandomStream): Promise<undefined> {
  const isLarge = random.below(3) === 0;
  const log = await openLog(path, folder, isLarge ? { smallText: 0 } : {});
  if (log.inspection.questions.length > 0)
    throw new Refusal(
      log.inspection.questions.map((fault) => ({ ...fault, where: { file: path, ...fault.where } })),
    );
  await log.read(log.inspection.mapping, folder, join(folder, "out.parquet"));
  return undefined;
}

/** The text with the seal that its content has; the same where it is no record. */
function resealed(text: string): string {
  try {
    const { sha256: _, ...content } = Object(JSON.parse(text));
    return `${JSON.stringify({ ...content, sha256: sha256(canonicalJson(content)) }, null, 1)}\n`;
  } catch {
    return text;
  }
}

const rows = 200;
const columns = (): readonly Float64Array[] => {
  const random = randomStream(7);
  const time = Float64Array.from({ length: rows }, (_, k) => k / 1000);
  const angle = time.map((t) => 90 * Math.min(1, Math.max(0, (t - 0.05) / 0.1)));
  return [time, time.map((t) => (t > 0.03 ? 5 : 0)), angle, time.map(() => 2 + random.uniform())];
};

async function parquetSeed(folder: string): Promise<Uint8Array> {
  const path = join(folder, "seed.parquet");
  await writeParquet(path, {
    names: ["t [s]", "command", "angle [deg]", "current [A]"],
    columns: columns(),
    about: {},
  });
  return readFileSync(path);
}

async function hdf5Seed(folder: string): Promise<Uint8Array> {
  await h5.ready;
  const path = join(folder, "seed.h5");
  const file = new h5.File(path, "w");
  file.create_attribute("sample_rate", "1000 Hz");
  const group = file.create_group("daq");
  for (const [i, name] of ["time", "command", "angle", "current"].entries())
    group
      .create_dataset({ name, data: columns()[i] ?? new Float64Array() })
      .create_attribute("units", ["s", "V", "deg", "A"][i] ?? "");
  file.close();
  return readFileSync(path);
}
