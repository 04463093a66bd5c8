import { mkdirSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { inFolder } from "../host/folder.js";
import { at, coldturn, dossierIn, recordOf, widest } from "./program.js";

const demo = "demo/petrel-oxygen-main";

describe("coldturn check of a whole file", () => {
  it("says how values were read, what holds and what is missing, in words with units", async () => {
    for (const COLUMNS of ["80", "120"]) {
      const { status, stdout, stderr } = await coldturn(["check", demo, "--samples", "300"], {
        env: { COLUMNS },
      });
      expect([status, stderr]).toEqual([1, ""]);
      expect(stdout).toMatch(/valve\.seat\.preload +300 N to 700 N/);
      expect(stdout).toMatch(/duty\.fluid_temperature +91\.00 \+\/- 0\.50 K/);
      expect(stdout).not.toContain("cases[");
      expect(stdout).toMatch(/● holds +Opening time: [\d.]+ ms \(95 % between/);
      expect(stdout).toMatch(/^12 May it go on the stand\?/m);
      expect(stdout).toMatch(/a test of this valve,\s+imported\s+and/);
      expect(stdout).not.toContain("\u001b");
      expect(stdout).not.toMatch(/NaN|undefined|\[object/);
      expect(widest(stdout)).toBeLessThanOrEqual(Number(COLUMNS));
    }
  });

  it("prints the same as a JSON record", async () => {
    const ended = await coldturn(["check", demo, "--samples", "300", "--json"]);
    const record = recordOf(ended);
    expect(Object.keys(record)).toEqual(["coldturn", "command", "status", "faults", "result"]);
    expect(record).toMatchObject({ command: "check", status: 1, faults: [] });
    expect(Object.keys(Object(record.result))).toEqual([
      ...["valve", "file", "case", "model", "options", "notices", "readings", "defaults", "answers"],
    ]);
    expect(at(record, "result.answers.2.checks.0.id")).toBe("opening-time");
    expect(at(record, "result.answers.2.checks.0.value")).toBeGreaterThan(0.05);
    expect(at(record, "result.readings.0")).toMatchObject({
      path: "duty.fluid_temperature",
      written: "91 K +/- 0.5 K",
    });
  });

  it("looks at a case", async () => {
    const { stdout } = await coldturn(["check", demo, "--case", "nitrogen", "--samples", "100"]);
    expect(stdout).toMatch(/^Petrel oxygen main valve, nitrogen: /);
    expect(stdout).toMatch(/cases\[3\]\.supply_pressure +3\.00 \+\/- 0\.10 bar\(a\)/);
    expect(stdout).not.toMatch(/^ +duty\.supply_pressure/m);
  });

  it("takes the valve file itself for its folder", async () => {
    expect((await coldturn(["check", `${demo}/valve.yaml`, "--samples", "100", "--quiet"])).status).toBe(1);
  });
});

describe("coldturn check of a file with faults", () => {
  it("shows every fault with the user's own line and a caret, and the other answers all the same", async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder, (text) =>
        text
          .replace(/ {6}ratio: .*/, "      ratio: 12 V")
          .replace("dead_time: 15 ms +/- 3 ms", "dead_tme: 15 ms +/- 3 ms"),
      );
      const { status, stdout, stderr } = await coldturn(["check", place, "--samples", "100"], {
        env: { COLUMNS: "80" },
      });
      expect(status).toBe(2);
      // Answers on the standard output, faults on the standard error.
      expect(stdout).toContain("2 faults in the files are shown at the end, on the standard error.");
      expect(stdout).not.toMatch(/valve\.yaml:\d+:\d+/);
      expect(stderr).toMatch(/valve\.yaml:\d+:\d+/);
      expect(stderr).toMatch(/\| {7}ratio: 12 V\n +\| +\^+/);
      expect(stderr).toContain('Did you mean "dead_time"?');
      expect(widest(stderr)).toBeLessThanOrEqual(80);
      expect(stdout).toMatch(/● holds +Velocity through the bore/);
      expect(stdout).toMatch(/○ not known +Opening time: needs /);
      expect(widest(stdout)).toBeLessThanOrEqual(80);
      const quiet = await coldturn(["check", place, "--samples", "100", "--quiet"]);
      expect([quiet.status, quiet.stdout]).toEqual([2, ""]);
      expect(quiet.stderr).toContain("ratio: 12 V");
    });
  });

  it("predict and sheet put them in the same place, --json into the record", async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder, (text) => text.replace(/ {6}ratio: .*/, "      ratio: 12 V"));
      const few = ["--samples", "50"];
      for (const words of [
        ["predict", place, ...few],
        ["sheet", place, ...few, "--out", join(folder, "x.html")],
      ]) {
        const { status, stdout, stderr } = await coldturn(words, { env: { COLUMNS: "80" } });
        expect(status).toBe(2);
        expect(stdout).toContain("One fault in the file is shown at the end");
        expect(stdout).not.toContain("ratio: 12 V");
        expect(stderr).toContain("ratio: 12 V");
        const json = await coldturn([...words, "--json", ...(words[0] === "sheet" ? ["--force"] : [])]);
        expect(json.stderr).toBe("");
        expect(at(recordOf(json), "faults.0.code")).toBe("unit-wrong-dimension");
      }
    });
  });

  it("that is no YAML shows where, and nothing else", async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder, (text) => text.replace("duty:\n", "duty: [\n"));
      const { status, stdout, stderr } = await coldturn(["check", place]);
      expect([status, stdout]).toEqual([2, ""]);
      expect(stderr).toMatch(/valve\.yaml:\d+:\d+/);
      expect(stderr).toMatch(/\^/);
    });
  });

  it("names the file of a part that has a fault", async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder);
      mkdirSync(join(place, "parts"));
      writeFileSync(join(place, "parts", "motor.yaml"), "kind: motr\n");
      const { status, stderr } = await coldturn(["check", place, "--samples", "100"]);
      expect(status).toBe(2);
      expect(stderr).toContain(join(place, "parts", "motor.yaml"));
    });
  });

  it("cannot steer the terminal", async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder, (text) =>
        text.replace("name: Petrel", 'name: "\\e[2J\\x9b31mPetrel'.concat('"\nx: "')),
      );
      const { stdout, stderr } = await coldturn(["check", place, "--samples", "100"], {
        env: { FORCE_COLOR: "1" },
      });
      const steering = [...`${stdout}${stderr}`].filter((character) => {
        const code = character.codePointAt(0) ?? 0;
        return (code < 0x20 && character !== "\n" && character !== "\u001b") || (code >= 0x7f && code < 0xa0);
      });
      expect(steering).toEqual([]);
      for (const code of `${stdout}${stderr}`.split("\u001b").slice(1)) expect(code).toMatch(/^\[\d+m/);
    });
  });
});

describe("coldturn check of a file that says little", () => {
  it("says what to enter next, fewest inputs first; --all lists everything", async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder, () => "coldturn: 1\nname: Petrel\n");
      const { stdout } = await coldturn(["check", place, "--samples", "0"]);
      const text = stdout.slice(stdout.indexOf("Not known: what to enter next")).replaceAll(/\s+/g, " ");
      expect(text).toContain("for Ice and moisture torque: valve.ice_torque");
      expect(text.indexOf("Ice and moisture")).toBeLessThan(text.indexOf("Stem retention"));
      expect(text.indexOf("Stem retention")).toBeGreaterThan(0);
      expect(text).toMatch(/\d+ more for \d+ further checks; `--all` lists them\./);
      expect(stdout.slice(stdout.indexOf("Not known:")).split("\n").length).toBeLessThan(14);
      const all = (await coldturn(["check", place, "--samples", "0", "--all"])).stdout;
      for (const path of ["duty.fluid", "drive.motor.inertia", "duty.cycles.stall_hold"])
        expect(all).toMatch(new RegExp(`^ +${path}$`, "m"));
    });
  });

  it("a default that is cut says how many rows more there are, and where they stand", async () => {
    const { stdout } = await coldturn(["check", demo, "--samples", "0"], { env: { COLUMNS: "80" } });
    expect(stdout.replaceAll(/\s+/g, " ")).toMatch(
      /valve\.hydrodynamic\.curve 0 deg: 0;.* and \d+ more rows/,
    );
    expect(stdout).toContain("`coldturn predict` gives them whole");
    expect(stdout).not.toContain("…");
  });
});

describe("coldturn check of something that is no dossier", () => {
  it("a folder that is not there, with the near name", async () => {
    const { status, stderr } = await coldturn(["check", "demo/petrel-oxygen-mian"]);
    expect(status).toBe(2);
    expect(stderr.replaceAll("\n", " ")).toContain('Did you mean "demo/petrel-oxygen-main"?');
  });

  it("a folder without a valve file, with the file that is meant", async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder);
      renameSync(join(place, "valve.yaml"), join(place, "valve.yml"));
      const { status, stderr } = await coldturn(["check", place]);
      expect(status).toBe(2);
      expect(stderr).toContain("there is no valve.yaml in this folder");
      expect(stderr).toContain("Rename the file to valve.yaml");
      rmSync(join(place, "valve.yml"));
      expect((await coldturn(["check", place])).stderr).toContain("coldturn new");
    });
  });

  it("another file, or one that is no text", async () => {
    await inFolder(async (folder) => {
      const other = await coldturn(["check", "package.json"]);
      expect(other.status).toBe(2);
      expect(other.stderr).toContain("A dossier is a folder with a valve.yaml in it.");
      writeFileSync(join(folder, "valve.yaml"), Buffer.from([0x50, 0x4b, 3, 4, 0, 0, 0xff, 0xfe]));
      const binary = await coldturn(["check", folder]);
      expect(binary.status).toBe(2);
      expect(binary.stderr).toContain("the file is no text");
    });
  });

  it("a case that is not there, with the near name", async () => {
    const { status, stderr } = await coldturn(["check", demo, "--case", "nitrogn"]);
    expect(status).toBe(2);
    expect(stderr.replaceAll("\n", " ")).toContain('Did you mean "nitrogen"?');
  });
});
