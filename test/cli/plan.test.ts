import { appendFileSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { inFolder } from "../host/folder.js";
import { readPage } from "../sheet/readPage.js";
import { at, coldturn, dossierIn, type Ended, recordOf } from "./program.js";

let planned: Ended;
let again: Ended;
let page: Ended;
let check: Ended;
let html = "";
let pdf = "";
let made: readonly string[] = [];

beforeAll(async () => {
  await inFolder(async (folder) => {
    const place = dossierIn(folder);
    const out = join(folder, "cards.html");
    planned = await coldturn(["plan", place, "--samples", "12", "--out", out, "--json"]);
    html = readFileSync(out, "utf8");
    const blank = join(folder, "blank");
    mkdirSync(blank);
    writeFileSync(join(blank, "valve.yaml"), "coldturn: 1\nname: blank\n");
    again = await coldturn(["plan", blank, "--out", out]);
    appendFileSync(join(place, "valve.yaml"), "# looked at since\n");
    check = await coldturn(["check", place, "--samples", "0", "--json"]);
    const paper = join(folder, "cards.pdf");
    page = await coldturn(["plan", place, "--samples", "0", "--all", "--out", paper]);
    await coldturn(["plan", blank]);
    made = readdirSync(join(blank, "plan"));
    pdf = readFileSync(paper, "latin1");
  });
}, 240_000);

describe("coldturn plan", () => {
  it("writes a page for the order and one for each run, as one document without script or address", () => {
    const runs = at(recordOf(planned), "result.runs");
    const count = Array.isArray(runs) ? runs.length : 0;
    const cards = readPage(html).filter(
      ({ name, attributes }) => name === "section" && attributes.get("class") === "card",
    );
    expect(count).toBeGreaterThan(5);
    expect(cards.length).toBe(count + 1);
    cards.slice(1).forEach(({ text }, i) => {
      expect(text).toContain(`Run ${i + 1} of ${count}`);
      expect(text).toContain("commands nothing and releases no run");
      expect(text).toMatch(/SHA-256|not sealed|outdated|nothing to seal|a seal holds/);
      expect(text).toContain("[ ]");
    });
    expect(html).not.toMatch(/<script|https?:\/\//);
  });

  it("has not all runs made, and says so by its status", () => {
    expect(planned.status).toBe(1);
    expect(at(recordOf(planned), "result.runs.0.state")).toBe("to be made");
  });

  it("refuses to overwrite cards without --force", () => {
    expect(again.status).toBe(2);
    expect(again.stderr + again.stdout).toContain("Nothing is overwritten");
  });

  it("question 12 shows the plan, and that a file has changed since", () => {
    const tables = JSON.stringify(at(recordOf(check), "result.answers.11.tables"));
    expect(tables).toContain("Runs in the order in which they would be made, planned");
    expect(tables).toContain("cards.html");
    expect(tables).toContain("outdated: valve.yaml changed since");
  });

  it("prints what the cards say, and keeps cards in plan/ where no file is named", () => {
    expect(page.stdout).toMatch(/Run \d+ {2}oxygen: Strokes: The duty itself/);
    expect(page.stdout).toContain("stop the run at");
    expect(page.stdout).toContain("waits for");
    expect(made.filter((name) => name.endsWith(".html"))).toHaveLength(1);
    expect(made).toContain("duty.json");
  });

  it("sets the same cards as PDF, each run on a page of its own", () => {
    const runs = at(recordOf(planned), "result.runs");
    expect(pdf.startsWith("%PDF-")).toBe(true);
    const pages = Number(/\/Type\s*\/Pages[^>]*?\/Count\s+(\d+)/.exec(pdf)?.[1] ?? 0);
    expect(pages).toBeGreaterThan(Array.isArray(runs) ? runs.length : 0);
  });
});
