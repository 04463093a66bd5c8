/** An import that was killed is told by every command that reads runs or writes what rests on them. */
import { existsSync, mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { inFolder } from "../host/folder.js";
import { at, coldturn, dossierIn, dryLog, type Ended, recordOf } from "./program.js";

const wanted = {
  reduce: [],
  series: [],
  next: ["--case", "dry-ambient"],
  history: [],
  seal: ["--case", "dry-ambient", "--samples", "100"],
  reconcile: ["--samples", "200"],
  check: ["--samples", "50"],
} as const;
const commands = ["reduce", "series", "next", "history", "seal", "reconcile", "check"] as const;

const codesIn = (list: unknown): readonly unknown[] =>
  Array.isArray(list) ? list.map((one) => at(one, "code")) : [];

describe("an import that was broken off", () => {
  const json = new Map<string, Ended>();
  const text = new Map<string, Ended>();
  let isLeft = false;
  let withoutRuns: Ended | undefined;

  beforeAll(async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder);
      const part = join(place, ".import.0123456789ab.part");
      mkdirSync(part);
      // No process has a number as high.
      const owner = { pid: 4_194_303, began: "2031-04-18T09:30:00Z", files: ["n2-01.csv"] };
      writeFileSync(join(part, "owner.json"), JSON.stringify(owner));
      withoutRuns = await coldturn(["reduce", place]);
      const log = join(folder, "bench.csv");
      writeFileSync(log, dryLog());
      const usual = ["--case", "dry-ambient", "--date", "2031-04-18", "--run", "first"];
      const taken = await coldturn(["import", place, log, ...usual]);
      if (taken.status !== 0) throw new Error(taken.stderr);
      // The import has cleared it; another one is killed.
      mkdirSync(part);
      writeFileSync(join(part, "owner.json"), JSON.stringify(owner));
      for (const name of commands) {
        const words = [name, place, ...wanted[name]];
        // Two seals of one prediction within a second would be one file.
        json.set(name, await coldturn([...words, "--json"]));
        if (name === "seal" || name === "history")
          text.set(name, await coldturn(name === "seal" ? [...words, "--seed", "2"] : words));
      }
      isLeft = existsSync(part);
    });
  }, 300_000);

  it.each(commands)("is told by %s in its record", (name) => {
    const ended = json.get(name);
    if (ended === undefined) throw new Error("not called");
    expect(codesIn(at(recordOf(ended), "result.notices"))).toContain("import-broken-off");
  });

  it.each(["seal", "history"])("is told by %s on its page", (name) => {
    const words = text.get(name)?.stdout.replaceAll(/\s+/g, " ");
    expect(words).toContain("an import of n2-01.csv, begun 2031-04-18T09:30:00Z, was broken off");
  });

  it("is left where it is by all of them", () => {
    expect(isLeft).toBe(true);
  });

  it("is told where there is no run", () => {
    expect(withoutRuns?.status).toBe(2);
    expect(withoutRuns?.stderr.replaceAll(/\s+/g, " ")).toContain(
      "has no run; an import was broken off before it was whole",
    );
  });
});
