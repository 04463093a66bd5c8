import { spawn } from "node:child_process";
import { existsSync, readdirSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { sha256 } from "../../src/host/index.js";
import { dossierIn, valveText } from "../cli/program.js";
import { built } from "../host/built.js";
import { inFolder } from "../host/folder.js";
import { ask, change, hear, serving, until } from "./serving.js";

describe("saving", () => {
  it("two windows on one file: the second writer gets what the first one wrote, and nothing is lost", async () => {
    await serving(async (server, folder) => {
      const base = sha256(valveText);
      const texts = ["first", "second"].map((word) => `# ${word}\n${valveText}`);
      const answers = await Promise.all(
        texts.map((text) => change(server, "PUT", "/api/files/valve.yaml", { text, base })),
      );
      const now = readFileSync(join(folder, "valve.yaml"), "utf8");
      expect(answers.map(({ status }) => status).sort()).toEqual([200, 409]);
      const held = answers.find(({ status }) => status === 409);
      expect(held?.record().theirs).toEqual({ text: now, sha256: sha256(now) });
      expect(texts).toContain(now);
    });
  });

  it("a file that an editor has changed, removed or made meanwhile is not overwritten", async () => {
    await serving(async (server, folder) => {
      const path = join(folder, "valve.yaml");
      writeFileSync(path, "name: theirs\n");
      const body = { text: "name: mine\n", base: sha256(valveText) };
      expect((await change(server, "PUT", "/api/files/valve.yaml", body)).status).toBe(409);
      expect(readFileSync(path, "utf8")).toBe("name: theirs\n");
      const missing = await change(server, "PUT", "/api/files/parts/a.yaml", {
        text: "a: 1\n",
        base: sha256("b"),
      });
      expect(missing.record()).toEqual({ theirs: null });
      expect(
        (await change(server, "PUT", "/api/files/parts/a.yaml", { text: "a: 1\n", base: null })).status,
      ).toBe(200);
      expect(
        (await change(server, "PUT", "/api/files/parts/a.yaml", { text: "a: 2\n", base: null })).status,
      ).toBe(409);
      expect(readFileSync(join(folder, "parts", "a.yaml"), "utf8")).toBe("a: 1\n");
      // A kept variant is not even written over by who knows it.
      const variant = (text: string, base: string | null) =>
        change(server, "PUT", "/api/files/variants/variant-1.yaml", { text, base });
      expect((await variant("name: one\n", null)).status).toBe(200);
      expect((await variant("name: two\n", null)).status).toBe(409);
      expect((await variant("name: two\n", sha256("name: one\n"))).status).toBe(409);
      expect(readFileSync(join(folder, "variants", "variant-1.yaml"), "utf8")).toBe("name: one\n");
    });
  });

  it("killed at any instant, the file is the old one or the new one, whole", async () => {
    const program = fileURLToPath(built("src/cli/main.js"));
    await inFolder(async (start) => {
      const folder = dossierIn(start);
      const path = join(folder, "valve.yaml");
      let saves = 0;
      for (let kill = 0; kill < 6; kill++) {
        const child = spawn(process.execPath, [program, "serve", folder, "--port", "0"], { cwd: start });
        let printed = "";
        child.stdout.setEncoding("utf8").on("data", (text: string) => {
          printed += text;
        });
        const port = Number(await until(() => /:(\d+)\//.exec(printed)?.[1]));
        const token = /content="([0-9a-f]{64})"/.exec((await ask(port, "/")).text)?.[1];
        if (token === undefined) throw new Error("the page bears no token");
        let isGone = false;
        child.on("exit", () => {
          isGone = true;
        });
        const write = async (): Promise<void> => {
          while (!isGone) {
            const base = sha256(readFileSync(path, "utf8"));
            const text = `# ${"x".repeat(200_000)}\n# save ${saves}\n${valveText}# end\n`;
            const done = await change(
              { port, token, url: "", stop: async () => undefined },
              "PUT",
              "/api/files/valve.yaml",
              { text, base },
            ).catch(() => undefined);
            if (done?.status === 200) saves++;
          }
        };
        const writing = write();
        await new Promise((resolve) => setTimeout(resolve, 150 + 37 * kill));
        child.kill("SIGKILL");
        await until(() => isGone);
        await writing;
        const left = readFileSync(path, "utf8");
        expect(left === valveText || (left.startsWith("# xxx") && left.endsWith(`${valveText}# end\n`))).toBe(
          true,
        );
      }
      expect(saves).toBeGreaterThan(3);
    });
  });
});

it("an edit outside is told to the windows, with the hash of what stands there now", async () => {
  await serving(async ({ port }, folder) => {
    const heard = await hear(port, "/api/changes");
    const text = `${valveText}# by an editor\n`;
    writeFileSync(join(folder, "valve.yaml"), text);
    const told = await until(() => heard.events.find(({ event }) => event === "file"));
    expect(told.data).toEqual({ path: "valve.yaml", sha256: sha256(text) });
    await until(() => heard.events.find(({ event }) => event === "evidence"));
    heard.stop();
  });
});

it("a dossier whose folder is moved away while it is watched is told as gone, and the server goes on", async () => {
  await serving(async (server, folder) => {
    const heard = await hear(server.port, "/api/changes");
    // An edit and the move in one breath: the watcher looks for the file when the folder is no more.
    writeFileSync(join(folder, "valve.yaml"), `${valveText}# edited\n`);
    renameSync(folder, `${folder}-away`);
    await until(() => heard.events.find(({ event, data }) => event === "file" && data.sha256 === null));
    heard.stop();
    const gone = await ask(server.port, "/api/dossier");
    expect([gone.status, gone.text]).toEqual([200, expect.stringContaining("is not there any more")]);
    const saved = await change(server, "PUT", "/api/files/valve.yaml", { text: "name: x\n", base: null });
    expect(saved.status).toBeLessThan(500);
    renameSync(`${folder}-away`, folder);
    expect((await ask(server.port, "/api/dossier")).text).toContain("# edited");
  });
});

it("the way in: a new dossier from the demo or empty, opened for all windows, never over another one", async () => {
  await serving(async (server, _, start) => {
    const heard = await hear(server.port, "/api/changes");
    expect(
      (await change(server, "POST", "/api/new", { from: "empty", folder: "own/fuel-main" })).status,
    ).toBe(201);
    const path = join(start, "own", "fuel-main");
    expect(readdirSync(path)).toEqual(["valve.yaml"]);
    expect((await ask(server.port, "/api/dossier")).record()).toMatchObject({
      state: "open",
      folder: "fuel-main",
    });
    await until(() =>
      heard.events.find(({ event, data }) => event === "opened" && String(data.path).endsWith("fuel-main")),
    );
    expect((await change(server, "POST", "/api/new", { from: "demo", folder: "own/fuel-main" })).status).toBe(
      422,
    );
    expect((await change(server, "POST", "/api/new", { from: "demo", folder: "own/demo" })).status).toBe(201);
    expect(readFileSync(join(start, "own", "demo", "valve.yaml"), "utf8")).toBe(valveText);
    expect((await ask(server.port, "/api/ways")).record().dossiers).toEqual([
      "own/demo",
      "own/fuel-main",
      "petrel",
    ]);
    expect(existsSync(join(start, "own", "demo"))).toBe(true);
    heard.stop();
  });
});
