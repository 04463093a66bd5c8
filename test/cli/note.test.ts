/** `coldturn note`: on the screen, as a file in both forms, as a record, and what it refuses. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { inFolder } from "../host/folder.js";
import { at, coldturn, recordOf } from "./program.js";

const demo = "demo/petrel-oxygen-main";
const quick = ["note", demo, "--samples", "0"];

it("prints one check with its values, steps and margin", async () => {
  const { status, stdout, stderr } = await coldturn([
    ...quick,
    "--question",
    "1",
    "--check",
    "velocity-body",
  ]);
  expect([status, stderr]).toEqual([0, ""]);
  expect(stdout).toMatch(/^# Calculation note: Petrel oxygen main valve, duty$/m);
  expect(stdout).toMatch(
    /^\| d \| 0\.032 \| m \| 32 mm \| bore \| `valve\.bore`: 32 mm tol 0\.1 mm, assumed \|$/m,
  );
  expect(stdout).toMatch(/^A = pi \* d\^2 \/ 4\n {4}= pi \* 0\.032\^2 \/ 4\n {4}= 0\.0008042477 m2$/m);
  expect(stdout.match(/^### /gm)).toHaveLength(1);
  expect(stdout).not.toMatch(/NaN|undefined|\[object/);
});

it("writes a question as Markdown and as a page, never over a file unasked, and tells the same as a record", async () => {
  await inFolder(async (folder) => {
    const [text, page] = [join(folder, "note.md"), join(folder, "note.html")];
    const wrote = await coldturn([...quick, "--question", "2", "--out", text, "--json"]);
    const record = recordOf(wrote);
    expect(record).toMatchObject({ command: "note", status: wrote.status, faults: [] });
    expect(at(record, "result.path")).toBe(text);
    expect(at(record, "result.notes.0.notes.0.check.id")).toBe("break-torque");
    expect(at(record, "result.notes.0.notes.0.check.designChecks")).toEqual(["break-torque"]);
    expect(readFileSync(text, "utf8")).toContain("### Breakaway torque");
    expect((await coldturn([...quick, "--question", "2", "--out", text])).stderr).toContain(
      "there is something of this name already",
    );
    const pdf = join(folder, "note.pdf");
    await coldturn([...quick, "--question", "1", "--check", "velocity-body", "--out", pdf]);
    // ISO 32000-1:2008, 7.5.2: how such a file begins.
    expect(readFileSync(pdf).subarray(0, 8).toString("latin1")).toMatch(/^%PDF-1\.\d$/);
    await coldturn([...quick, "--question", "2", "--out", page]);
    expect(readFileSync(page, "utf8")).toMatch(/^<!doctype html>\n[\s\S]*Breakaway torque[\s\S]*<\/html>\n$/);
  });
});

it("refuses a check that there is none of, with a near name, a question beyond the last, and a file of another form", async () => {
  const near = await coldturn([...quick, "--question", "1", "--check", "velocity-bodi"]);
  expect([near.status, near.stderr]).toEqual([2, expect.stringMatching(/Write\s+--check\s+velocity-body/)]);
  const beyond = await coldturn([...quick, "--question", "13"]);
  expect([beyond.status, beyond.stderr]).toEqual([2, expect.stringMatching(/from\s+1\s+to\s+12/)]);
  const form = await coldturn([...quick, "--out", "note.docx"]);
  expect([form.status, form.stderr]).toEqual([
    2,
    expect.stringMatching(/ends\s+in\s+\.md,\s+\.html\s+or\s+\.pdf/),
  ]);
});
