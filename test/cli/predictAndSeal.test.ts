import { cpSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { openSealed } from "../../src/evidence/index.js";
import { sha256 } from "../../src/host/index.js";
import { inFolder } from "../host/folder.js";
import { at, coldturn, dossierIn, recordOf, widest } from "./program.js";

const demo = "demo/petrel-oxygen-main";
const few = ["--samples", "400"];
const nominal = ["--samples", "0"];

describe("coldturn predict", () => {
  it("answers in words, with pictures, drivers, checks and cautions, at 80 and at 120 columns", async () => {
    for (const COLUMNS of ["80", "120"]) {
      const { status, stdout, stderr } = await coldturn(["predict", demo, ...few], { env: { COLUMNS } });
      expect([status, stderr]).toEqual([1, ""]);
      expect(stdout).toMatch(/Opens in [\d.]+ ms from command to 90 % flow \(95 % of openings between/);
      expect(stdout).toContain("Torque at the stem, opening");
      expect(stdout).toContain("Angle against time, opening");
      expect(stdout).toMatch(/^ +\d+ % {2}seat friction \(alone \d+ %\)$/m);
      expect(stdout).toMatch(/^ +! Keep people out of reach/m);
      expect(stdout).toContain("valve.cavitation_onset = ");
      expect(stdout).not.toContain("\u001b");
      expect(stdout).not.toMatch(/NaN|undefined|\[object/);
      expect(widest(stdout)).toBeLessThanOrEqual(Number(COLUMNS));
    }
  });

  it("prints the same record for the same seed whatever the number of workers, another for another", async () => {
    const call = async (...more: readonly string[]) =>
      (await coldturn(["predict", demo, ...few, "--json", ...more])).stdout;
    const first = await call("--workers", "1");
    expect(await call("--workers", "3", "--seed", "1")).toBe(first);
    expect(await call("--seed", "2")).not.toBe(first);
    const record = JSON.parse(first);
    expect(Object.keys(Object(at(record, "result")))).toEqual([
      ...["valve", "file", "case", "model", "options", "definition", "notices", "defaults", "answers"],
    ]);
    expect(at(record, "result.answers.2.figures.0.kind")).toBe("plot");
    expect(first).not.toMatch(/NaN|Infinity/);
  });

  it("without samples there is no band, and no probability is claimed", async () => {
    const ended = await coldturn(["predict", demo, "--samples", "0", "--json"]);
    expect(at(recordOf(ended), "result.answers.2.checks.0.probability")).toBeUndefined();
    expect(at(recordOf(ended), "result.answers.2.checks.0.value")).toBeGreaterThan(0.05);
  });

  it("stops at Ctrl-C without a word and without a result", async () => {
    const started = performance.now();
    const { status, stdout, stderr } = await coldturn(["predict", demo, "--samples", "1000000"], {
      onStart: (child) => setTimeout(() => child.kill("SIGINT"), 4000),
    });
    expect([status, stdout, stderr]).toEqual([130, "", ""]);
    expect((performance.now() - started) / 1000).toBeLessThan(20);
  });
});

describe("coldturn seal", () => {
  it("writes a prediction that opens with its seal and names the files it rests on", async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder);
      const made = await coldturn(["seal", place, "--case", "dry-ambient", ...few], {
        env: { SOURCE_DATE_EPOCH: "1934271000" },
      });
      expect([made.status, made.stderr]).toEqual([0, ""]);
      const [name = "", ...others] = readdirSync(join(place, "predictions"));
      expect(others).toEqual([]);
      expect(name).toMatch(/^2031-04-18-dry-ambient-[0-9a-f]{12}\.json$/);
      expect(made.stdout).toContain(join(place, "predictions", name));
      const text = readFileSync(join(place, "predictions", name), "utf8");
      const sealed = openSealed(text, name, sha256);
      expect(sealed).toMatchObject({
        case: "dry-ambient",
        seed: 1,
        samples: 400,
        made: "2031-04-18T09:30:00Z",
      });
      expect(sealed.files).toEqual([
        { name: "valve.yaml", sha256: sha256(readFileSync(join(place, "valve.yaml"))) },
      ]);
      expect(made.stdout).toContain(sealed.sha256);
      expect(name).toContain(sealed.sha256.slice(0, 12));
    });
  });

  it("does not seal what rests on a file with faults", async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder, (text) => text.replace("dead_time:", "dead_tme:"));
      const { status, stderr } = await coldturn(["seal", place, ...few]);
      expect(status).toBe(2);
      expect(stderr).toContain("dead_tme");
      expect(readdirSync(place)).not.toContain("predictions");
    });
  });

  it("does not seal a motion that is not known", async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder, (text) => text.replace(/ {4}dead_time:.*\n/, ""));
      const { status, stderr } = await coldturn(["seal", place, ...few]);
      expect(status).toBe(2);
      expect(stderr.replaceAll("\n", " ")).toContain("Enter what is not known: drive.driver.dead_time");
    });
  });

  it("interrupted, leaves nothing; killed at any instant, leaves whole files alone", {
    timeout: 240_000,
  }, async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder);
      const { status } = await coldturn(["seal", place, "--samples", "1000000"], {
        onStart: (child) => setTimeout(() => child.kill("SIGINT"), 4000),
      });
      expect(status).toBe(130);
      expect(readdirSync(place)).not.toContain("predictions");
      const began = performance.now();
      await coldturn(["seal", place, "--samples", "100", "--workers", "1"]);
      const took = performance.now() - began;
      for (let n = 0; n < 10; n++) {
        await coldturn(["seal", place, "--samples", "100", "--workers", "1"], {
          onStart: (child) => setTimeout(() => child.kill("SIGKILL"), took * (0.7 + 0.04 * n)),
        });
      }
      const names = readdirSync(join(place, "predictions")).filter((name) => name.endsWith(".json"));
      expect(names.length).toBeGreaterThan(0);
      for (const name of names)
        openSealed(readFileSync(join(place, "predictions", name), "utf8"), name, sha256);
    });
  });
});

describe("coldturn sheet", () => {
  it("writes one HTML file, by default under sheets/, and never over another unasked", async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder);
      const env = { SOURCE_DATE_EPOCH: "1934271000" };
      const first = await coldturn(["sheet", place, ...few], { env });
      expect([first.status, first.stderr]).toEqual([1, ""]);
      const path = join(place, "sheets", "2031-04-18T093000Z-duty.html");
      expect(first.stdout).toContain(`Wrote ${path}`);
      const html = readFileSync(path, "utf8");
      expect(html).toMatch(/^<!doctype html>/i);
      expect(html).toContain("Petrel oxygen main valve");
      expect(html).not.toMatch(/<script|https?:\/\/(?!www\.w3\.org)/);
      const again = await coldturn(["sheet", place, ...few], { env });
      expect(again.status).toBe(2);
      expect(again.stderr).toContain("there is something of this name already");
      const forced = await coldturn(["sheet", place, ...few, "--out", path, "--force", "--json"], { env });
      expect(at(recordOf(forced), "result.path")).toBe(path);
      expect(at(recordOf(forced), "result.verdicts.11.number")).toBe(12);
      // Same content, same bytes.
      expect(readFileSync(path, "utf8")).toBe(html);
    });
  });

  it("gives the same bytes again as HTML and PDF, and says which file has changed since", async () => {
    await inFolder(async (folder) => {
      const place = join(folder, "bench");
      mkdirSync(place);
      cpSync("test/question/hand.yaml", join(place, "valve.yaml"));
      writeFileSync(join(place, "stand.yaml"), "coldturn_stand: 1\n");
      const [one, two] = ["one", "two"].map((name) => join(folder, name));
      // At another time, and from another place.
      const how = [...nominal, "--day", "2031-04-18", "--format", "both", "--out"];
      await coldturn(["sheet", place, ...how, `${one}.html`], { env: { SOURCE_DATE_EPOCH: "1934271000" } });
      const again = await coldturn(["sheet", "bench", ...how, `${two}.html`], {
        cwd: folder,
        env: { SOURCE_DATE_EPOCH: "1936271000" },
      });
      expect(again.stdout).toContain(`Wrote ${two}.pdf`);
      const other = await coldturn(["sheet", place, ...nominal, "--out", join(folder, "sheet.docx")]);
      expect([other.status, other.stderr]).toEqual([2, expect.stringContaining("no .docx file")]);
      const broken = join(folder, "broken");
      mkdirSync(broken);
      cpSync("test/question/hand.yaml", join(broken, "valve.yaml"));
      writeFileSync(join(broken, "stand.yaml"), "coldturn_stand: 1\nwaivers: hello\n");
      const faulty = await coldturn(["sheet", broken, ...nominal, "--out", join(folder, "faulty.html")]);
      expect(faulty.status).toBe(2);
      expect(faulty.stderr).toContain("stand.yaml:2");
      expect(readFileSync(join(folder, "faulty.html"), "utf8")).toContain("stand.yaml has faults");
      for (const ending of ["html", "pdf"])
        expect(readFileSync(`${two}.${ending}`).equals(readFileSync(`${one}.${ending}`)), ending).toBe(true);
      expect((await coldturn(["sheet", `${two}.pdf`, "--compare", `${one}.html`])).status).toBe(0);
      const predicted = await coldturn(["predict", place, ...nominal, "--requirements"]);
      expect(predicted.stdout.replace(/\s+/g, " ")).toMatch(
        /mass flow, duty\.mass_flow: 5 kg\/s .* predicted only open: .*owed by: nobody named/,
      );
      const verified = await coldturn(["sheet", place, "--verify", `${one}.pdf`, "--json"]);
      expect([verified.status, at(recordOf(verified), "result.isCurrent")]).toEqual([0, true]);

      mkdirSync(join(place, "sheets"));
      cpSync(`${one}.pdf`, join(place, "sheets", "old.pdf"));
      const path = join(place, "valve.yaml");
      writeFileSync(path, readFileSync(path, "utf8").replace("time: 0.8 s", "time: 0.9 s"));
      rmSync(join(place, "stand.yaml"));
      mkdirSync(join(place, "parts"), { recursive: true });
      writeFileSync(join(place, "parts", "ours.yaml"), "name: ours\n");
      for (const ending of ["html", "pdf"]) {
        const old = await coldturn(["sheet", place, "--verify", `${one}.${ending}`, "--json"]);
        expect(old.status).toBe(1);
        const { result } = recordOf(old);
        expect(at(result, "changed")).toEqual(["valve.yaml"]);
        expect(at(result, "missing")).toEqual(["stand.yaml"]);
        expect(at(result, "added")).toEqual(["parts/ours.yaml"]);
      }
      rmSync(join(place, "parts"), { recursive: true });
      const check = await coldturn(["check", place, "--samples", "0"]);
      expect(check.stdout.replace(/\s+/g, " ")).toContain("Out of date: sheets/old.pdf");
      await coldturn(["sheet", place, ...nominal, "--out", `${two}-new.html`]);
      const compared = await coldturn(["sheet", `${two}-new.html`, "--compare", `${one}.pdf`]);
      expect(compared.status).toBe(1);
      expect(compared.stdout).toMatch(/duty\.open_within\.time +0\.8 s +0\.9 s/);
      const none = await coldturn(["sheet", place, "--verify", path]);
      expect([none.status, none.stderr]).toEqual([2, expect.stringContaining("no record of a sheet")]);
    });
  }, 120_000);

  it("shows a field with a fault as a notice, and ends with status 2", async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder, (text) => text.replace("dead_time:", "dead_tme:"));
      const { status } = await coldturn(["sheet", place, ...few, "--out", join(folder, "sheet.html")]);
      expect(status).toBe(2);
      expect(readFileSync(join(folder, "sheet.html"), "utf8")).toContain("dead_tme is no field");
    });
  });
});
