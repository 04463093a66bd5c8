import { writeFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { readParquet, writeParquet } from "../../src/host/index.js";
import { inFolder } from "./folder.js";
import { refusalOf } from "./refusal.js";

const bits = (column: Float64Array | undefined) =>
  Buffer.from(new BigUint64Array(column?.slice().buffer ?? new ArrayBuffer(0)).map((b) => b).buffer).toString(
    "hex",
  );

describe("a table in a Parquet file", () => {
  it("comes back with every bit, longer than a chunk of the database", async () => {
    await inFolder(async (folder) => {
      const path = join(folder, "log's.parquet");
      const time_s = Float64Array.from({ length: 5000 }, (_, i) => i * 1e-4);
      const odd = Float64Array.from(time_s, (t, i) => (i % 7 === 0 ? Number.NaN : Math.sin(1e5 * t) / 3));
      await writeParquet(path, {
        names: ["time_s", 'a "b"'],
        columns: [time_s, odd],
        about: { original: "0af3", by: "1.0-x" },
      });
      const table = await readParquet(path);
      expect(table.names).toEqual(["time_s", 'a "b"']);
      expect(table.columns.map(bits)).toEqual([bits(time_s), bits(odd)]);
      expect(table.about).toEqual({ original: "0af3", by: "1.0-x" });
    });
  });

  it("comes back as written, whatever the numbers", { timeout: 120_000 }, async () => {
    await inFolder(async (folder) => {
      let n = 0;
      await fc.assert(
        fc.asyncProperty(fc.array(fc.double({ noNaN: true }), { maxLength: 50 }), async (values) => {
          const path = join(folder, `${n++}.parquet`);
          await writeParquet(path, { names: ["x"], columns: [Float64Array.from(values)], about: {} });
          expect(bits((await readParquet(path)).columns[0])).toBe(bits(Float64Array.from(values)));
        }),
        { numRuns: 20 },
      );
    });
  });

  it("can be empty", async () => {
    await inFolder(async (folder) => {
      const path = join(folder, "log.parquet");
      await writeParquet(path, { names: ["x"], columns: [new Float64Array()], about: {} });
      expect(await readParquet(path)).toEqual({ names: ["x"], columns: [new Float64Array()], about: {} });
    });
  });

  it("that is none, or is missing, is refused", async () => {
    await inFolder(async (folder) => {
      const path = join(folder, "log.parquet");
      expect((await refusalOf(() => readParquet(path))).code).toBe("file-missing");
      writeFileSync(path, "PAR1 but not really");
      const { code, text } = await refusalOf(() => readParquet(path));
      expect(code).toBe("parquet-unreadable");
      expect(text).toContain("made anew from the original log");
    });
  });
});
