/** A search on worker threads: any number of them, broken off, taken up again. */
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { planBlocks, type SeekBlockResult, seekPlan, workBlock } from "../../src/seek/index.js";
import { petrelOrder } from "../seek/order.js";
import { built } from "./built.js";
import { inFolder } from "./folder.js";

let host: typeof import("../../src/host/index.js");
beforeAll(async () => {
  host = await import(built("src/host/index.js"));
}, 120_000);

const order = petrelOrder(
  {
    try: [{ kind: "motor" }, { kind: "battery" }],
    commands: [{ kind: "full", current_limit: "12 A" }],
    limits: { torque_margin: -0.6 },
  },
  { samples: 8 },
);
const plan = seekPlan(order);
const blocks = planBlocks(plan, 10);
const inOrder = (results: readonly SeekBlockResult[]) =>
  [...results].sort((a, b) => a.block.start - b.block.start);

describe("workers of a search", () => {
  it("give the bits of no worker, for 1 and 2 of them, and tell how far they are", async () => {
    const expected = blocks.map((block) => workBlock(plan, block));
    for (const count of [1, 2]) {
      let told = 0;
      const results = await host.runSeek({ order, blocks, count, onProgress: ({ done }) => (told = done) });
      expect(inOrder(results), `${count} workers`).toEqual(expected);
      expect(told).toBe(plan.space.count);
    }
  }, 120_000);

  it("reject when cancelled, and what was done till then is kept whole and not done again", async () => {
    await inFolder(async (folder) => {
      const stop = new AbortController();
      const first = host.runSeek({
        order,
        blocks,
        count: 1,
        signal: stop.signal,
        onBlock: async (result) => {
          stop.abort(new Error("enough"));
          await host.keepSeekBlock(folder, order, result);
        },
      });
      await expect(first).rejects.toThrow("enough");
      const kept = await host.keptSeekBlocks(folder, order, blocks);
      expect(kept.length).toBeGreaterThan(0);
      expect(kept.length).toBeLessThan(blocks.length);
      const done = new Set(kept.map(({ block }) => block.start));
      const rest = await host.runSeek({
        order,
        blocks: blocks.filter(({ start }) => !done.has(start)),
        count: 2,
      });
      expect(inOrder([...kept, ...rest])).toEqual(blocks.map((block) => workBlock(plan, block)));
    });
  }, 120_000);

  it("reject with what the order is refused for", async () => {
    const other = { ...order, model: "0.0.1" };
    await expect(host.runSeek({ order: other, blocks: [{ start: 0, count: 1 }], count: 1 })).rejects.toThrow(
      /0\.0\.1/,
    );
  }, 120_000);
});

describe("kept blocks", () => {
  it("of another order, cut short or edited by hand count as not there", async () => {
    await inFolder(async (folder) => {
      const [first] = blocks;
      if (first === undefined) throw new Error("no block");
      await host.keepSeekBlock(folder, order, workBlock(plan, first));
      const other = { ...order, seed: 2 };
      expect(await host.keptSeekBlocks(folder, other, blocks)).toEqual([]);
      expect(await host.keptSeekBlocks(folder, order, planBlocks(plan, 7))).toEqual([]);
      const [key = ""] = readdirSync(join(folder, "seek"));
      const path = join(folder, "seek", key, "0.json");
      const text = readFileSync(path, "utf8");
      writeFileSync(path, text.slice(0, text.length / 2));
      expect(await host.keptSeekBlocks(folder, order, blocks)).toEqual([]);
      writeFileSync(path, text.replace('"index": 3', '"index": 4'));
      expect(await host.keptSeekBlocks(folder, order, blocks)).toEqual([]);
      writeFileSync(path, text);
      expect(await host.keptSeekBlocks(folder, order, blocks)).toEqual([workBlock(plan, first)]);
      await host.clearOtherSeeks(folder, other);
      expect(readdirSync(join(folder, "seek"))).toEqual([]);
    });
  });
});

describe("a list of parts in a file", () => {
  it("is read from CSV with its byte order mark, semicolons and broken cells, each row at its line", async () => {
    await inFolder(async (folder) => {
      const path = join(folder, "motors.csv");
      writeFileSync(path, '\ufeffType;R [ohm];note\r\nM 60;0,80;"two\nlines"\r\n\r\nM 90;0,55;\r\n');
      expect(await host.readPartTable(path)).toEqual({
        path,
        columns: ["Type", "R [ohm]", "note"],
        rows: [
          { line: 2, cells: ["M 60", "0,80", "two\nlines"] },
          { line: 5, cells: ["M 90", "0,55", ""] },
        ],
      });
    });
  });

  it("is read from Parquet", async () => {
    await inFolder(async (folder) => {
      const path = join(folder, "motors.parquet");
      await host.writeParquet(path, {
        names: ["Type", "R"],
        columns: [Float64Array.of(60, 90), Float64Array.of(0.8, Number.NaN)],
        about: {},
      });
      const table = await host.readPartTable(path);
      expect(table.columns).toEqual(["Type", "R"]);
      expect(table.rows).toEqual([
        { line: 1, cells: ["60", "0.8"] },
        { line: 2, cells: ["90", ""] },
      ]);
    });
  });

  it("is refused where it is no table", async () => {
    await inFolder(async (folder) => {
      const path = join(folder, "empty.csv");
      writeFileSync(path, "Type;R\n");
      await expect(host.readPartTable(path)).rejects.toThrow(/no table of parts/);
    });
  });
});
