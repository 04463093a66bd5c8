import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { withDatabase } from "../../src/host/database.js";
import { writeParquet } from "../../src/host/parquet.js";
import { allRows, readWindow, strokeRows } from "../../src/host/window.js";
import { inFolder } from "./folder.js";

const rows = 250_000;
/** Commanded in every fifth of the log, first at row 30,000. */
const command = Float64Array.from({ length: rows }, (_, i) => (i % 50_000 >= 30_000 ? 1 : 0));
const head = {
  channels: [{ role: "command", name: "command", unit: "" }],
  names: ["command"],
  rows,
} as const;

async function readWith(mostRows: number | undefined) {
  return await inFolder(async (folder) => {
    const path = join(folder, "log.parquet");
    const time_s = Float64Array.from({ length: rows }, (_, i) => i / 1000);
    await writeParquet(path, { names: ["time_s", "command"], columns: [time_s, command], about: {} });
    return await withDatabase((connection) => readWindow(connection, path, head, mostRows));
  });
}

describe("what is read of a long log", () => {
  it("is a part about its first stroke, and that is said", async () => {
    const { channels, notices } = await readWith(undefined);
    expect([channels.time_s[0], channels.time_s.length]).toEqual([10, strokeRows]);
    expect(notices.map(({ code }) => code)).toEqual(["log-window"]);
  });

  it("is all of it where every stroke is asked for", async () => {
    const { channels, notices } = await readWith(allRows);
    expect([channels.time_s[0], channels.time_s.length]).toEqual([0, rows]);
    expect(channels.channels[0]?.values).toEqual(command);
    expect(notices).toEqual([]);
  });

  it("begins as far ahead of the first stroke, and says what is left out, where all of it is too much", async () => {
    const { channels, notices } = await readWith(200_000);
    expect([channels.time_s[0], channels.time_s.length]).toEqual([10, 200_000]);
    expect(notices[0]?.text).toContain("the log has 250000 rows");
    expect(notices[0]?.text).toContain("200000 of them, from 10 s to 209.999 s");
  });
});
