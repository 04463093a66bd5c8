import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import type { Reconciliation } from "../../src/evidence/index.js";
import {
  type RunFinding,
  readDossierFiles,
  readFinding,
  restsOn,
  runIds,
  type StoredRun,
  sha256,
  writeFinding,
} from "../../src/host/index.js";
import { inFolder } from "./folder.js";
import { refusalOf } from "./refusal.js";

describe("the files of a dossier", () => {
  it("are the valve file and the parts, with the hash of each", async () => {
    await inFolder(async (folder) => {
      writeFileSync(join(folder, "valve.yaml"), "name: x\n");
      mkdirSync(join(folder, "parts"));
      writeFileSync(join(folder, "parts", "motor.yaml"), "kind: motor\n");
      writeFileSync(join(folder, "parts", "notes.txt"), "not a part");
      const files = await readDossierFiles(folder);
      expect(files.parts.map(({ path }) => path)).toEqual([join(folder, "parts", "motor.yaml")]);
      expect(restsOn(files)).toEqual([
        { name: "valve.yaml", sha256: sha256("name: x\n") },
        { name: "parts/motor.yaml", sha256: sha256("kind: motor\n") },
      ]);
      expect(await readDossierFiles(join(folder, "valve.yaml"))).toEqual(files);
    });
  });

  it("cannot be read from a folder without them, or from another file", async () => {
    await inFolder(async (folder) => {
      expect((await refusalOf(() => readDossierFiles(folder))).code).toBe("dossier-without-valve");
      writeFileSync(join(folder, "other.yaml"), "");
      expect((await refusalOf(() => readDossierFiles(join(folder, "other.yaml")))).code).toBe(
        "dossier-not-folder",
      );
      expect((await refusalOf(() => readDossierFiles(join(folder, "no")))).code).toBe("file-missing");
    });
  });

  it("a run is a folder with a record; an unfinished one is none", async () => {
    await inFolder(async (folder) => {
      for (const name of ["b", "a", ".c.0123456789ab.part", "empty"])
        mkdirSync(join(folder, "runs", name), { recursive: true });
      for (const name of ["b", "a", ".c.0123456789ab.part"])
        writeFileSync(join(folder, "runs", name, "run.yaml"), "");
      expect(await runIds(folder)).toEqual(["a", "b"]);
    });
  });
});

describe("what a run showed", () => {
  const dossier = [{ name: "valve.yaml", sha256: "a1" }];
  const runIn = (folder: string): StoredRun => ({
    folder,
    record: {
      id: "first",
      case: "dry",
      imported: "2031-04-18T09:30:00Z",
      original: { file: "log.csv", sha256: "b2", bytes: 3 },
      mapping: {
        dialect: { delimiter: "comma", decimal: "point" },
        time: { kind: "sample number" },
        channels: [],
      },
      moves: [],
    },
    file: { path: join(folder, "run.yaml"), text: "", sha256: "c3" },
  });
  // As much of one as tells numbers, gaps and columns apart.
  const finding = {
    reconciliation: {
      model: "1.0",
      finding: "agrees",
      update: { z: Float64Array.of(0.1, -1 / 3), converged: true },
      overlays: [{ channel: "angle", time_s: [0, 0.1], measured: [0, Number.NaN] }],
    } as unknown as Reconciliation,
    proposals: [{ path: "valve.inertia", now: "1", proposed: "2", because: "x", refusals: [] }],
  } satisfies RunFinding;

  it("comes back as it was, columns and gaps included", async () => {
    await inFolder(async (folder) => {
      await writeFinding(runIn(folder), dossier, finding);
      expect(await readFinding(runIn(folder), dossier, "1.0")).toEqual(finding);
    });
  });

  it("counts for nothing once a file, the run or the model is another, or somebody edited it", async () => {
    await inFolder(async (folder) => {
      const run = runIn(folder);
      expect(await readFinding(run, dossier, "1.0")).toBeUndefined();
      const path = await writeFinding(run, dossier, finding);
      expect(await readFinding(run, [{ name: "valve.yaml", sha256: "a2" }], "1.0")).toBeUndefined();
      expect(
        await readFinding(run, [...dossier, { name: "parts/a.yaml", sha256: "d" }], "1.0"),
      ).toBeUndefined();
      expect(
        await readFinding({ ...run, file: { ...run.file, sha256: "c4" } }, dossier, "1.0"),
      ).toBeUndefined();
      expect(await readFinding(run, dossier, "1.1")).toBeUndefined();
      const text = readFileSync(path, "utf8");
      writeFileSync(path, text.replace('"agrees"', '"disagrees"'));
      expect(await readFinding(run, dossier, "1.0")).toBeUndefined();
      writeFileSync(path, text.slice(0, 100));
      expect(await readFinding(run, dossier, "1.0")).toBeUndefined();
    });
  });
});
