import { readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { inFolder } from "../host/folder.js";
import { at, coldturn, dossierIn, type Ended, recordOf } from "./program.js";

const ended: Partial<Record<"first" | "again" | "unreasoned" | "reasoned" | "check" | "sheet", Ended>> = {};
const texts: Partial<Record<"first" | "again" | "unreasoned" | "reasoned" | "sheet", string>> = {};

beforeAll(async () => {
  await inFolder(async (folder) => {
    const place = dossierIn(folder);
    const path = join(place, "hazards.yaml");
    // The demo has its own; here it is made.
    rmSync(path);
    const register = () => readFileSync(path, "utf8");
    const made = (samples = "60") => coldturn(["hazards", place, "--samples", samples, "--json"]);
    ended.first = await made();
    texts.first = register();
    ended.again = await made("40");
    texts.again = register();
    const edited = register().replace(/control: .*/, "control: two valves in series   # since May");
    writeFileSync(path, edited);
    ended.unreasoned = await made();
    texts.unreasoned = register();
    const line =
      "      - { date: 2026-05-02, who: test conductor, what: control, why: a second valve was fitted }\n";
    writeFileSync(path, edited.replace(/( {4}seal: )/, `${line}$1`));
    ended.reasoned = await made();
    texts.reasoned = register();
    ended.check = await coldturn(["check", place, "--samples", "40"]);
    const sheet = join(folder, "sheet.html");
    ended.sheet = await coldturn(["sheet", place, "--samples", "40", "--out", sheet]);
    texts.sheet = readFileSync(sheet, "utf8");
  });
}, 240_000);

const outcome = (key: keyof typeof ended): Ended => {
  const found = ended[key];
  if (found === undefined) throw new Error(`${key} was not called`);
  return found;
};

describe("coldturn hazards", () => {
  it("makes the register, whose rows are all open, and says so by its status", () => {
    const hazards = at(recordOf(outcome("first")), "result.hazards");
    expect(outcome("first").status).toBe(1);
    expect(Array.isArray(hazards) && hazards.length > 40).toBe(true);
    expect(texts.first).toContain("coldturn_hazards: 1");
    expect(texts.first).not.toMatch(/\bsafe\b|\bqualified\b/i);
  });

  it("called again, with fewer samples, leaves it byte for byte", () => {
    expect(texts.again).toBe(texts.first);
  });

  it("refuses an edit without its reason, and writes nothing", () => {
    const { status, stdout } = outcome("unreasoned");
    expect(status).toBe(2);
    expect(stdout).toContain("hazard-edit-without-reason");
    expect(texts.unreasoned).toContain("two valves in series");
    expect(texts.unreasoned?.match(/seal: /g)?.length).toBe(texts.first?.match(/seal: /g)?.length);
  });

  it("takes an edit with its reason, and keeps its comment", () => {
    expect(outcome("reasoned").status).toBe(1);
    expect(texts.reasoned).toContain("control: two valves in series   # since May\n");
    expect(texts.reasoned).toContain("why: a second valve was fitted");
  });

  it("check and sheet show it", () => {
    expect(outcome("check").stdout.replaceAll(/\s+/g, " ")).toMatch(
      /Of \d+ hazards in the register \d+ are open\./,
    );
    expect(texts.sheet).toContain("two valves in series");
    expect(texts.sheet).toContain("nobody verifies it");
  });
});
