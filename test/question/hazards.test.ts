/** The register of hazards: rows from checks, edits with their reason, rows that are stale, what question 12 says. */
import { createHash } from "node:crypto";
import { beforeAll, describe, expect, it } from "vitest";
import { editHazards, hazardText, hazardWording, readHazards } from "../../src/dossier/index.js";
import { faultsText } from "../../src/fault/index.js";
import { type Answer, answersOf, type Register, registerOf } from "../../src/question/index.js";
import { textOf } from "../project/files.js";
import { answerNumbered, answersTo, type Edits, predictionOf } from "./answering.js";

const digest = (text: string) => createHash("sha256").update(text).digest("hex");
const day = "2031-04-01";
const later = "2031-05-01";
const sourceOf = (text: string) => ({ path: "hazards.yaml", text });

let answers: readonly Answer[] = [];
let changed: readonly Answer[] = [];
let first = "";
const slower: Edits = { "duty.open_within.time": "0.9 s" };
beforeAll(async () => {
  answers = await answersTo({ samples: 0 });
  changed = await answersTo({ samples: 0, edits: slower });
  const { added, made } = registerOf(undefined, answers, day, digest);
  first = hazardText("duty", added, made);
});

/** The register of a text against answers, and the text that is written. */
function run(
  text: string,
  of = answers,
  on = later,
): { readonly register: Register; readonly written: string } {
  const file = readHazards(sourceOf(text));
  expect(file.faults).toEqual([]);
  const register = registerOf(file, of, on, digest);
  return { register, written: editHazards(file, register.edits, register.added) };
}

/** The row of a check as text, from its dash to the next. */
function rowOf(text: string, check: string): string {
  const start = text.indexOf(`  - check: ${check}\n`);
  const next = text.indexOf("\n  - check:", start + 1);
  return text.slice(start, next < 0 ? undefined : next + 1);
}

const control = "Start sequence of its own.";
const edited = (text: string) => {
  const row = rowOf(text, "opening-time");
  return text.replace(row, row.replace(/ {4}control: .*\n/, `    control: ${control}   # agreed in May\n`));
};
const line = `      - { date: 2031-03-20, who: test conductor, what: control, why: the sequence was changed }\n`;
const withLine = (text: string, more = line, check = "opening-time") => {
  const row = rowOf(text, check);
  return text.replace(row, row.replace(/ {4}seal:/, `${more}    seal:`));
};

describe("a new register", () => {
  it("has a row for each judged check of questions 1 to 10, and none of the others", () => {
    const { rows } = readHazards(sourceOf(first));
    const wanted = answers
      .filter(({ number }) => number <= 10)
      .flatMap(({ checks }) =>
        checks.filter(({ standing }) => standing === "judged").map(({ name }) => name),
      );
    expect(rows.map(({ name }) => name)).toEqual([...new Set(wanted)]);
    expect(rows.map(({ check }) => check)).not.toContain("vv");
  });

  it("says cause, effect, control and evidence, leaves who verifies blank, and that nobody has judged it", () => {
    const row = rowOf(first, "opening-time");
    const wording = hazardWording("opening-time");
    expect(row).toContain(`cause: ${wording?.cause}`);
    expect(row).toContain("evidence: check opening-time");
    expect(row).toMatch(/who_verifies:\n/);
    const { hazards } = run(first).register;
    for (const { open } of hazards) {
      expect(open).toContain("nobody verifies it");
      expect(open).toContain("nobody has judged it yet");
    }
  });

  it("stays byte for byte when nothing has changed", () => {
    expect(run(first).written).toBe(first);
  });

  it("has a wording with its source for every check of docs/checks.md up to question 10 that is on file, and says where none is", () => {
    expect(hazardWording("no-such-check")).toBeUndefined();
    const ids = [...textOf("docs/checks.md").matchAll(/^\| `([a-z-]+)` \| ([1-9]|10) \|/gm)].map(
      ([, id]) => id ?? "",
    );
    expect(ids.filter((id) => hazardWording(id) === undefined)).toEqual([]);
  });
});

describe("a row that is cut out whole", () => {
  const without = (text: string) => text.replace(rowOf(text, "opening-time"), "");
  const cut =
    "cut:\n  - { check: opening-time, name: Opening time, date: 2031-03-20, who: test conductor, why: no partner valve }\n";

  it("does not come back without a word: the missing reason is asked", () => {
    const { register } = run(without(first));
    expect(register.faults.map(({ code }) => code)).toEqual(["hazard-edit-without-reason"]);
    expect(register.faults[0]?.found).toBe(
      "the row of opening-time, Opening time, was cut out or renamed, and `cut` does not say why",
    );
    const hazard = register.hazards.find(({ check }) => check === "opening-time");
    expect(hazard?.open).toContain("its row was cut out without a reason");
  });

  it("with its reason stays out, is still told, and is open while its check does not hold", () => {
    const { register, written } = run(`${without(first)}${cut}`);
    expect(register.faults).toEqual([]);
    expect(register.added).toEqual([]);
    expect(rowOf(written, "opening-time")).not.toContain("seal");
    const hazard = register.hazards.find(({ check }) => check === "opening-time");
    expect(hazard?.texts.control).toBe("cut out by test conductor on 2031-03-20: no partner valve");
    const late = run(`${without(first)}${cut}`, changed).register;
    const verdict = changed.flatMap(({ checks }) => checks).find(({ id }) => id === "opening-time")?.verdict;
    const open = late.hazards.find(({ check }) => check === "opening-time")?.open;
    expect(open).toEqual(verdict === "holds" ? [] : [`its check: ${verdict}`]);
    expect(run(written).written).toBe(written);
  });

  it.each([
    [cut.replace(", why: no partner valve", ""), "this cut does not say why"],
    [cut.replace("2031-03-20", "20.3.2031"), '"20.3.2031" is no date'],
    [cut.replace("2031-03-20", "2031-05-02"), "2031-05-02 is still to come"],
  ])("with the line %s is refused", (line, found) => {
    expect(run(`${without(first)}${line}`).register.faults.map((fault) => fault.found)).toEqual([found]);
  });

  it("of somebody's own is missed too", () => {
    const own = `${first.trimEnd()}\n  - name: Ladder\n    history:\n      - { date: 2031-03-20, who: a, what: the row, why: seen }\n`;
    const { written } = run(own);
    const row = written.slice(written.indexOf("  - name: Ladder"));
    const { faults } = run(written.replace(row, "")).register;
    expect(faults.map(({ found }) => found)).toEqual([
      "a row of somebody's own was cut out or renamed, and `cut` does not say why",
    ]);
  });
});

describe("an edit by hand", () => {
  it("without a line in the history is refused at its own line", () => {
    const { faults } = run(edited(first)).register;
    expect(faults.map(({ code }) => code)).toEqual(["hazard-edit-without-reason"]);
    const at =
      edited(first)
        .split("\n")
        .findIndex((text) => text.includes(control)) + 1;
    expect(faultsText(faults)).toContain(`hazards.yaml:${at}:14  rows[`);
    expect(faultsText(faults)).toContain("control was changed, and the history has no new line");
  });

  it("with its reason is kept with comment and order, and the row is judged", () => {
    const { register, written } = run(withLine(edited(first)));
    expect(register.faults).toEqual([]);
    expect(written).toContain(`    control: ${control}   # agreed in May\n`);
    const hazard = register.hazards.find(({ check }) => check === "opening-time");
    expect(hazard?.open).not.toContain("nobody has judged it yet");
    // Only the seal of that row has moved.
    const before = withLine(edited(first)).split("\n");
    const moved = written.split("\n").flatMap((text, k) => (text === before[k] ? [] : [text]));
    expect(moved.length).toBe(1);
    expect(moved[0]).toMatch(/^ {4}seal: 2 /);
    expect(run(written).written).toBe(written);
  });

  it.each([
    ["      - { date: 2031-03-20, who: test conductor, what: control }\n", "this change does not say why"],
    ["      - { who: test conductor, what: control, why: so }\n", "this change does not say date"],
    ["      - { date: 20.3.2031, who: test conductor, what: control, why: so }\n", '"20.3.2031" is no date'],
    [line.replace("2031-03-20", "2031-05-02"), "2031-05-02 is still to come"],
  ])("with the line %s is refused", (more, found) => {
    const { faults } = run(withLine(edited(first), more)).register;
    expect(faults.map(({ code }) => code)).toEqual(["hazard-history"]);
    expect(faults[0]?.found).toBe(found);
  });

  it("of a line that stood in the history is refused, and so is taking it out", () => {
    const { written } = run(withLine(edited(first)));
    for (const text of [
      written.replace("the sequence was changed", "for no reason"),
      written.replace(line, ""),
    ])
      expect(run(text).register.faults.map(({ code }) => code)).toContain("hazard-history");
  });

  it("adds a row of somebody's own, which needs a line in its history and is never stale", () => {
    const own = `${first.trimEnd()}
  - name: Ladder on the stand
    cause: somebody steps on the line
    effect: the flange leaks
    control: barrier
    evidence: walk-down
    who_verifies: test conductor
    history:
      - { date: 2031-03-20, who: test conductor, what: the row, why: seen on the walk-down }
`;
    const { register, written } = run(own, changed);
    expect(register.faults).toEqual([]);
    expect(register.hazards.find(({ name }) => name === "Ladder on the stand")).toMatchObject({
      open: [],
      isStale: false,
    });
    expect(written).toMatch(/seal: 1 /);
    const bare = own.replace(/ {4}history:\n.*walk-down }\n/, "");
    expect(run(bare).register.faults.map(({ code }) => code)).toEqual(["hazard-history"]);
  });
});

describe("a check that has changed", () => {
  it("makes its row stale, with the day and what it says now, and no other", () => {
    const { register, written } = run(first, changed);
    const stale = register.hazards.filter(({ isStale }) => isStale).map(({ check }) => check);
    expect(stale).toContain("opening-time");
    expect(stale).not.toContain("closing-time");
    expect(rowOf(written, "opening-time")).toMatch(/stale: "since 2031-05-01: .*at most 900 ms"/);
    expect(rowOf(written, "opening-time")).toContain("at most 800 ms");
    // The day stays while the check says the same.
    expect(run(written, changed, "2031-06-01").written).toBe(written);
  });

  it("is no longer stale when it says again what it said", () => {
    const { written } = run(first, changed);
    expect(rowOf(run(written).written, "opening-time")).toContain("stale: no\n");
  });

  it("is judged anew by a line in the history, and rests on the new reading", () => {
    const { written } = run(first, changed);
    const judged = run(withLine(written), changed);
    const row = rowOf(judged.written, "opening-time");
    expect(row).toContain("stale: no\n");
    expect(row).toContain("at most 900 ms");
    expect(judged.register.hazards.find(({ check }) => check === "opening-time")?.isStale).toBe(false);
  });

  it("that is not asked any more leaves its row, stale", () => {
    const fewer = answers.map((answer) => ({
      ...answer,
      checks: answer.checks.filter(({ id }) => id !== "opening-time"),
    }));
    const { register, written } = run(first, fewer);
    expect(register.hazards.find(({ check }) => check === "opening-time")?.isStale).toBe(true);
    expect(rowOf(written, "opening-time")).toContain("the check is not asked any more");
  });

  it("that is new gets a row behind the others, before what follows them", () => {
    const without = `${first.replace(rowOf(first, "opening-time"), "")}# the end\n`;
    const { register, written } = run(without);
    expect(register.added.map(({ check }) => check)).toEqual(["opening-time"]);
    expect(written).toContain("# the end\n");
    expect(readHazards(sourceOf(written)).rows.at(-1)?.check).toBe("opening-time");
    expect(run(written).written).toBe(written);
  });
});

describe("question 12", () => {
  const asked = async (text: string, caseId = "duty") =>
    answerNumbered(
      answersOf(await predictionOf({ samples: 0, caseId }), {
        reconciliations: [],
        day,
        hazards: { file: readHazards(sourceOf(text)), digest },
      }),
      12,
    );

  it("shows the register with what is open, and is not known while anything is", async () => {
    const { sentence, tables, verdict } = await asked(first);
    const count = readHazards(sourceOf(first)).rows.length;
    expect(sentence).toContain(`Of ${count} hazards in the register ${count} are open.`);
    expect(tables.find(({ title }) => title === "Hazards")?.rows.length).toBe(count);
    expect(verdict).not.toBe("holds");
  });

  it("says nothing of it without a register, and tells one of another case and one with faults", async () => {
    const bare = answerNumbered(answers, 12);
    expect(bare.sentence).not.toContain("register");
    expect((await asked(first, "dry")).sentence).toContain("The register of hazards is of duty");
    const wrong = first.replace("    cause:", "    kause:");
    expect((await asked(wrong)).sentence).toContain("hazards.yaml has faults");
  });
});
