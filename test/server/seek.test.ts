import { existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { at, coldturn, recordOf } from "../cli/program.js";
import { smallSearch } from "../seek/smallSearch.js";
import { ask, change, hear, serving, until } from "./serving.js";

it("a search: not without the token, with progress, kept, cancelled and gone on with, the record of the command", async () => {
  await serving(async (server, folder) => {
    const valve = join(folder, "valve.yaml");
    writeFileSync(valve, smallSearch(readFileSync(valve, "utf8")));
    const body = { case: "duty", samples: 8 };

    const headers = { "content-type": "application/json" };
    const stranger = { method: "POST", headers, body: JSON.stringify(body) };
    const refused = await ask(server.port, "/api/seek", stranger);
    expect(refused.status).toBe(403);
    expect(at(refused.record(), "faults.0.code")).toBe("serve-refused");
    expect((await change(server, "POST", "/api/seek", { write: "/tmp/elsewhere" })).status).toBe(400);
    expect((await change(server, "POST", "/api/seek", { samples: -1 })).status).toBe(400);
    expect(existsSync(join(folder, "seek"))).toBe(false);

    const begun = async () => (await change(server, "POST", "/api/seek", body)).record().work;
    const broken = await begun();
    expect((await ask(server.port, `/api/work/${broken}`, { method: "DELETE" })).status).toBe(403);
    expect((await change(server, "DELETE", `/api/work/${broken}`)).status).toBe(204);
    const work = await begun();
    const heard = await hear(server.port, `/api/work/${work}`);
    const ended = await until(() => heard.events.find(({ data }) => data.state === "ended"));
    heard.stop();
    expect((await ask(server.port, `/api/work/${broken}`)).record()).toEqual({ state: "cancelled" });
    const told = heard.events.flatMap(({ data }) => at(data, "progress") ?? []);
    const done = at(ended.data, "record.result.candidates");
    expect(told).toContainEqual({ what: "seeking", done, total: done, secondsLeft: 0 });

    // What is kept in the folder is what the command goes on from: it finds the same without working anything out.
    const [key = ""] = readdirSync(join(folder, "seek"));
    expect(readdirSync(join(folder, "seek", key)).length).toBeGreaterThan(0);
    const again = recordOf(await coldturn(["seek", folder, "--case", "duty", "--samples", "8", "--json"]));
    expect(again.result).toEqual(at(ended.data, "record.result"));
    expect(Number(at(ended.data, "record.result.passing"))).toBeGreaterThan(1);
    expect(at(ended.data, "record.result.peaks.0.index")).toBeTypeOf("number");
  });
});
