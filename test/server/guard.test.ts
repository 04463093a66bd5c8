import { mkdirSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { sha256 } from "../../src/host/index.js";
import { valveText } from "../cli/program.js";
import { ask, change, serving } from "./serving.js";

describe("who may ask", () => {
  it("a name that leads here by an attacker's name server is refused, as is another port and no host", async () => {
    await serving(async ({ port }) => {
      for (const host of [
        `evil.example:${port}`,
        "127.0.0.1",
        `127.0.0.1:${port + 1}`,
        `127.0.0.1.evil.example:${port}`,
      ]) {
        const answer = await ask(port, "/api/dossier", { headers: { host } });
        expect([host, answer.status]).toEqual([host, 403]);
        expect(answer.text).not.toContain("Petrel");
      }
      expect((await ask(port, "/", { headers: { host: "evil.example" } })).text).not.toContain(
        "coldturn-token",
      );
      for (const host of [`127.0.0.1:${port}`, `localhost:${port}`, `LOCALHOST:${port}`])
        expect((await ask(port, "/api/dossier", { headers: { host } })).status).toBe(200);
    });
  });

  it("a page of another origin, of no origin and of another site is refused, with the token too", async () => {
    await serving(async ({ port, token }, folder) => {
      const before = readFileSync(join(folder, "valve.yaml"), "utf8");
      const strange: readonly Readonly<Record<string, string>>[] = [
        { origin: "https://evil.example" },
        { origin: "null" },
        { origin: `http://127.0.0.1:${port + 1}` },
        { origin: `https://127.0.0.1:${port}` },
        { "sec-fetch-site": "cross-site" },
        { "sec-fetch-site": "same-site" },
      ];
      for (const headers of strange) {
        const own = { ...headers, "x-coldturn-token": token, "content-type": "application/json" };
        const body = JSON.stringify({ text: "name: changed\n", base: sha256(before) });
        expect((await ask(port, "/api/files/valve.yaml", { method: "PUT", headers: own, body })).status).toBe(
          403,
        );
        expect((await ask(port, "/api/dossier", { headers })).status).toBe(403);
      }
      expect(readFileSync(join(folder, "valve.yaml"), "utf8")).toBe(before);
      const headers = { origin: `http://127.0.0.1:${port}`, "sec-fetch-site": "same-origin" };
      expect((await ask(port, "/api/dossier", { headers })).status).toBe(200);
    });
  });

  it("nothing is changed without the token, or with another one", async () => {
    await serving(async ({ port, token }) => {
      const calls = [
        ["PUT", "/api/files/valve.yaml"],
        ["POST", "/api/logs"],
        ["POST", "/api/reconcile"],
        ["POST", "/api/accept"],
        ["POST", "/api/seal"],
        ["POST", "/api/open"],
        ["POST", "/api/new"],
        ["DELETE", "/api/work/1"],
        ["POST", "/api/runs/a/moves"],
      ] as const;
      for (const [method, path] of calls)
        for (const given of [{}, { "x-coldturn-token": "" }, { "x-coldturn-token": `${token}0` }])
          expect((await ask(port, path, { method, headers: given })).status).toBe(403);
    });
  });

  it("answers bear the policy: nothing but the page's own files is loaded or run", async () => {
    await serving(async ({ port }) => {
      const { headers, text, status } = await ask(port, "/question/3");
      const policy = String(headers["content-security-policy"]);
      for (const part of [
        "default-src 'none'",
        "script-src 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
      ])
        expect(policy.split("; ")).toContain(part);
      expect(policy).not.toMatch(/unsafe|\*|http/);
      expect(headers["x-content-type-options"]).toBe("nosniff");
      expect(status).toBe(503);
      expect(text).toContain("npm run build");
    });
  });
});

it("the token stands in the built page, and in each start another one", async () => {
  const page = async () =>
    await serving(async ({ port, token }, _, start) => {
      mkdirSync(join(start, "no-page"));
      writeFileSync(
        join(start, "no-page", "index.html"),
        '<html><head><meta name="coldturn-token" content=""></head></html>',
      );
      const { text, headers } = await ask(port, "/question/3");
      expect(text).toContain(`<meta name="coldturn-token" content="${token}">`);
      expect(headers["cache-control"]).toBe("no-store");
      return token;
    });
  expect(await page()).not.toBe(await page());
});

describe("no path leads out of the dossier", () => {
  const outside = [
    "../secret.yaml",
    "parts/../../secret.yaml",
    "..%2fsecret.yaml",
    "parts/..%2f..%2fsecret.yaml",
    "%2e%2e/secret.yaml",
    "parts/%252e%252e/secret.yaml",
    "/etc/passwd",
    "%2fetc%2fpasswd",
    "parts%5c..%5c..%5csecret.yaml",
    "parts/a%00.yaml",
    "parts/.hidden.yaml",
    "C:%5csecret.yaml",
    "runs/../secret.yaml",
    "parts/linked.yaml",
    "sensors/in-linked-folder.yaml",
    "parts/dangling.yaml",
    "sheets/a.yaml",
    "valve.yaml.part",
    "predictions/a.json",
  ];
  it("by steps up, encoded, absolute, with NUL, by links, or to what is not written by hand", async () => {
    await serving(async (server, folder, start) => {
      const secret = join(start, "secret.yaml");
      writeFileSync(secret, "secret: 1\n");
      mkdirSync(join(folder, "parts"));
      mkdirSync(join(start, "elsewhere"));
      symlinkSync(secret, join(folder, "parts", "linked.yaml"));
      symlinkSync(join(start, "nothing.yaml"), join(folder, "parts", "dangling.yaml"));
      symlinkSync(join(start, "elsewhere"), join(folder, "sensors"));
      for (const path of outside)
        for (const base of [null, sha256("secret: 1\n")]) {
          const { status } = await change(server, "PUT", `/api/files/${path}`, { text: "taken: 1\n", base });
          expect([path, status >= 400 && status < 500]).toEqual([path, true]);
        }
      expect(readFileSync(secret, "utf8")).toBe("secret: 1\n");
      expect((await ask(server.port, "/api/dossier")).text).not.toContain("secret: 1");
      for (const path of [
        "/assets/../../package.json",
        "/assets/%2e%2e/%2e%2e/package.json",
        "/assets/..%2f..%2fpackage.json",
      ])
        expect((await ask(server.port, path)).text).not.toContain("devDependencies");
      for (const path of ["/api/runs/..%2f..%2f/channels", "/api/runs/%2e%2e/channels"])
        expect((await ask(server.port, path)).status).toBeGreaterThanOrEqual(400);
      for (const given of ["..", "../..", "/etc", "petrel/../../x", "a\u0000b"]) {
        expect((await change(server, "POST", "/api/open", { folder: given })).status).toBe(403);
        expect((await change(server, "POST", "/api/new", { from: "empty", folder: given })).status).toBe(403);
      }
    });
  });

  it("a body that is too large is refused, and the file is as it was", async () => {
    await serving(async (server, folder) => {
      const body = { text: "#".repeat(5_000_000), base: sha256(valveText) };
      const answer = await change(server, "PUT", "/api/files/valve.yaml", body);
      expect(answer.status).toBe(413);
      expect(answer.record().faults).toHaveLength(1);
      expect(readFileSync(join(folder, "valve.yaml"), "utf8")).toBe(valveText);
    });
  });
});
