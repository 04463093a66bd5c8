import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { brokenImports, clearBrokenImports } from "../../src/host/index.js";

describe("what a killed import left behind", () => {
  let dossier = "";
  beforeEach(() => {
    dossier = mkdtempSync(join(tmpdir(), "coldturn-staging-"));
  });
  afterEach(() => rmSync(dossier, { recursive: true, force: true }));

  const leave = (name: string, pid: number): string => {
    const folder = join(dossier, name);
    mkdirSync(folder);
    const owner = { pid, began: "2031-04-18T09:30:00Z", files: ["n2-01.csv"] };
    writeFileSync(join(folder, "owner.json"), JSON.stringify(owner));
    return folder;
  };

  it("is told and left alone by whoever only looks, and cleared by the next import", async () => {
    // Above the largest process id that the system gives.
    const folder = leave(".import.4194304.0123456789ab.part", 4_194_304);
    const [told, ...others] = await brokenImports(dossier);
    expect(others).toEqual([]);
    expect(told?.code).toBe("import-broken-off");
    expect(told?.text).toContain("n2-01.csv, begun 2031-04-18T09:30:00Z");
    expect(told?.text).toContain("Import the log again");
    expect(existsSync(folder)).toBe(true);
    expect((await clearBrokenImports(dossier))[0]?.text).toContain("was removed");
    expect(existsSync(folder)).toBe(false);
    expect(await brokenImports(dossier)).toEqual([]);
  });

  it("is not what a running import is making", async () => {
    const folder = leave(`.import.${process.pid}.0123456789ab.part`, process.pid);
    expect(await brokenImports(dossier)).toEqual([]);
    expect(await clearBrokenImports(dossier)).toEqual([]);
    expect(existsSync(folder)).toBe(true);
  });
});
