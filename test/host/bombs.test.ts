/** Logs that are small and claim to be without end, or point elsewhere. */
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { deflateSync } from "node:zlib";
import * as h5 from "h5wasm/node";
import { expect, it } from "vitest";
import { openLog, readSheetFile } from "../../src/host/index.js";
import { inFolder } from "./folder.js";
import { refusalOf } from "./refusal.js";

/** Makes an HDF5 file. */
async function hdf5(path: string, fill: (file: h5.File) => void): Promise<string> {
  await h5.ready;
  const file = new h5.File(path, "w");
  fill(file);
  file.close();
  return path;
}

const few = Float64Array.from({ length: 64 }, (_, k) => k / 1000);

it("a set that claims more values than its file can hold is refused", async () => {
  await inFolder(async (folder) => {
    const path = await hdf5(join(folder, "bomb.h5"), (file) => {
      const set = file.create_dataset({ name: "time", data: few, maxshape: [null], chunks: [64] });
      set.resize([1e11]);
    });
    const { code, text } = await refusalOf(() => openLog(path, folder));
    expect(code).toBe("log-file-damaged");
    expect(text).toContain("more than a file of");
  });
});

it("a group that holds itself is refused", async () => {
  await inFolder(async (folder) => {
    const path = await hdf5(join(folder, "round.h5"), (file) => {
      file.create_group("daq").create_dataset({ name: "time", data: few });
      file.create_hard_link("/daq", "daq/again");
    });
    const { code, text } = await refusalOf(() => openLog(path, folder));
    expect(code).toBe("log-file-damaged");
    expect(text).toContain("one holds itself");
  });
});

it("a link to another file is not followed", async () => {
  await inFolder(async (folder) => {
    await hdf5(join(folder, "secret.h5"), (file) => {
      file.create_dataset({ name: "secret", data: few.map((value) => value + 42) });
    });
    const path = await hdf5(join(folder, "log.h5"), (file) => {
      file.create_dataset({ name: "time", data: few });
      file.create_external_link("secret.h5", "/secret", "angle");
      file.create_soft_link("/angle", "current");
    });
    const { inspection, notices } = await openLog(path, folder);
    expect(inspection.columns.map(({ name }) => name)).toEqual(["time"]);
    expect(notices.map(({ text }) => text)).toEqual(['not read, since they stand in other files: "angle"']);
  });
});

it("a path may hold any sign of the database's own language", async () => {
  await inFolder(async (folder) => {
    writeFileSync(join(folder, "secret.csv"), "t,secret\n0,42\n");
    const rows = Array.from({ length: 40 }, (_, k) => `${k / 1000},${k}`).join("\n");
    for (const name of ["a'); COPY (SELECT 1) TO 'x.csv'; --.csv", "*.csv", "[s]ecret.csv", 'quo"te.csv']) {
      const path = join(folder, name);
      writeFileSync(path, `t [s],angle [deg]\n${rows}\n`);
      const log = await openLog(path, folder, { smallText: 0 });
      const { head } = await log.read(log.inspection.mapping, folder, join(folder, "out.parquet"));
      expect([name, head.rows, head.channels.map((channel) => channel.name)]).toEqual([name, 40, ["angle"]]);
    }
  });
});

it("a file at which the library gives up for good is refused, and the next file is read", async () => {
  await inFolder(async (folder) => {
    const damaged = fileURLToPath(new URL("damaged/library-gives-up.h5", import.meta.url));
    for (let n = 0; n < 2; n++)
      expect((await refusalOf(() => openLog(damaged, join(folder, `a${n}`)))).code).toBe("log-file-damaged");
    const path = await hdf5(join(folder, "whole.h5"), (file) => {
      file.create_dataset({ name: "time", data: few });
    });
    expect((await openLog(path, folder)).inspection.columns.map(({ name }) => name)).toEqual(["time"]);
  });
});

it("a sheet whose stream unpacks to more than any record is none", async () => {
  await inFolder(async (folder) => {
    const path = join(folder, "sheet.pdf");
    const packed = deflateSync(Buffer.alloc(200_000_000, 0x20));
    expect(packed.length).toBeLessThan(250_000);
    writeFileSync(
      path,
      Buffer.concat([Buffer.from("%PDF-1.7\nstream\n"), packed, Buffer.from("\nendstream\n")]),
    );
    const before = process.memoryUsage.rss();
    expect((await refusalOf(() => readSheetFile(path))).code).toBe("sheet-without-record");
    expect(process.memoryUsage.rss() - before).toBeLessThan(150e6);
  });
});
