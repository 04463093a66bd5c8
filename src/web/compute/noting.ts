/** The calculation note of one check as a page of its own; loaded when it is first asked for. */
import { notesOf } from "../../note/index.js";
import { OwnAnswers, predict, runBlock } from "../../predict/index.js";
import type { Evidence } from "../../question/index.js";
import { noteHtml } from "../../sheet/index.js";
import { readTexts } from "./answering.js";
import type { NoteWish } from "./protocol.js";
import { sha256 } from "./sha256.js";

const options = { seed: 1, samples: 0, effectSamples: 0 } as const;

/** @returns a whole HTML document. Refuses texts that cannot be read */
export async function notePage({ texts, caseId, answer }: NoteWish, evidence: Evidence): Promise<string> {
  const { given, filled, reading } = readTexts({ texts, caseId });
  const prediction = await predict(filled, caseId, options, async (plan, blocks) =>
    blocks.map((block) => runBlock(plan, block)),
  );
  const own = new OwnAnswers(filled, caseId, options);
  const note = notesOf(answer, { prediction, own, evidence, defaults: reading.defaults });
  return noteHtml([note], {
    valve: given.valve.name ?? "valve without a name",
    caseId,
    model: prediction.model,
    file: "valve.yaml",
    sha256: sha256(texts["valve.yaml"] ?? ""),
  });
}
