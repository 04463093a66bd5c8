/**
 * What the checks declare against the two checklists of data/checklists: every id is one of the list, every
 * consideration is served, a failure mode that nothing computes says what stands in its place.
 */
import { beforeAll, describe, expect, it } from "vitest";
import { z } from "zod";
import designFile from "../../data/checklists/design-checks.json" with { type: "json" };
import failureFile from "../../data/checklists/failure-modes.json" with { type: "json" };
import hazards from "../../data/hazards/hazards.json" with { type: "json" };
import { readDossier } from "../../src/dossier/index.js";
import { predict, runBlock } from "../../src/predict/index.js";
import { type Answer, answersOf, coverageOf } from "../../src/question/index.js";
import { coveragePage } from "../../tools/coverage.js";
import { textOf } from "../project/files.js";

const sentence = z.string().regex(/^[A-Z].*\.$/);
const name = z.string().regex(/^[A-Z][^.]+$/);
const id = z.string().regex(/^[a-z]+(-[a-z]+)*$/);
const designForm = z.strictObject({
  format: z.literal("design-checks/1"),
  note: sentence,
  checks: z.record(
    id,
    z.strictObject({ topic: z.string().min(4), name, criterion: sentence, source: z.string().min(7) }),
  ),
});
const instead = z.discriminatedUnion("kind", [
  z.strictObject({ kind: z.literal("hazard row"), check: id }),
  z.strictObject({ kind: z.literal("caution"), question: id }),
  z.strictObject({ kind: z.literal("own row") }),
]);
const failureForm = z.strictObject({
  format: z.literal("failure-modes/1"),
  note: sentence,
  modes: z.record(
    id,
    z.strictObject({
      name,
      mechanism: sentence,
      source: z.string().min(7),
      leaves: sentence.optional(),
      instead: z.array(instead).min(1).optional(),
    }),
  ),
});

let answers: readonly Answer[] = [];
beforeAll(async () => {
  const { dossier } = readDossier({ valve: { path: "valve.yaml", text: "coldturn: 1\n" } });
  const options = { seed: 1, samples: 0, effectSamples: 0 };
  answers = answersOf(
    await predict(dossier, "duty", options, async (plan, blocks) =>
      blocks.map((block) => runBlock(plan, block)),
    ),
  );
});

describe("the checklists", () => {
  it("have their form, with 72 considerations and 37 failure modes", () => {
    expect(designForm.safeParse(designFile).error?.issues ?? []).toEqual([]);
    expect(failureForm.safeParse(failureFile).error?.issues ?? []).toEqual([]);
    expect(Object.keys(designFile.checks)).toHaveLength(72);
    expect(Object.keys(failureFile.modes)).toHaveLength(37);
  });

  it("name hazard rows and cautions that there are", () => {
    const modes = failureForm.parse(failureFile).modes;
    const beside = Object.values(modes).flatMap((mode) => mode.instead ?? []);
    const rows = new Set(hazards.hazards.flatMap(({ checks }) => checks));
    for (const one of beside) {
      if (one.kind === "hazard row") expect(rows).toContain(one.check);
      if (one.kind === "caution")
        expect(
          answers.find((answer) => answer.id === one.question)?.cautions.length,
          one.question,
        ).toBeGreaterThan(0);
    }
  });
});

describe("what the checks of an empty dossier declare", () => {
  it("is on the lists", () => {
    for (const { id: check, designChecks, failureModes } of answers.flatMap(({ checks }) => checks)) {
      for (const one of designChecks) expect(Object.keys(designFile.checks), check).toContain(one);
      for (const one of failureModes) expect(Object.keys(failureFile.modes), check).toContain(one);
    }
  });

  it("serves each of the 72, not known with what is needed", () => {
    const { design } = coverageOf(answers);
    expect(design.filter(({ servedBy }) => servedBy.length === 0).map((row) => row.id)).toEqual([]);
    for (const { servedBy } of design) for (const { verdict } of servedBy) expect(verdict).toBe("not known");
  });

  it("leaves no failure mode without a check or a word on what stands in its place", () => {
    const { failures } = coverageOf(answers);
    expect(failures).toHaveLength(37);
    const gaps = failures.filter(({ servedBy }) => servedBy.length === 0);
    expect(gaps.map((row) => row.id)).toEqual([
      "seat-blowout",
      "uncommanded",
      "flutter",
      "corrosion",
      "leak-mix",
    ]);
    for (const gap of gaps) expect(gap.instead?.length).toBeGreaterThan(0);
  });

  it("makes docs/coverage.md; `node dist/tools/docs.js` writes it anew", async () => {
    expect(textOf("docs/coverage.md")).toBe(await coveragePage());
  });
});
