import { readFileSync, truncateSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import * as h5 from "h5wasm/node";
import { describe, expect, it } from "vitest";
import { openLog, type ReadLog, writeParquet } from "../../src/host/index.js";
import { stroke } from "../evidence/log/samples.js";
import { inFolder } from "./folder.js";
import { refusalOf } from "./refusal.js";

const degree = Math.PI / 180;

async function readAsProposed(path: string, folder: string): Promise<ReadLog> {
  const log = await openLog(path, folder);
  return await log.read(log.inspection.mapping, folder, join(folder, "out.parquet"));
}

function valuesOf({ channels }: ReadLog, role: string): readonly number[] {
  return [...(channels.channels.find((channel) => channel.role === role)?.values ?? [])];
}

function expectStroke(read: ReadLog): void {
  expect(read.head.rows).toBe(12);
  expect([...read.channels.time_s]).toEqual(stroke.time_s);
  expect(valuesOf(read, "command")).toEqual(stroke.command);
  expect(valuesOf(read, "motor_current")).toEqual(stroke.current_A);
  expect(valuesOf(read, "angle").map((a) => Number((a / degree).toFixed(9)))).toEqual(stroke.angle_deg);
}

const columns = [stroke.time_s, stroke.command, stroke.angle_deg, stroke.current_A].map((list) =>
  Float64Array.from(list),
);

async function parquetLog(folder: string): Promise<string> {
  const path = join(folder, "log [1].parquet");
  await writeParquet(path, {
    names: ["t [s]", "command", "angle [deg]", "current, A"],
    columns,
    about: {},
  });
  return path;
}

async function hdf5Log(folder: string): Promise<string> {
  await h5.ready;
  const path = join(folder, "log.h5");
  const file = new h5.File(path, "w");
  file.create_attribute("sample_rate", "100 Hz");
  const group = file.create_group("daq");
  const units = ["s", undefined, "deg", "A"];
  for (const [i, name] of ["time", "command", "angle", "current"].entries()) {
    const set = group.create_dataset({ name, data: columns[i] ?? new Float64Array() });
    const unit = units[i];
    if (unit !== undefined) set.create_attribute("units", unit);
  }
  file.create_dataset({ name: "events", data: Float64Array.of(1, 2) });
  file.close();
  return path;
}

describe("a Parquet file as a log", () => {
  it("is read like a text of the same columns", async () => {
    await inFolder(async (folder) => expectStroke(await readAsProposed(await parquetLog(folder), folder)));
  });

  it("that was cut off is refused with the reason and the remedy", async () => {
    await inFolder(async (folder) => {
      const path = await parquetLog(folder);
      truncateSync(path, Math.floor(readFileSync(path).length / 2));
      const { code, text } = await refusalOf(() => openLog(path, folder));
      expect(code).toBe("log-file-damaged");
      expect(text).toContain(path);
      expect(text).toContain("Copy it from the logger again");
    });
  });
});

describe("an HDF5 file as a log", () => {
  it("gives its sets of one length as columns, with their units, and names the others", async () => {
    await inFolder(async (folder) => {
      const path = await hdf5Log(folder);
      const log = await openLog(path, folder);
      expect(log.notices).toEqual([
        {
          code: "log-unmapped",
          text: 'not read, since most sets of the file have 12 rows: "events" (2)',
        },
      ]);
      expect(log.inspection.metadata.map(({ text }) => text)).toContain("sample_rate: 100 Hz");
      expectStroke(await readAsProposed(path, folder));
    });
  });

  it.each(["cut off", "overwritten in the middle"])(
    "that was %s is refused with the reason and the remedy",
    async (how) => {
      await inFolder(async (folder) => {
        const path = await hdf5Log(folder);
        const bytes = readFileSync(path);
        if (how === "cut off") truncateSync(path, Math.floor(bytes.length / 2));
        else writeFileSync(path, bytes.fill(0xa5, 60, bytes.length - 200));
        const { code, text } = await refusalOf(() => readAsProposed(path, folder));
        expect(code).toBe("log-file-damaged");
        expect(text).toContain("Copy it from the logger again");
      });
    },
  );
});
