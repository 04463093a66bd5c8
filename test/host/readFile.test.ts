import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { kindAt, namesIn, readText, sha256 } from "../../src/host/index.js";
import { inFolder } from "./folder.js";
import { refusalOf } from "./refusal.js";

describe("a text file", () => {
  it("comes with its path and hash, its byte order mark kept", async () => {
    await inFolder(async (folder) => {
      const path = join(folder, "valve.yaml");
      writeFileSync(path, "\uFEFFname: Ölventil 20 °C\n");
      const file = await readText(path);
      expect(file).toEqual({
        path,
        text: "\uFEFFname: Ölventil 20 °C\n",
        sha256: sha256("\uFEFFname: Ölventil 20 °C\n"),
      });
    });
  });

  it("that is missing is refused with the near name of its folder", async () => {
    await inFolder(async (folder) => {
      writeFileSync(join(folder, "valve.yaml"), "");
      const { code, text } = await refusalOf(() => readText(join(folder, "vavle.yaml")));
      expect(code).toBe("file-missing");
      expect(text).toContain(`${join(folder, "vavle.yaml")}  there is no such file or folder`);
      expect(text).toContain(`Did you mean "${join(folder, "valve.yaml")}"?`);
    });
  });

  it("in a folder that is missing is refused with the folder's name", async () => {
    await inFolder(async (folder) => {
      const { text } = await refusalOf(() => readText(join(folder, "nowhere", "valve.yaml")));
      expect(text).toContain(`There is no folder ${join(folder, "nowhere")} either.`);
    });
  });

  it("that is a folder is refused", async () => {
    await inFolder(async (folder) => {
      expect((await refusalOf(() => readText(folder))).code).toBe("file-is-folder");
    });
  });

  it("in another encoding is refused with the line of the first stray byte", async () => {
    await inFolder(async (folder) => {
      const path = join(folder, "valve.yaml");
      writeFileSync(path, Buffer.from("name: x\nnote: 20 \xb0C\n", "latin1"));
      const { code, text } = await refusalOf(() => readText(path));
      expect(code).toBe("file-not-text");
      expect(text).toContain("bytes that are no UTF-8 text, first in line 2");
    });
  });

  it("that is no text is refused as such", async () => {
    await inFolder(async (folder) => {
      const path = join(folder, "valve.yaml");
      writeFileSync(path, Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 0xff]));
      expect((await refusalOf(() => readText(path))).text).toContain("the file is no text");
    });
  });

  it("below a file is refused", async () => {
    await inFolder(async (folder) => {
      writeFileSync(join(folder, "valve.yaml"), "");
      expect((await refusalOf(() => readText(join(folder, "valve.yaml", "valve.yaml")))).code).toBe(
        "folder-is-file",
      );
    });
  });
});

describe("a folder", () => {
  it("lists its names in order, hidden ones left out; a missing one has none", async () => {
    await inFolder(async (folder) => {
      for (const name of ["b.yaml", "a.yaml", ".a.yaml.0123.part"]) writeFileSync(join(folder, name), "");
      expect(await namesIn(folder)).toEqual(["a.yaml", "b.yaml"]);
      expect(await namesIn(join(folder, "parts"))).toEqual([]);
    });
  });

  it("is told from a file and from nothing", async () => {
    await inFolder(async (folder) => {
      mkdirSync(join(folder, "runs"));
      writeFileSync(join(folder, "valve.yaml"), "");
      const kinds = ["runs", "valve.yaml", "parts", "valve.yaml/x"].map((name) => kindAt(join(folder, name)));
      expect(await Promise.all(kinds)).toEqual(["folder", "file", "nothing", "nothing"]);
    });
  });
});
