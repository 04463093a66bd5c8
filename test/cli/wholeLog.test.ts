/**
 * A log that is read by the database, of which only a sample is looked at first, says what it says in
 * memory: the same mapping, notices and numbers. Two roads to the same answer; no outside source.
 */
import { mkdirSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type ImportedFile, importedFiles } from "../../src/cli/importFiles.js";
import { readDossierFiles } from "../../src/host/index.js";
import { inFolder } from "../host/folder.js";
import { dossierIn } from "./program.js";

const names = [
  "t [s]",
  "cmd [V]",
  "angle [deg]",
  "current [A]",
  "supply [V]",
  "p_up [bar(a)]",
  "p_down [bar(a)]",
  "tank level",
] as const;
/** Columns that a mishap may strike: angle to level. */
const column = fc.integer({ min: 2, max: 7 });
const share = fc.double({ min: 0.02, max: 0.97, noNaN: true });

const randomLog = fc.record({
  rows: fc.integer({ min: 1500, max: 4000 }),
  seed: fc.nat(1_000_000),
  isComma: fc.boolean(),
  stuck: fc.option(
    fc.record({ column, from: share, length: fc.double({ min: 0.01, max: 0.2, noNaN: true }) }),
  ),
  dead: fc.option(column, { freq: 3 }),
  cells: fc.array(
    fc.record({
      column,
      from: share,
      count: fc.integer({ min: 1, max: 3 }),
      text: fc.constantFrom("9999", "-9999", "32767", "999.9", "OVER", "NaN", "---", "", "n/a"),
    }),
    { maxLength: 4 },
  ),
  vacuum: fc.option(share),
  outlier: fc.option(fc.record({ column, at: share }), { freq: 3 }),
  angle: fc.constantFrom("right", "right", "counts down", "below zero", "late", "turns"),
  hasCommand: fc.boolean(),
  current: fc.constantFrom("right", "inverted", "exchanged"),
  isPressureExchanged: fc.boolean(),
  blank: fc.array(share, { maxLength: 3 }),
  backward: fc.option(share),
  short: fc.option(share),
});
type RandomLog = typeof randomLog extends fc.Arbitrary<infer T> ? T : never;

/** Numbers from 0 to 1 that look random. */
function noiseFrom(seed: number): () => number {
  let state = seed + 1;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 32;
  };
}

/** An angle as its sensor counts it; `late` falls for the last twentieth of the log alone, `turns` passes 0. */
function angleOf(how: RandomLog["angle"], angle: number, since: number): number {
  if (how === "counts down") return 90 - angle;
  if (how === "below zero") return -angle;
  if (how === "late") return since > 0.64 ? -angle : angle / 90;
  return how === "turns" ? (330 + angle) % 360 : angle;
}

/** An opening, with its mishaps. */
function textOf(log: RandomLog): string {
  const { rows, isComma } = log;
  const noise = noiseFrom(log.seed);
  const table = Array.from({ length: rows }, (_, i): string[] => {
    const since = i / rows - 0.3;
    const rise = Math.min(1, Math.max(0, since / 0.3));
    const draws = since > 0 && since < 0.3 ? 5 : 0;
    const jitter = (size: number) => size * (noise() - 0.5);
    const angle = angleOf(log.angle, 90 * rise + jitter(0.2), since);
    const current = (log.current === "inverted" ? -1 : 1) * draws + jitter(0.1);
    const [p, q] = [27 + jitter(0.2), 1.2 + jitter(0.1)];
    const values = [
      i / 1000,
      since > 0 ? 5 : 0,
      log.current === "exchanged" ? 18 * current : angle,
      log.current === "exchanged" ? angle / 18 : current,
      25 - 0.1 * draws + jitter(0.05),
      log.isPressureExchanged ? q : p,
      log.isPressureExchanged ? p : q,
      0.5 + jitter(0.4),
    ];
    return values.map((value) => value.toFixed(4));
  });
  const rowOf = (at: number) => Math.floor(at * (rows - 1));
  const put = (row: number, at: number, text: string) => {
    const cells = table[row];
    if (cells !== undefined) cells[at] = text;
  };
  const { stuck, dead, vacuum, outlier, backward, short } = log;
  if (dead !== null) for (let i = 0; i < rows; i++) put(i, dead, "1.5000");
  if (stuck !== null) {
    const from = rowOf(stuck.from);
    const value = table[from]?.[stuck.column] ?? "";
    for (let i = from; i < from + stuck.length * rows; i++) put(i, stuck.column, value);
  }
  if (vacuum !== null) for (let i = 0; i < 3; i++) put(rowOf(vacuum) + i, 6, "-0.3500");
  if (outlier !== null) put(rowOf(outlier.at), outlier.column, "3000.0000");
  for (const { column: at, from, count, text } of log.cells)
    for (let i = 0; i < count; i++) put(rowOf(from) + i, at, text);
  if (backward !== null && rowOf(backward) > 10)
    put(rowOf(backward), 0, ((rowOf(backward) - 5) / 1000).toFixed(4));
  const kept = (cells: readonly string[]) => (log.hasCommand ? cells : cells.filter((_, at) => at !== 1));
  const lines = table
    .map(kept)
    .map((cells) => (isComma ? cells.map((cell) => cell.replace(".", ",")).join(";") : cells.join(",")));
  if (short !== null) lines[rowOf(short)] = lines[rowOf(short)]?.slice(0, 12) ?? "";
  for (const at of log.blank) lines[rowOf(at)] += "\n";
  return `${[kept(names).join(isComma ? ";" : ","), ...lines].join("\n")}\n`;
}

/** What an import says of a file, and its numbers. */
function sayings({ mapping, notices, read: { head, channels } }: ImportedFile) {
  return {
    mapping,
    notices: notices.map(({ code, text, field }) => `${code} ${field ?? ""}: ${text}`).sort(),
    rows: head.rows,
    time: head.time,
    rejected: head.rejectedCount,
    // Of columns without a role no values are read back.
    numbers: [
      channels.time_s,
      ...channels.channels.filter(({ role }) => role !== "other").map(({ values }) => values),
    ],
  };
}

/** One number, or both missing; a nought has no sign. */
function isSame(a: number, b: number | undefined): boolean {
  return a === b || (Number.isNaN(a) && Number.isNaN(b));
}

async function bothWays(text: string) {
  return await inFolder(async (folder) => {
    const path = join(folder, "log.csv");
    writeFileSync(path, text);
    const files = await readDossierFiles(dossierIn(folder));
    const by = async (smallText: number) => {
      const own = join(folder, String(smallText));
      const scratch = join(own, "scratch");
      mkdirSync(scratch, { recursive: true });
      const [file] = await importedFiles({
        files,
        paths: [path],
        corrections: [],
        isAnew: true,
        staging: { folder: own, scratch },
        signal: new AbortController().signal,
        smallText,
      });
      if (file === undefined) throw new Error("no file");
      return sayings(file);
    };
    return {
      memory: await by(Number.POSITIVE_INFINITY),
      database: await by(0),
      bytes: statSync(path).size,
    };
  });
}

describe("a log says the same in memory and through the database", () => {
  it("whatever befell it, also where no sample looks", async () => {
    const told = new Set<string>();
    let sampled = 0;
    await fc.assert(
      fc.asyncProperty(randomLog, async (log) => {
        const { memory, database, bytes } = await bothWays(textOf(log));
        const { numbers, ...said } = database;
        const { numbers: wanted, ...wantedSaid } = memory;
        expect(said).toEqual(wantedSaid);
        expect(numbers.map(({ length }) => length)).toEqual(wanted.map(({ length }) => length));
        for (const [i, values] of numbers.entries())
          expect(values.findIndex((value, row) => !isSame(value, wanted[i]?.[row]))).toBe(-1);
        for (const notice of memory.notices) told.add(notice.split(" ")[0] ?? "");
        if (bytes > 100_000) sampled++;
      }),
      { numRuns: 25 },
    );
    // The logs do hold what is to be found, and most are longer than what is looked at first.
    expect(sampled).toBeGreaterThan(12);
    const codes = ["log-stuck", "log-sentinel", "log-below-vacuum", "log-inverted", "log-exchanged"];
    for (const code of [...codes, "log-angle-reversed", "log-angle-sense-open"])
      expect([...told]).toContain(code);
  });

  it("and turns an angle round that falls where the sample hardly looks", async () => {
    // 2000 of 40,000 rows, of which the first look has some 70 among 1800 all over the log.
    const rows = Array.from({ length: 40_000 }, (_, i) => {
      const angle = i > 21_000 && i <= 23_000 ? -90 : 0;
      const cells = [i / 1000, i > 21_000 && i <= 23_000 ? 5 : 0, angle + ((i * 7919) % 100) / 1000, 1, 25];
      return cells.map((value) => value.toFixed(4)).join(",");
    });
    const { memory, database } = await bothWays(`${names.slice(0, 5).join(",")}\n${rows.join("\n")}\n`);
    const reversed =
      '"angle" goes from 0.0495 deg to -90 deg: an opening ball turns to larger angles, so sign -1 is proposed';
    expect(memory.notices).toContain(`log-angle-reversed mapping.channels[1].sign: ${reversed}`);
    expect({ ...database, numbers: [] }).toEqual({ ...memory, numbers: [] });
    const signs = [memory, database].map(({ mapping }) => mapping.channels[1]?.sign);
    expect(signs).toEqual([-1, -1]);
    const opened = database.numbers[2]?.reduce((most, value) => Math.max(most, value), 0);
    expect(opened).toBeCloseTo(Math.PI / 2, 3);
  });
});
