import { writeFileSync } from "node:fs";
import { expect, it } from "vitest";
import { applyDefaults, readDossier } from "../../src/dossier/index.js";
import { notesOf, noteText } from "../../src/note/index.js";
import { OwnAnswers, predict, runBlock } from "../../src/predict/index.js";
import { answersOf } from "../../src/question/index.js";
import { textOf } from "../project/files.js";

it("dev", { timeout: 600_000 }, async () => {
  for (const caseId of (process.env.CASES ?? "duty").split(",")) {
    const { dossier } = readDossier({
      valve: { path: "valve.yaml", text: textOf("demo/petrel-oxygen-main/valve.yaml") },
    });
    const filled = applyDefaults(dossier, caseId);
    const options = { seed: 1, samples: 0, effectSamples: 0 };
    const prediction = await predict(filled.dossier, caseId, options, async (plan, blocks) =>
      blocks.map((block) => runBlock(plan, block)),
    );
    const own = new OwnAnswers(filled.dossier, caseId, options);
    const evidence = { reconciliations: [] };
    let t = performance.now();
    const answers = answersOf(prediction, evidence, own);
    console.log(caseId, "answers", performance.now() - t);
    t = performance.now();
    const notes = answers.map((a) => notesOf(a, { prediction, own, evidence, defaults: filled.defaults }));
    console.log("notes", performance.now() - t);
    writeFileSync(
      `/tmp/work/note9-${caseId}.md`,
      noteText(notes, { valve: "x", caseId, model: "m", file: "f", sha256: "s" }),
    );
    for (const q of notes)
      for (const n of q.notes) {
        if (n.disagreement) console.log("DISAGREE", n.check.id, n.check.name, n.disagreement);
        else if (n.check.kind === "known" && n.parts.length <= 1)
          console.log("nosteps", n.check.id, n.check.name);
      }
  }
  expect(1).toBe(1);
});
