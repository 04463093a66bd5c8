import { join } from "node:path";
import { expect, it } from "vitest";
import { quotedText, withDatabase } from "../../src/host/database.js";
import { thinColumns } from "../../src/host/thinnedChannels.js";
import { inFolder } from "../host/folder.js";

const rows = 10_000_000;
const spike = 7_654_321;

it("a record of ten million samples: one sample alone that stands out is there, far off and close by", async () => {
  await inFolder(async (folder) => {
    const path = join(folder, "log.parquet");
    await withDatabase(async (connection) => {
      const values = `CASE WHEN i = ${spike} THEN 40.0 ELSE sin(i / 5e4) END`;
      const table = `SELECT i / 1e4 AS time_s, ${values} AS motor_current_A FROM range(${rows}) AS t(i)`;
      await connection.run(`COPY (${table}) TO ${quotedText(path)} (FORMAT parquet, COMPRESSION zstd)`);
    });
    const seconds: number[] = [];
    const seen = async (from_s: number, to_s: number) => {
      const began = performance.now();
      const thinned = await thinColumns(path, ["motor_current_A"], { from_s, to_s, buckets: 2000 });
      seconds.push((performance.now() - began) / 1000);
      const { time_s = [], value = [] } = thinned.channels.motor_current_A ?? {};
      const at = value.indexOf(40);
      expect(time_s[at]).toBe(spike / 1e4);
      expect(value.length).toBeLessThanOrEqual(8000);
      return thinned;
    };
    expect(await seen(0, rows / 1e4)).toMatchObject({ rows, isThinned: true });
    expect(await seen(700, 800)).toMatchObject({ rows: 1_000_001, isThinned: true });
    expect(await seen(765.4, 765.5)).toMatchObject({ rows: 1001, isThinned: false });
    process.stdout.write(`ten million samples thinned in ${seconds.map((s) => s.toFixed(2)).join(", ")} s\n`);
  });
});
