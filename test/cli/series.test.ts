import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { seriesChecks } from "../../src/question/index.js";
import { inFolder } from "../host/folder.js";
import { textOf } from "../project/files.js";
import { at, coldturn, dossierIn, dryLog, type Ended, recordOf } from "./program.js";

/** Openings, each slower than the last one, with a closing between two of them, in one log. */
function severalStrokes(slowness: readonly number[]): string {
  const blocks = slowness.flatMap((slower) => {
    const rows = dryLog({ slower })
      .trim()
      .split("\n")
      .slice(1)
      .map((line) => line.split(",").map(Number));
    const open = Math.max(...rows.map(([, , angle = 0]) => angle));
    const back = rows.map(([t = 0, cmd = 0, angle = 0, current = 0]) => [t, 5 - cmd, open - angle, current]);
    return [rows, back];
  });
  const lines = blocks
    .slice(0, -1)
    .flatMap((rows, k) =>
      rows.map(([t = 0, cmd = 0, angle = 0, current = 0]) =>
        [(t + k * 2.0005).toFixed(4), cmd, angle.toFixed(4), current.toFixed(4)].join(","),
      ),
    );
  return `${["t [s],cmd [V],angle [deg],current [A]", ...lines].join("\n")}\n`;
}

const listOf = (value: unknown): readonly unknown[] => (Array.isArray(value) ? value : []);

const ended: Partial<Record<"text" | "json" | "reduce" | "next" | "check" | "later" | "twice", Ended>> = {};

beforeAll(async () => {
  await inFolder(async (folder) => {
    const place = dossierIn(folder);
    const take = async (name: string, text: string) => {
      const path = join(folder, `${name}.csv`);
      writeFileSync(path, text);
      const more = ["--case", "dry-ambient", "--date", "2031-04-18", "--run", name];
      const { status, stderr } = await coldturn(["import", place, path, ...more]);
      if (status !== 0) throw new Error(stderr);
    };
    await take("several", severalStrokes([1.1, 1.14, 1.18]));
    await take("single", dryLog({ slower: 1.22 }));
    ended.text = await coldturn(["series", place]);
    ended.json = await coldturn(["series", place, "--json"]);
    ended.reduce = await coldturn(["reduce", place, "--run", "several", "--json"]);
    ended.next = await coldturn(["next", place, "--case", "dry-ambient", "--json"]);
    await coldturn(["reduce", place]);
    const asked = ["check", place, "--case", "dry-ambient", "--samples", "100", "--json"];
    ended.check = await coldturn(asked);
    const again = ["--case", "dry-ambient", "--date", "2031-04-19", "--run", "twin", "--anew"];
    await coldturn(["import", place, join(folder, "single.csv"), ...again]);
    await coldturn(["reduce", place]);
    ended.twice = await coldturn(["series", place, "--json"]);
    const valve = join(place, "valve.yaml");
    writeFileSync(valve, `${readFileSync(valve, "utf8")}\n# another state of the file\n`);
    ended.later = await coldturn(asked);
  });
}, 240_000);

describe("strokes of two runs and of one log with several", () => {
  it("are counted one by one: four openings, two closings, four cycles", () => {
    if (ended.json === undefined) throw new Error("not called");
    const record = recordOf(ended.json);
    expect(at(record, "result.cycles")).toBe(4);
    const series = at(record, "result.series");
    if (!Array.isArray(series)) throw new Error("no series");
    expect(series.map((one) => [at(one, "sense"), listOf(at(one, "strokes")).length])).toEqual([
      ["opening", 4],
      ["closing", 2],
    ]);
  });

  it("are told in words, and the checks hold the number of strokes against the table of [wilks-1941]", () => {
    const text = ended.text?.stdout.replaceAll(/\s+/g, " ") ?? "";
    expect(text).toContain("4 cycles in 2 runs");
    expect(text).toContain("Strokes for a tolerance limit");
    expect(text).toContain("59");
    expect(ended.text?.status).toBe(1);
  });

  it("are reduced one by one", () => {
    if (ended.reduce === undefined) throw new Error("not called");
    expect(JSON.stringify(recordOf(ended.reduce)).match(/"sense":"opening"/g)?.length).toBeGreaterThanOrEqual(
      3,
    );
  });

  it("the next test is ranked from most telling to least", () => {
    if (ended.next === undefined) throw new Error("not called");
    const tests = at(recordOf(ended.next), "result.tests");
    if (!Array.isArray(tests)) throw new Error("no tests");
    const rated = tests.filter((one) => at(one, "known") === true).map((one) => Number(at(one, "narrowing")));
    expect(tests).toHaveLength(7);
    expect(rated.length).toBeGreaterThan(1);
    expect(rated).toEqual([...rated].sort((a, b) => b - a));
  });
});

describe("question 11 of coldturn check", () => {
  const testAnswer = (call: Ended | undefined): unknown => {
    if (call === undefined) throw new Error("not called");
    return listOf(at(recordOf(call), "result.answers")).find((one) => at(one, "id") === "test");
  };
  const checkNamed = (call: Ended | undefined, id: string) =>
    listOf(at(testAnswer(call), "checks")).filter((one) => at(one, "id") === id);

  it("has the series of what was reduced, its history and the ranking", () => {
    const drift = checkNamed(ended.check, "series-drift");
    // Four openings, each slower than the last one: 2/4! of the exact test [kendall-1975].
    expect(at(drift[0], "value")).toBeCloseTo(2 / 24, 12);
    expect(at(drift[1], "needs")).toEqual(["four strokes at least"]);
    expect(checkNamed(ended.check, "cycle-life").map((one) => at(one, "verdict"))).toEqual(["not known"]);
    const titles = listOf(at(testAnswer(ended.check), "tables")).map((one) => String(at(one, "title")));
    for (const title of ["Repeated strokes", "Predictions, runs", "The next best test"])
      expect(titles.some((one) => one.startsWith(title))).toBe(true);
    const past = listOf(at(testAnswer(ended.check), "tables")).find((one) =>
      String(at(one, "title")).startsWith("Predictions, runs"),
    );
    expect(listOf(at(past, "rows")).map((row) => at(row, "3"))).not.toContain("not known");
    expect(at(testAnswer(ended.check), "sentence")).toContain("The test expected to tell most");
  });

  it("a log that was imported twice counts once", () => {
    if (ended.twice === undefined) throw new Error("not called");
    expect(at(recordOf(ended.twice), "result.cycles")).toBe(4);
  });

  it("after an edit of the valve file: series wait for a reduction, the ranking is outdated, times stay", () => {
    expect(checkNamed(ended.later, "series-drift").map((one) => at(one, "verdict"))).toEqual(["not known"]);
    expect(at(testAnswer(ended.later), "sentence")).toContain("outdated: valve.yaml has changed since");
    const past = listOf(at(testAnswer(ended.later), "tables")).find((one) =>
      String(at(one, "title")).startsWith("Predictions, runs"),
    );
    expect(listOf(at(past, "rows")).map((row) => at(row, "3"))).not.toContain("not known");
  });
});

describe("docs/checks.md", () => {
  it("has a row for each check of a series", () => {
    const one = { series: [], cycles: 0 };
    const page = textOf("docs/checks.md");
    for (const { id, name, equation, source } of seriesChecks(one, 1, 0.95)) {
      const row = page.split("\n").find((line) => line.startsWith(`| \`${id}\` |`));
      for (const words of [name, equation, source]) expect(row).toContain(words);
    }
    for (const id of ["series-drift", "series-tolerance", "cycle-life"])
      expect(page).toContain(`| \`${id}\` |`);
  });
});
