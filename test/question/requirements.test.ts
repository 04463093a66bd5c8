/** Requirements with the checks that serve them, who owes what, and waivers that count and that do not. */
import { beforeAll, describe, expect, it } from "vitest";
import { readStandFile } from "../../src/dossier/index.js";
import type { Prediction } from "../../src/predict/index.js";
import {
  type Answer,
  answersOf,
  type EvidenceItem,
  nobody,
  type Requirement,
  type Waiver,
} from "../../src/question/index.js";
import { lackOf } from "../../src/question/requirementEvidence.js";
import { inspected, requiredBy, timed, torqueChecks } from "../../src/question/requirementFields.js";
import { textOf } from "../project/files.js";
import { answerNumbered, checkNamed, predictionOf } from "./answering.js";

let prediction: Prediction;
let first: readonly Answer[] = [];
beforeAll(async () => {
  // Opens in some 200 ms: the limit fails with a number.
  prediction = await predictionOf({ samples: 0, edits: { "duty.open_within.time": "0.1 s" } });
  first = answersOf(prediction);
});

const day = "2031-05-01";
function answersWith(stand: string, on = day): readonly Answer[] {
  const file = readStandFile({ path: "stand.yaml", text: `coldturn_stand: 1\n${stand}` });
  // Questions 1 to 11 do not read the file.
  return answersOf(prediction, { reconciliations: [], stand: file, day: on }, undefined, first.slice(0, 11));
}
const requirementsIn = (answers: readonly Answer[]): readonly Requirement[] =>
  answerNumbered(answers, 12).requirements ?? [];
const waiversIn = (answers: readonly Answer[]): readonly Waiver[] =>
  answerNumbered(answers, 12).waivers ?? [];
const of = (answers: readonly Answer[], field: string) =>
  requirementsIn(answers).find((one) => one.field === field);

describe("requirements", () => {
  it("hold every judged check, and no other", () => {
    const judged = first
      .slice(0, 11)
      .flatMap(({ number, checks }) =>
        checks.flatMap((check, index) => (check.standing === "judged" ? [`${number}/${index}`] : [])),
      );
    const served = requirementsIn(first).flatMap(({ checks }) =>
      checks.map(({ question, index }) => `${question}/${index}`),
    );
    expect(new Set(served)).toEqual(new Set(judged));
    expect(judged.length).toBeGreaterThan(40);
  });

  it("say what was typed, the value, the limit and the margin between them", () => {
    const requirement = of(first, "duty.open_within");
    expect(requirement?.asked).toBe("time 0.1 s, definition command-to-end");
    const serving = requirement?.checks.find(({ id }) => id === "opening-time");
    expect(serving?.limit).toBe("at most 100 ms");
    // By subtraction on the printed numbers: 100 ms less the value is the margin, but for their last digits.
    const numbers = [serving?.value, serving?.margin].map((text) => Number.parseFloat(text ?? ""));
    expect((numbers[0] ?? 0) + (numbers[1] ?? 0)).toBeCloseTo(100, 0);
    expect(serving?.evidence).toEqual([{ kind: "predicted", words: "predicted only" }]);
    expect(serving?.open).toContain("no test or inspection yet");
  });

  it("a field that nobody gave is a requirement all the same, with what it needs", () => {
    const missing = requirementsIn(first).find(({ asked }) => asked === "not given");
    expect(missing?.verdict).toBe("not known");
    expect(missing?.checks[0]?.open[0]).toMatch(/^needs /);
  });

  it("the list of fields names checks of docs/checks.md alone", () => {
    const ids = new Set(
      [...textOf("docs/checks.md").matchAll(/^\| `([a-z-]+)` \| \d+ \|/gm)].map(([, id]) => id),
    );
    const listed = [...Object.keys(requiredBy), ...inspected, ...Object.keys(timed), ...torqueChecks];
    expect(listed.filter((id) => !ids.has(id))).toEqual([]);
  });

  it("the table of question 12 has a row for each of their checks", () => {
    const table = answerNumbered(first, 12).tables.find(({ title }) => title === "The requirements");
    expect(table?.rows).toHaveLength(requirementsIn(first).flatMap(({ checks }) => checks).length);
  });
});

describe("owners", () => {
  it("the nearest counts: check, field, part of the file; nobody else is put in", () => {
    const answers = answersWith(`owners:
  - { of: duty, owner: stand }
  - { of: duty.open_within, owner: "stand, test conductor" }
  - { of: closing-time, owner: drive }
  - { of: valve.no_such, owner: nobody knows }
`);
    const ownerOf = (field: string, id: string) =>
      of(answers, field)?.checks.find((check) => check.id === id)?.owner;
    expect(ownerOf("duty.open_within", "opening-time")).toBe("stand, test conductor");
    expect(ownerOf("duty.close_within", "closing-time")).toBe("drive");
    expect(ownerOf("duty.mass_flow", "installed-flow")).toBe("stand");
    expect(of(first, "duty.mass_flow")?.checks[0]?.owner).toBe(nobody);
    expect(answerNumbered(answers, 12).sentence).toContain("owners of what is not asked here: valve.no_such");
  });
});

describe("a waiver", () => {
  const failing = () => checkNamed(first, "opening-time");
  const entry = (more: Readonly<Record<string, string>>) => {
    const check = failing();
    if (check?.kind !== "known") throw new Error("no check of this valve fails with a number");
    const unit = check.unit === "" ? "" : ` ${check.unit}`;
    const printed = of12(check.id).value;
    const fields = {
      check: check.id,
      name: JSON.stringify(check.name),
      verdict: "fails",
      value: JSON.stringify(printed.includes(unit.trim()) ? printed : `${printed}${unit}`),
      reason: "first tests without a person near",
      who: "stand, test conductor",
      date: "2031-04-20",
      expires: "2031-06-30",
      ...more,
    };
    const lines = Object.entries(fields).filter(([, text]) => text !== "");
    return `waivers:\n  - ${lines.map(([key, text]) => `${key}: ${text}`).join("\n    ")}\n`;
  };
  const of12 = (id: string) => {
    const found = requirementsIn(first)
      .flatMap(({ checks }) => checks)
      .find((check) => check.id === id);
    if (found === undefined) throw new Error(`no ${id}`);
    return found;
  };
  const stateOf = (text: string, on = day) => {
    const [waiver] = waiversIn(answersWith(text, on));
    return [waiver?.state, waiver?.why] as const;
  };

  it("stands beside its check, is counted apart, and changes no verdict", () => {
    const answers = answersWith(entry({}));
    expect(waiversIn(answers)[0]?.state).toBe("stands");
    expect(answers.map(({ verdict }) => verdict)).toEqual(first.map(({ verdict }) => verdict));
    const id = failing()?.id ?? "";
    expect(checkNamed(answers, id).verdict).toBe("fails");
    expect(answerNumbered(answers, 12).sentence).toContain(
      "Of the checks that do not hold 1 is waived; that changes no verdict.",
    );
  });

  it("counts on its last day and not on the next, nor where the day is not known", () => {
    expect(stateOf(entry({}), "2031-06-30")[0]).toBe("stands");
    expect(stateOf(entry({}), "2031-07-01")).toEqual(["expired", "it counted until 2031-06-30"]);
    expect(stateOf(entry({}), "")[0]).toBe("expired");
  });

  it("is faulty without a name, a reason, a date that is one, a value that can be read", () => {
    expect(stateOf(entry({ who: "" }))).toEqual(["faulty", "it does not say who"]);
    expect(stateOf(entry({ reason: "", who: "" }))).toEqual(["faulty", "it does not say reason, who"]);
    expect(stateOf(entry({ date: "2031-02-30" }))).toEqual(["faulty", '"2031-02-30" is no date']);
    expect(stateOf(entry({ date: "2031-05-02" }))[1]).toContain("still to come");
    expect(stateOf(entry({ expires: "2031-04-19" }))[1]).toContain("before its date");
    expect(stateOf(entry({ value: "3 furlong" }))[0]).toBe("faulty");
    expect(stateOf(entry({ value: "" }))[1]).toContain("up to which value");
    const twice = entry({});
    expect(waiversIn(answersWith(twice + twice.replace("waivers:\n", ""))).map(({ state }) => state)).toEqual(
      ["stands", "faulty"],
    );
  });

  it("is stale once the value lies beyond the one named, or the verdict is another kind", () => {
    const check = failing();
    if (check?.kind !== "known") throw new Error("no such check");
    // Halfway between limit and value: the value has moved beyond it.
    const limit = check.limit.most ?? check.limit.least ?? 0;
    const between = (check.value + limit) / 2;
    expect(stateOf(entry({ value: `${between} ${check.siUnit ?? ""}`.trim() }))[0]).toBe("stale");
    expect(stateOf(entry({ verdict: "not known", value: "" }))[0]).toBe("stale");
    expect(stateOf(entry({ verdict: "thin" }))[0]).toBe("stale");
  });

  it("of no check, and of one that holds, says so; another case's is not of this one", () => {
    expect(stateOf(entry({ check: "no-such-check", name: "" }))[0]).toBe("unmatched");
    expect(stateOf(entry({ check: "installed-flow", name: "" }))[0]).toBe("not needed");
    expect(waiversIn(answersWith(entry({ case: "dry" })))).toEqual([]);
  });

  it("of a check that is not known covers no more than that", () => {
    const unknown = first.flatMap(({ checks }) => checks).find(({ kind }) => kind === "unknown");
    const text = entry({
      check: unknown?.id ?? "",
      name: JSON.stringify(unknown?.name),
      verdict: "not known",
      value: "",
    });
    expect(stateOf(text)[0]).toBe("stands");
  });

  it("in a file with a fault leaves the fault told", () => {
    const answers = answersWith("waivers:\n  - { chek: opening-time }\n");
    expect(answerNumbered(answers, 12).sentence).toMatch(/stand\.yaml has faults: line 3: /);
  });
});

describe("the evidence behind a check", () => {
  const items = (kind: EvidenceItem["kind"], isElsewhere = false): EvidenceItem => ({
    kind,
    words: "",
    ...(isElsewhere ? { isElsewhere } : {}),
  });

  it("a seal alone is no test, and a test elsewhere none of these conditions", () => {
    expect(lackOf([items("predicted")])).toBe("no test or inspection yet");
    expect(lackOf([items("sealed")])).toBe("no test or inspection yet");
    expect(lackOf([items("sealed"), items("tested", true)])).toBe("no test under these conditions yet");
    expect(lackOf([items("tested", true), items("reconciled")])).toBeUndefined();
    expect(lackOf([items("inspected")])).toBeUndefined();
  });

  it("a seal of these conditions is told by its time and its hash", () => {
    const seals = [{ sha256: "abcdef0123", made: "2031-04-17T16:20:00Z", caseId: "duty" }];
    const answers = answersOf(prediction, { reconciliations: [], seals }, undefined, first.slice(0, 11));
    const serving = of(answers, "duty.open_within")?.checks.find(({ id }) => id === "opening-time");
    expect(serving?.evidence).toEqual([
      { kind: "sealed", words: "prediction sealed 2031-04-17T16:20:00Z, abcdef01" },
    ]);
    expect(serving?.open).toContain("no test or inspection yet");
  });
});
