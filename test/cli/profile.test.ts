/** `coldturn profile` through its function: a schedule made, written, verified, and refused. */
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import type { Desk, Outcome } from "../../src/cli/command.js";
import type { Page } from "../../src/cli/page.js";
import { profileCommand } from "../../src/cli/profile.js";
import { progressLine } from "../../src/cli/progress.js";
import { Refusal } from "../../src/fault/index.js";
import { inFolder } from "../host/folder.js";
import { dossierIn } from "./program.js";

const page: Page = { columns: 100, unicode: true, colour: false };
const desk: Desk = {
  signal: new AbortController().signal,
  progress: progressLine(undefined),
  run: async () => [],
  early: () => false,
  pause: async () => {},
};
const call = (words: readonly string[], options: Readonly<Record<string, unknown>> = {}) =>
  profileCommand.act({ arguments: words, options: { samples: "2", ...options } }, desk);
const refused = async (calling: Promise<Outcome>) => {
  try {
    await calling;
  } catch (thrown) {
    if (thrown instanceof Refusal) return thrown.faults[0];
    throw thrown;
  }
  return undefined;
};

const found: Partial<Record<"made" | "csv" | "c", Outcome>> = {};
const faults: Partial<Record<"again" | "changed" | "bare" | "nothing", Awaited<ReturnType<typeof refused>>>> =
  {};
const texts: Partial<Record<"csv" | "c" | "bare", string>> = {};

beforeAll(async () => {
  await inFolder(async (folder) => {
    const place = dossierIn(folder);
    const target = join(folder, "controller");
    const csv = join(target, "schedule.csv");
    const header = join(target, "coldturn_schedule.h");
    found.made = await call([place], { write: target });
    texts.csv = readFileSync(csv, "utf8");
    texts.c = readFileSync(header, "utf8");
    found.csv = await call([], { verify: csv });
    found.c = await call([], { verify: header });
    faults.again = await refused(call([place], { write: target }));
    writeFileSync(csv, texts.csv.replace("\n10000,", "\n10001,"));
    faults.changed = await refused(call([], { verify: csv }));
    const valve = join(place, "valve.yaml");
    writeFileSync(valve, readFileSync(valve, "utf8").replace(/^schedule:\n(?: .*\n)+/m, ""));
    texts.bare = (await call([place])).text(page);
    faults.bare = await refused(call([place], { write: join(folder, "other") }));
    faults.nothing = await refused(call([]));
  });
}, 120_000);

describe("coldturn profile", () => {
  it("prints sentence, limits, errors and checks", () => {
    const text = found.made?.text(page) ?? "";
    expect(text).toMatch(/leaves the ball at most [\d.]+ deg behind \(at [\d.]+ s\)/);
    for (const part of ["Schedule against achieved", "What the schedule keeps within", "How it is followed"])
      expect(text).toContain(part);
    expect(text).toContain("Ball behind its schedule");
  });

  it("writes both files, and each is verified with the same check values", () => {
    expect(texts.csv?.startsWith("# CAUTION.")).toBe(true);
    expect(texts.c).toContain("* CAUTION.");
    const [a, b] = [found.csv?.text(page) ?? "", found.c?.text(page) ?? ""];
    const sums = (text: string) => text.split("\n").filter((line) => line.includes("payload"));
    expect(sums(a)).toHaveLength(2);
    expect(sums(a)).toEqual(sums(b));
    expect(found.csv?.status).toBe(0);
  });

  it("does not overwrite, and names the row of a change", () => {
    expect(faults.again?.code).toBe("file-exists");
    expect(faults.changed?.code).toBe("schedule-changed");
    expect(faults.changed?.where.sourceLine).toMatch(/^10001,/);
    expect(faults.changed?.where.file).toMatch(/schedule\.csv$/);
  });

  it("says that a dossier without a wanted history has no schedule, and writes none", () => {
    expect(texts.bare).toContain("valve.yaml has no `schedule`");
    expect(faults.bare?.code).toBe("schedule-not-known");
    expect(faults.nothing?.code).toBe("command-line");
  });
});
