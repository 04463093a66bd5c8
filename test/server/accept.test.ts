import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { sha256 } from "../../src/host/index.js";
import { at, coldturn, dryLog, valveText } from "../cli/program.js";
import { ask, change, serving, until } from "./serving.js";

it("of the values that a run proposes the chosen one alone is written; a value that is not proposed is refused", async () => {
  await serving(async (server, folder, start) => {
    const log = join(start, "bench.csv");
    writeFileSync(log, dryLog());
    const words = [
      "import",
      folder,
      log,
      "--case",
      "dry-ambient",
      "--date",
      "2031-04-14",
      "--run",
      "one",
      "--quiet",
    ];
    expect((await coldturn(words)).status).toBe(0);
    const ended = async (path: string, body: unknown) => {
      const { work } = (await change(server, "POST", path, body)).record();
      let state: unknown = {};
      const look = async () => {
        state = (await ask(server.port, `/api/work/${work}`)).record();
      };
      const timer = setInterval(() => void look(), 200);
      await until(
        () => at(state, "state") !== undefined && !/waiting|running/.test(String(at(state, "state"))),
        120,
      );
      clearInterval(timer);
      return state;
    };
    const same = { runs: ["one"], samples: 300, seed: 1 };
    const shown = await ended("/api/reconcile", same);
    const path = String(at(shown, "record.result.runs.0.proposals.0.path"));
    expect(at(shown, "record.result.runs.0.proposals.1.path")).toBeDefined();
    expect(readFileSync(join(folder, "valve.yaml"), "utf8")).toBe(valveText);

    const own = { ...same, althoughItDoesNotStand: true };
    const stale = await change(server, "POST", "/api/accept", {
      ...own,
      inputs: [path],
      base: sha256("other"),
    });
    expect(stale.status).toBe(409);
    const base = sha256(valveText);
    const strange = await ended("/api/accept", { ...own, inputs: ["valve.name"], base });
    expect(at(strange, "faults.0.code")).toBe("accept-not-proposed");
    expect(readFileSync(join(folder, "valve.yaml"), "utf8")).toBe(valveText);

    const accepted = await ended("/api/accept", { ...own, inputs: [path], base });
    expect(at(accepted, "record.result.accepted.changes")).toMatchObject([{ path }]);
    const written = readFileSync(join(folder, "valve.yaml"), "utf8");
    expect(written.match(/origin: fitted/g)?.length).toBe(
      (valveText.match(/origin: fitted/g)?.length ?? 0) + 1,
    );

    const sealed = await ended("/api/seal", { case: "dry-ambient", samples: 100, seed: 2 });
    expect(at(sealed, "record.result.sealed.case")).toBe("dry-ambient");
  });
});
