/** What a search may try has something in it. */
import { expect, it } from "vitest";
import { isFaulty, readDossier } from "../../src/dossier/index.js";

const stages = (least: number, most: number) =>
  readDossier({
    valve: { path: "valve.yaml", text: `seek:\n  stages: { least: ${least}, most: ${most} }\n` },
  });

it("more stages at least than at most are a fault at their place, and neither is known", () => {
  const { dossier, faults } = stages(3, 2);
  expect(faults).toMatchObject([
    { code: "range-reversed", where: { file: "valve.yaml", line: 2, field: "seek.stages.least" } },
  ]);
  expect(isFaulty(dossier, "seek.stages.most")).toBe(true);
  expect(stages(2, 2).faults).toEqual([]);
});
