import { mkdirSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { writeParquet } from "../../src/host/index.js";
import { thinColumns } from "../../src/host/thinnedChannels.js";
import type { RunningServer } from "../../src/server/index.js";
import { dryLog } from "../cli/program.js";
import { built } from "../host/built.js";
import { inFolder } from "../host/folder.js";
import { ask, change, hear, serving, until } from "./serving.js";

async function staged(server: RunningServer, text = dryLog()): Promise<string> {
  const headers = {
    "x-coldturn-token": server.token,
    "x-file-name": "bench%2003.csv",
    "content-type": "application/octet-stream",
  };
  const answer = await ask(server.port, "/api/logs", { method: "POST", headers, body: text });
  expect(answer.status).toBe(200);
  return String(answer.record().id);
}

describe("a log dropped on the page", () => {
  it("is looked at, its mapping corrected, imported with progress; its channels are read and an event is moved", async () => {
    built("src/cli/main.js");
    await serving(async (server, folder) => {
      const id = await staged(server);
      const path = `/api/logs/${id}`;
      const body = { case: "dry-ambient", date: "2031-04-14", run: "one" };
      const wrong = await change(server, "POST", `${path}/mapping`, {
        ...body,
        corrections: ["angle=none at all"],
      });
      expect(wrong.status).toBe(422);
      const shown = await change(server, "POST", `${path}/mapping`, body);
      expect([shown.status, shown.record().result]).toMatchObject([200, { rows: 4001, sense: "opening" }]);
      expect(readdirSync(folder)).toEqual(["hazards.yaml", "stand.yaml", "valve.yaml"]);
      const { work } = (await change(server, "POST", `${path}/import`, body)).record();
      const heard = await hear(server.port, `/api/work/${work}`);
      const end = await until(() => heard.events.find(({ data }) => data.state === "ended"));
      expect(end.data).toMatchObject({ status: 0, faults: [] });
      const told = heard.events.flatMap(({ data }) => data.progress ?? []);
      expect(told.at(-1)).toEqual({ what: "keeping the run", done: 2, total: 3, secondsLeft: null });
      expect(readFileSync(join(folder, "runs", "one", "bench 03.csv"), "utf8")).toBe(dryLog());

      const channels = (
        await ask(server.port, "/api/runs/one/channels?channel=angle_rad&buckets=10")
      ).record();
      expect(channels).toMatchObject({ rows: 4001, isThinned: true });

      const run = join(folder, "runs", "one", "run.yaml");
      const files = (await ask(server.port, "/api/dossier")).record().files as {
        path: string;
        sha256: string;
      }[];
      const base = files.find((one) => one.path === "runs/one/run.yaml")?.sha256;
      const move = {
        base,
        event: "first motion",
        time_s: 1.02,
        standardUncertainty_s: 0.002,
        who: "A. Tester",
        why: "seen on film",
      };
      expect((await change(server, "POST", "/api/runs/one/moves", { ...move, why: " " })).status).toBe(400);
      expect((await change(server, "POST", "/api/runs/one/moves", move)).status).toBe(200);
      expect(readFileSync(run, "utf8")).toContain("seen on film");
      expect(readFileSync(run, "utf8")).toContain("# One test, as imported.");
      expect((await change(server, "POST", "/api/runs/one/moves", move)).status).toBe(409);
    });
  });

  it("an import that is cancelled leaves the dossier as it was", async () => {
    built("src/cli/main.js");
    await serving(async (server, folder) => {
      const id = await staged(server);
      const { work } = (
        await change(server, "POST", `/api/logs/${id}/import`, { case: "dry-ambient", run: "one" })
      ).record();
      await until(() => readdirSync(folder).some((name) => name.startsWith(".import")));
      expect((await change(server, "DELETE", `/api/logs/${id}`)).status).toBe(204);
      const state = (await ask(server.port, `/api/work/${work}`)).record();
      expect(state.state).toBe("cancelled");
      expect(readdirSync(folder)).toEqual(["hazards.yaml", "stand.yaml", "valve.yaml"]);
    });
  });
});

it("thinning keeps every extreme: smallest and largest of any column, and of any part of it", async () => {
  await inFolder(async (folder) => {
    mkdirSync(join(folder, "logs"));
    let count = 0;
    await fc.assert(
      fc.asyncProperty(
        fc.integer({ min: 2000, max: 9000 }),
        fc.integer({ min: 1, max: 40 }),
        fc.array(fc.tuple(fc.nat(), fc.double({ min: -1e9, max: 1e9, noNaN: true })), { maxLength: 20 }),
        fc.tuple(fc.double({ min: 0, max: 0.4, noNaN: true }), fc.double({ min: 0.5, max: 1, noNaN: true })),
        async (rows, buckets, spikes, [from, to]) => {
          const values = Float64Array.from({ length: rows }, (_, i) => Math.sin(i / 50));
          for (const [at, value] of spikes) values[at % rows] = value;
          values[rows >> 1] = Number.NaN;
          const time_s = Float64Array.from({ length: rows }, (_, i) => i / 1000);
          const path = join(folder, "logs", `${count++}.parquet`);
          await writeParquet(path, { names: ["time_s", "x"], columns: [time_s, values], about: {} });
          const range = { from_s: (from * rows) / 1000, to_s: (to * rows) / 1000 };
          const thinned = await thinColumns(path, ["x"], { ...range, buckets });
          const kept = thinned.channels.x?.value.filter((one) => one !== null) ?? [];
          const raw = [...values].filter(
            (one, i) =>
              !Number.isNaN(one) && (time_s[i] ?? 0) >= range.from_s && (time_s[i] ?? 0) <= range.to_s,
          );
          expect(Math.max(...kept)).toBe(Math.max(...raw));
          expect(Math.min(...kept)).toBe(Math.min(...raw));
          // Each spike that stands out in its bucket is there, at its own time.
          const width = (range.to_s - range.from_s) / buckets;
          for (let k = 0; thinned.isThinned && k < buckets; k++) {
            const own = [...values].filter((one, i) => {
              const t = time_s[i] ?? 0;
              const bucket = Math.min(Math.floor((t - range.from_s) / width), buckets - 1);
              return !Number.isNaN(one) && t >= range.from_s && t <= range.to_s && bucket === k;
            });
            if (own.length > 0)
              expect(kept).toEqual(expect.arrayContaining([Math.max(...own), Math.min(...own)]));
          }
          const times = thinned.channels.x?.time_s ?? [];
          thinned.channels.x?.value.forEach((one, i) => {
            if (one !== null) expect(values[Math.round((times[i] ?? 0) * 1000)]).toBe(one);
          });
        },
      ),
      { numRuns: 15 },
    );
  });
});
