/** What every answer keeps, whatever the dossier: form, words that are never printed, pictures that can be drawn. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { readDossier } from "../../src/dossier/index.js";
import { drawSvg, drawText, figureCsv } from "../../src/picture/index.js";
import { predict, runBlock } from "../../src/predict/index.js";
import { readUnit, toSi } from "../../src/quantity/index.js";
import { type Answer, answersOf, checkWords } from "../../src/question/index.js";
import { filesIn, root, textOf } from "../project/files.js";
import { answersTo, checkNamed } from "./answering.js";

const petrel = textOf("demo/petrel-oxygen-main/valve.yaml");
const claims = /\bsafe\b|\bcertified\b|oxygen[- ]compatible|\bqualified\b|\bcompl(y|ies) with\b/i;

const asked: { readonly name: string; readonly ask: () => Promise<readonly Answer[]> }[] = [
  { name: "the duty of the demo", ask: () => answersTo({ text: petrel, samples: 300, effectSamples: 8 }) },
  ...["dry-ambient", "pressurised-ambient", "nitrogen", "nitrogen-pressurised"].map((caseId) => ({
    name: `the demo's case ${caseId}`,
    ask: () => answersTo({ text: petrel, caseId, samples: 100 }),
  })),
  { name: "a valve without uncertainty", ask: () => answersTo({ samples: 50 }) },
  { name: "nominal values alone", ask: () => answersTo({ samples: 0 }) },
  { name: "a valve that stalls", ask: () => answersTo({ edits: { "drive.driver.current_limit": "2 A" } }) },
  { name: "no voltage", ask: () => answersTo({ edits: { "drive.supply.open_circuit_voltage": "0 V" } }) },
  { name: "an empty file", ask: emptyAnswers },
];

async function emptyAnswers(): Promise<readonly Answer[]> {
  const { dossier } = readDossier({ valve: { path: "valve.yaml", text: "coldturn: 1\n" } });
  const options = { seed: 1, samples: 20, effectSamples: 0 };
  return answersOf(
    await predict(dossier, "duty", options, async (plan, blocks) =>
      blocks.map((block) => runBlock(plan, block)),
    ),
  );
}

/** Every text in a record, however deep. */
function textsIn(value: unknown): readonly string[] {
  if (typeof value === "string") return [value];
  if (ArrayBuffer.isView(value) || typeof value !== "object" || value === null) return [];
  return Object.values(value).flatMap(textsIn);
}

describe.each(asked)("$name", ({ ask }) => {
  let answers: readonly Answer[] = [];
  beforeAll(async () => {
    answers = await ask();
  });

  it("answers the twelve questions in order, each with a sentence and its cautions", () => {
    expect(answers.map(({ number }) => number)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]);
    expect(new Set(answers.map(({ id }) => id)).size).toBe(12);
    for (const { sentence, cautions, question } of answers) {
      expect(sentence).toMatch(/^[A-Z].*\.$/s);
      expect(question).toMatch(/\?$/);
      expect(cautions.length).toBeGreaterThan(0);
    }
  });

  it("prints no claim, and no number that is none", () => {
    for (const text of textsIn(answers)) {
      expect(text).not.toMatch(claims);
      expect(text).not.toMatch(/\bNaN\b|\bundefined\b|\binfinit/i);
    }
  });

  it("has checks that all print, whose numbers are numbers", () => {
    for (const check of answers.flatMap(({ checks }) => checks)) {
      expect(checkWords(check).length).toBeGreaterThan(0);
      expect(toSi(readUnit(check.siUnit ?? "none given", check.dimension), 1)).toBe(1);
      if (check.kind !== "known") continue;
      for (const number of [check.value, check.margin, check.band?.low ?? 0, check.band?.high ?? 0])
        expect(Number.isFinite(number)).toBe(true);
    }
  });

  it("has pictures that can be drawn, with ids that are unique and words that say what they show", () => {
    const figures = answers.flatMap((answer) => answer.figures);
    expect(new Set(figures.map(({ id }) => id)).size).toBe(figures.length);
    for (const figure of figures) {
      expect(drawSvg(figure, { width: 480 })).toContain("</svg>");
      expect(
        drawText(figure, { columns: 80, rows: 16, unicode: false, colour: false }).length,
      ).toBeGreaterThan(0);
      expect(figureCsv(figure)).toContain("\n");
      expect(figure.words).toMatch(/^[A-Z].*\.$/s);
    }
  });

  it("has tables whose rows fit their columns", () => {
    for (const { columns, rows } of answers.flatMap(({ tables }) => tables))
      for (const row of rows) expect(row.length).toBe(columns.length);
  });

  it("never says that the valve may go on the stand", () => {
    const last = answers.at(-1);
    expect(last?.verdict).not.toBe("holds");
    expect(last?.sentence).toContain("for the responsible people to say");
  });
});

describe("what is not known", () => {
  it("an empty file makes every check not known, with something to enter for each", async () => {
    const answers = await emptyAnswers();
    const checks = answers.flatMap((answer) => answer.checks);
    expect(checks.filter(({ verdict }) => verdict !== "not known").map(({ id }) => id)).toEqual([]);
    for (const check of checks) expect(check.kind === "unknown" && check.needs.length).toBeGreaterThan(0);
  });

  it("without a band the nominal values decide, and the check says so", async () => {
    const check = checkNamed(await answersTo({ samples: 0 }), "opening-time");
    expect(check.kind === "known" && check.probability).toBeUndefined();
    expect(check.assumptions.join(" ")).toContain("No band was computed");
  });
});

describe("what drives an answer", () => {
  it("question 3: total effects, largest first, labelled as the fields are", async () => {
    const answers = await answersTo({ text: petrel, samples: 0, effectSamples: 64 });
    const drivers = answers.find(({ id }) => id === "opening")?.drivers ?? [];
    expect(drivers.length).toBeGreaterThan(2);
    expect(drivers.map(({ share }) => share)).toEqual(
      drivers.map(({ share }) => share).toSorted((a, b) => b - a),
    );
    expect(drivers[0]?.words).toMatch(
      /^takes part in \d+(\.\d+)? % of the variance of the opening rate; \d+(\.\d+)? % would go if it alone were known$/,
    );
  });

  it("questions 1 and 2: an input that alone decides goes with the whole spread", async () => {
    const answers = await answersTo({
      edits: { "valve.packing.torque": "1 N m +/- 0.2 N m", "duty.mass_flow": "5 kg/s +/- 0.1 kg/s" },
    });
    const turning = answers.find(({ id }) => id === "turning")?.drivers ?? [];
    expect(turning.map(({ path }) => path)).toEqual(["valve.packing.torque"]);
    // The probability of an input stands in for its rank: they differ by 1/n of 200 samples.
    expect(turning[0]?.share).toBeCloseTo(1, 3);
    expect(turning[0]?.words).toContain("the margin of breakaway falls with it");
  });
});

/**
 * Checks that only some evidence brings: a file edited after its test (test/cli/importAndReconcile.test.ts),
 * repeated strokes (test/question/repeated.test.ts); and those that only a declared wish brings: a schedule
 * (test/question/schedule.test.ts, which holds their rows).
 */
const bySomeEvidence = new Set([
  "`vv-present`",
  "`series-tolerance`",
  "`schedule-angle-error`",
  "`schedule-flow-error`",
]);

describe("docs/checks.md", () => {
  const page = textOf("docs/checks.md");
  const rows = page
    .split("\n")
    .filter((line) => /^\| `[a-z-]+` \| \d+ \|/.test(line))
    .map((line) => line.split(/(?<!\\)\|/).map((cell) => cell.trim().replaceAll("\\", "")));

  it("has one row for each check, with its question, name, equation and source, and no other", async () => {
    const answers = await emptyAnswers();
    const expected = answers.flatMap(({ number, checks }) =>
      checks.map(({ id, name, equation, source }) => [`\`${id}\``, `${number}`, name, equation, source]),
    );
    expect(
      rows
        .filter(([, id]) => !bySomeEvidence.has(id ?? ""))
        .map(([, id, number, name, equation, , source]) => [id, number, name, equation, source]),
    ).toEqual(expected);
  });

  it("is led to from the folder it describes", () => {
    expect(filesIn(["docs"], /\.md$/)).toContain("docs/checks.md");
    expect(readFileSync(join(root, "src/question/question.ts"), "utf8")).toContain("docs/checks.md");
  });
});
