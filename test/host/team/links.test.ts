import { mkdirSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { filesInFolder } from "../../../src/host/team/folderFiles.js";
import { inFolder } from "../folder.js";
import { refusalOf } from "../refusal.js";

it("a link that leads out of the folder is refused, one within it is a file", async () => {
  await inFolder(async (home) => {
    const folder = join(home, "petrel");
    mkdirSync(join(folder, "parts"), { recursive: true });
    writeFileSync(join(home, "private.yaml"), "secret: 1\n");
    writeFileSync(join(folder, "parts", "motor.yaml"), "name: m\n");
    symlinkSync("motor.yaml", join(folder, "parts", "same.yaml"));
    expect((await filesInFolder(folder)).map(({ path }) => path)).toEqual([
      "parts/motor.yaml",
      "parts/same.yaml",
    ]);
    for (const target of ["../../private.yaml", join(home, "private.yaml"), "../../nothing.yaml"]) {
      const link = `to-${target.replaceAll(/\W/g, "-")}.yaml`;
      symlinkSync(target, join(folder, "parts", link));
      const { code, text } = await refusalOf(() => filesInFolder(folder));
      expect(code).toBe("team-path");
      expect(text).toContain(link);
      expect(text).toContain("leads out of the folder");
    }
  });
});
