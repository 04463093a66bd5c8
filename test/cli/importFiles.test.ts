import { mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { quotedText, withDatabase } from "../../src/host/database.js";
import { inFolder } from "../host/folder.js";
import { at, coldturn, dossierIn, dryLog, recordOf } from "./program.js";

const slow = { timeout: 120_000 };

/** The log of a dry test, parted as two loggers would have it: command and current, angle and current. */
function parted(): { readonly controller: string; readonly stand: string } {
  const [, ...rows] = dryLog().trim().split("\n");
  const cells = rows.map((row) => row.split(",").map(Number));
  const controller = cells.map(([t, command, , current]) => `${t},${command},${current}`);
  // The clock of the stand shows 0.25 s less.
  const stand = cells.map(([t = 0, , angle, current]) => `${(t - 0.25).toFixed(4)},${angle},${current}`);
  return {
    controller: ["t [s],cmd [V],current [A]", ...controller].join("\n"),
    stand: ["Time (s),Angle (deg),Current (A)", ...stand].join("\n"),
  };
}

async function withFiles<T>(act: (place: string, paths: readonly string[], folder: string) => Promise<T>) {
  return await inFolder(async (folder) => {
    const paths = ["controller.csv", "stand.csv"].map((name) => join(folder, name));
    const { controller, stand } = parted();
    writeFileSync(paths[0] ?? "", controller);
    writeFileSync(paths[1] ?? "", stand);
    return await act(dossierIn(folder), paths, folder);
  });
}

const usual = ["--case", "dry-ambient", "--date", "2031-04-18"];

describe("coldturn import of a file that is damaged", () => {
  it("says so and what to do, and nothing of what the library prints", slow, async () => {
    await inFolder(async (folder) => {
      const path = join(folder, "stand.h5");
      writeFileSync(
        path,
        Buffer.concat([Buffer.from("89484446 0d0a1a0a".replace(" ", ""), "hex"), Buffer.alloc(64, 7)]),
      );
      const { status, stderr } = await coldturn(["import", dossierIn(folder), path, ...usual]);
      expect(status).toBe(2);
      expect(stderr).toContain("the HDF5 file cannot be read");
      expect(stderr).not.toMatch(/HDF5-DIAG|H5[A-Z]\w+|#\d+/);
    });
  });
});

describe("coldturn import of a Parquet file by the name of a run's own", () => {
  it("keeps the original beside the stored log, by a name of its own", slow, async () => {
    await inFolder(async (folder) => {
      const [text, path] = [join(folder, "dry.csv"), join(folder, "log.parquet")];
      writeFileSync(text, dryLog());
      await withDatabase(async (connection) => {
        await connection.run(
          `COPY (FROM read_csv(${quotedText(text)})) TO ${quotedText(path)} (FORMAT parquet)`,
        );
      });
      const place = dossierIn(folder);
      const ended = await coldturn(["import", place, path, ...usual, "--run", "same", "--json"]);
      expect(ended.stderr).toBe("");
      expect(at(recordOf(ended), "result.run.original.file")).toBe("original-log.parquet");
      const run = join(place, "runs", "same");
      expect(readFileSync(join(run, "original-log.parquet"))).toEqual(readFileSync(path));
      const read = await coldturn(["reduce", place, "--run", "same", "--json"]);
      expect(read.status).toBe(0);
    });
  });
});

describe("coldturn import of several files", () => {
  it("puts them on one clock, keeps both originals, and reads the run again", slow, async () => {
    await withFiles(async (place, paths) => {
      const ended = await coldturn(["import", place, ...paths, ...usual, "--run", "two", "--json"]);
      expect(ended.stderr).toBe("");
      const clock = at(recordOf(ended), "result.run.furtherFiles.0.clock");
      expect(clock).toMatchObject({ file: "stand.csv", method: "cross-correlation" });
      expect(Math.abs(Number(at(clock, "offset_s")) - 0.25)).toBeLessThan(0.002);
      const names = readdirSync(join(place, "runs", "two"));
      expect(names.sort()).toEqual([
        ...["controller.csv", "log-2.parquet", "log.parquet", "run.yaml", "stand.csv"],
      ]);
      const text = readFileSync(join(place, "runs", "two", "run.yaml"), "utf8");
      expect(text).toContain("further_files:");
      const again = await coldturn(["import", place, paths[1] ?? "", ...usual]);
      expect(again.status).toBe(2);
      expect(again.stderr).toContain("stand.csv is run two already");
      expect(readdirSync(place).filter((name) => name.startsWith("."))).toEqual([]);
    });
  });

  it("takes a clock by hand with who and why, and a calibration with its uncertainty", slow, async () => {
    await withFiles(async (place, paths) => {
      mkdirSync(join(place, "sensors"));
      writeFileSync(
        join(place, "sensors", "angle.yaml"),
        [
          ...["kind: linear", "reading_unit: deg", "standard_uncertainty: 0.2 deg", "date: 2030-01-01"],
          ...["valid_until: 2030-12-31", "origin: own comparison"],
          "points: [{ reading: 0, value: 0 deg }, { reading: 90, value: 90.9 deg }]",
        ].join("\n"),
      );
      const words = [
        "import",
        place,
        ...paths,
        ...usual,
        "--clock",
        "stand.csv=0.25 s +/- 1 ms",
        "--dry-run",
      ];
      const refused = await coldturn(words);
      expect(refused.stderr).toContain("who did it or why is not said");
      const more = [
        "--who",
        "stand crew",
        "--why",
        "seen in the video",
        "--map",
        "2:angle.calibration=angle",
      ];
      const record = recordOf(await coldturn([...words, ...more, "--json"]));
      expect(at(record, "result.run.furtherFiles.0.clock")).toMatchObject({
        ...{ offset_s: 0.25, method: "by hand", who: "stand crew" },
        standardUncertainty_s: 0.001,
      });
      expect(at(record, "result.files.1.channels.0.standardUncertainty")).toBeCloseTo(
        (0.2 * Math.PI) / 180,
        12,
      );
      expect(JSON.stringify(at(record, "result.notices"))).toContain("was good until 2030-12-31");
    });
  });
});

describe("an import that is killed", () => {
  it.each([250, 600, 1200])(
    "after %d ms leaves the dossier whole, and the next one says so",
    slow,
    async (ms) => {
      await withFiles(async (place, [path = ""]) => {
        const words = ["import", place, path, ...usual, "--run", "one"];
        await coldturn(words, { onStart: (child) => setTimeout(() => child.kill("SIGKILL"), ms) });
        const isLeft = readdirSync(place).some((name) => name.startsWith(".import."));
        const runs = readdirSync(place).includes("runs") ? readdirSync(join(place, "runs")) : [];
        // Either nothing, or the whole run: its folder gets its name last.
        for (const run of runs)
          expect(readdirSync(join(place, "runs", run)).sort()).toEqual([
            "controller.csv",
            "log.parquet",
            "run.yaml",
          ]);
        const next = await coldturn(["import", place, path, ...usual, "--anew", "--run", "two"]);
        expect(next.status).toBe(0);
        const said = next.stdout.replaceAll(/\s+/g, " ");
        expect(said.includes("was broken off before it was whole")).toBe(isLeft);
        expect(readdirSync(place).filter((name) => name.startsWith("."))).toEqual([]);
      });
    },
  );
});

describe("an import onto a full disk", () => {
  it("is refused, and nothing of it stays", slow, async () => {
    await withFiles(async (place, [path = ""]) => {
      // A limit on the size of files stands in for the disk: the system refuses the write the same way.
      const before = readdirSync(place).sort();
      const words = ["import", place, path, ...usual].map((word) => `'${word}'`).join(" ");
      const { spawnSync } = await import("node:child_process");
      const { fileURLToPath } = await import("node:url");
      const { built } = await import("../host/built.js");
      const program = fileURLToPath(built("src/cli/main.js"));
      const ended = spawnSync(
        "bash",
        ["-c", `trap '' XFSZ; ulimit -f 8; exec "${process.execPath}" "${program}" ${words}`],
        {
          encoding: "utf8",
        },
      );
      expect(ended.status).toBe(2);
      expect(ended.stderr).toContain("the disk is full");
      expect(readdirSync(place).sort()).toEqual(before);
    });
  });
});
