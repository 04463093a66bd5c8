import { chmodSync, existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { inFolder } from "../host/folder.js";
import { at, coldturn, recordOf } from "./program.js";

describe("coldturn new", () => {
  it("writes a file to fill in, which check reads: much is not known, nothing is a wrong number", async () => {
    await inFolder(async (folder) => {
      const made = await coldturn(["new", "oxygen-main"], { cwd: folder });
      expect([made.status, made.stderr]).toEqual([0, ""]);
      expect(made.stdout).toContain("coldturn check oxygen-main");
      expect(readFileSync(join(folder, "oxygen-main", "valve.yaml"), "utf8")).toContain(
        'name: "oxygen main"',
      );
      const { status, stdout, stderr } = await coldturn(["check", "oxygen-main", "--all"], { cwd: folder });
      expect([status, stderr]).toEqual([1, ""]);
      expect(stdout).toContain("drive.motor.resistance");
      expect(stdout).not.toMatch(/NaN|undefined|Infinity|\[object/);
    });
  });

  it("does not overwrite, unless told to, and says what it wrote as JSON", async () => {
    await inFolder(async (folder) => {
      writeFileSync(join(folder, "valve.yaml"), "name: mine\n");
      const refused = await coldturn(["new", folder]);
      expect(refused.status).toBe(2);
      expect(refused.stderr).toContain("there is something of this name already");
      expect(readFileSync(join(folder, "valve.yaml"), "utf8")).toBe("name: mine\n");
      const forced = await coldturn(["new", folder, "--force", "--name", "A: valve", "--json"]);
      expect(recordOf(forced)).toMatchObject({ command: "new", status: 0, faults: [] });
      expect(at(recordOf(forced), "result.path")).toBe(join(folder, "valve.yaml"));
      expect(readFileSync(join(folder, "valve.yaml"), "utf8")).toContain('name: "A: valve"');
    });
  });

  it("in a folder that must not be written says so, and leaves nothing", async () => {
    await inFolder(async (folder) => {
      const place = join(folder, "locked");
      mkdirSync(place);
      chmodSync(folder, 0o755);
      chmodSync(place, 0o555);
      // Nobody: rights do not hold back the administrator under whom tests may run.
      const nobody = process.getuid?.() === 0 ? { uid: 65_534 } : {};
      const { status, stderr } = await coldturn(["new", place], nobody);
      expect(status).toBe(2);
      expect(stderr).toContain("the system does not let you write here");
      expect(existsSync(join(place, "valve.yaml"))).toBe(false);
      chmodSync(place, 0o755);
    });
  });

  it("prints nothing when told to be quiet", async () => {
    await inFolder(async (folder) => {
      expect(await coldturn(["new", folder, "--quiet"])).toMatchObject({ status: 0, stdout: "", stderr: "" });
      expect(existsSync(join(folder, "valve.yaml"))).toBe(true);
    });
  });
});

describe("coldturn schema", () => {
  it("--stand gives that of owners and waivers", async () => {
    const { status, stdout } = await coldturn(["schema", "--stand"]);
    expect(status).toBe(0);
    const schema: unknown = JSON.parse(stdout);
    const waiver = at(schema, "properties.waivers.items.properties");
    expect(at(waiver, "expires.description")).toContain("Last day on which it counts");
    expect(at(waiver, "verdict.enum")).toEqual(["fails", "thin", "not known", null]);
  });

  it("--json puts the schema into the record of every command", async () => {
    const { status, stdout } = await coldturn(["schema", "--json"]);
    const record: unknown = JSON.parse(stdout);
    expect(status).toBe(0);
    expect(record).toMatchObject({ command: "schema", status: 0 });
    expect(at(record, "result.schema.$schema")).toBe("https://json-schema.org/draft/2020-12/schema");
  });

  it("prints a JSON Schema that knows the fields", async () => {
    const { status, stdout } = await coldturn(["schema"]);
    expect(status).toBe(0);
    const schema: unknown = JSON.parse(stdout);
    expect(at(schema, "$schema")).toBe("https://json-schema.org/draft/2020-12/schema");
    expect(at(schema, "properties.drive.properties.motor.properties.resistance.description")).toContain(
      "resistance",
    );
  });

  it("writes it to a file, which it does not overwrite unasked", async () => {
    await inFolder(async (folder) => {
      const path = join(folder, "valve-schema.json");
      const first = await coldturn(["schema", "--out", path]);
      expect([first.status, first.stderr]).toEqual([0, ""]);
      expect(first.stdout).toContain(`# yaml-language-server: $schema=${path}`);
      const written = readFileSync(path, "utf8");
      expect(JSON.parse(written)).toHaveProperty("$schema");
      expect((await coldturn(["schema", "--out", path])).status).toBe(2);
      expect((await coldturn(["schema", "--out", path, "--force"])).status).toBe(0);
      expect(readFileSync(path, "utf8")).toBe(written);
    });
  });
});
