/** `coldturn migrate` on a dossier whose files are from before the format was settled. */
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { inFolder } from "../host/folder.js";
import { at, coldturn, dossierIn, recordOf } from "./program.js";

const older = (text: string) =>
  text.replace(/^coldturn: 1\n/m, "").replace("largest_error:", "largest_swing:");

it("tells and writes nothing; then writes with a backup; then has nothing to do", async () => {
  await inFolder(async (folder) => {
    const place = dossierIn(folder, older);
    const path = join(place, "valve.yaml");
    const before = readFileSync(path, "utf8");
    const told = await coldturn(["migrate", place]);
    expect([told.status, told.stderr]).toEqual([1, ""]);
    expect(told.stdout.replaceAll(/\s+/g, " ")).toContain("largest_swing is called drive.hold.largest_error");
    expect(told.stdout).toContain("Nothing was written.");
    expect(readFileSync(path, "utf8")).toBe(before);
    // Meanwhile it is read, and says as what.
    const checked = recordOf(await coldturn(["check", place, "--samples", "0", "--json"]));
    expect(at(checked, "faults")).toEqual([]);
    expect(JSON.stringify(at(checked, "result.notices"))).toContain("format-older");

    const written = await coldturn(["migrate", place, "--write", "--json"]);
    expect(written.status).toBe(0);
    expect(at(recordOf(written), "result.files.0")).toMatchObject({ path, from: 0, to: 1 });
    expect(readFileSync(`${path}.format-0`, "utf8")).toBe(before);
    const after = readFileSync(path, "utf8");
    expect(older(after)).toBe(before);
    expect((await coldturn(["migrate", place])).stdout).toContain("Nothing is to be done.");

    // A kill between the two writes leaves the backup and the old file: the same command goes on.
    writeFileSync(path, before);
    expect((await coldturn(["migrate", place, "--write"])).status).toBe(0);
    expect(readFileSync(path, "utf8")).toBe(after);
    // A backup of something else is not overwritten.
    writeFileSync(path, `${before}# edited\n`);
    const refused = await coldturn(["migrate", place, "--write"]);
    expect(refused.status).toBe(2);
    expect(refused.stderr).toContain("there is something of this name already");
    expect(readFileSync(path, "utf8")).toBe(`${before}# edited\n`);
    expect(readdirSync(place).filter((name) => name.includes("format-0"))).toEqual(["valve.yaml.format-0"]);
  });
});

it("a dossier of a newer version is refused by every command, and nothing is written", async () => {
  await inFolder(async (folder) => {
    const place = dossierIn(folder, (text) => text.replace("coldturn: 1", "coldturn: 2"));
    for (const words of [
      ["check", place],
      ["seal", place],
      ["migrate", place, "--write"],
    ]) {
      const { status, stderr } = await coldturn(words);
      expect([words[0], status]).toEqual([words[0], 2]);
      expect(stderr.replaceAll(/\s+/g, " ")).toContain(
        "Use the version of Coldturn that wrote it, or a newer one.",
      );
    }
    expect(readdirSync(place).sort()).toEqual(["hazards.yaml", "stand.yaml", "valve.yaml"]);
  });
});
