/** `coldturn hazards`: the register of hazards, made from the checks and kept in the dossier. */
import { editHazards, hazardText, readHazards } from "../dossier/index.js";
import { Refusal, refuse } from "../fault/index.js";
import {
  hazardsPath,
  now,
  openDossier,
  readHazardsFile,
  sha256,
  standingEvidence,
  titleOf,
  writeWhole,
} from "../host/index.js";
import { predictWithOwn } from "../predict/index.js";
import { answersOf, type Hazard, type Register, registerOf } from "../question/index.js";
import type { Command } from "./command.js";
import { folderArgument, predictingIn, predictingOptions, textOption } from "./options.js";
import { type Page, paragraph, section } from "./page.js";
import { tableLines } from "./table.js";
import { withNotices } from "./withNotices.js";

/** As `check` draws: verdicts, not bands, go into the register. */
const usualSamples = 512;

export const hazardsCommand: Command = {
  name: "hazards",
  summary: "make the register of hazards from the checks, and keep it with every change and its reason",
  details: [
    "Writes hazards.yaml into the dossier: for each check of questions 1 to 10 a row with cause, effect, control, evidence and who verifies it. The rows are a first wording, to be edited by hand; rows of your own can be added.",
    "Called again it keeps every edit and every comment, adds rows for checks that are new, and marks as stale the rows whose check says something else since somebody judged them. A change of a row without a new line in its history (date, who, what, why) is refused, and nothing is written.",
    "Question 12 and the sheet show the register and what of it is open. It accepts no risk: that is for the responsible people to do.",
  ],
  arguments: [folderArgument],
  options: predictingOptions(usualSamples),
  examples: [
    { command: "coldturn hazards demo/petrel-oxygen-main", says: "The register of the demo valve:" },
  ],
  act: async (input, desk) => {
    const { folder, caseId: asked, seed, samples } = predictingIn(input, usualSamples);
    const { files } = await openDossier(folder, asked);
    const path = hazardsPath(files.folder);
    const stored = await readHazardsFile(files.folder);
    const file = stored === undefined ? undefined : readHazards(stored);
    if (file !== undefined && file.faults.length > 0) throw new Refusal(file.faults);
    const caseId = textOption(input, "case") === undefined ? (file?.caseId ?? asked) : asked;
    if (file !== undefined && file.caseId !== caseId) refuseOtherCase(file.caseId, caseId);
    const open = await openDossier(folder, caseId);
    const options = { seed, samples, effectSamples: 0 };
    const { prediction, own } = await predictWithOwn(open.filled.dossier, caseId, options, desk.run);
    const { evidence } = await standingEvidence(open);
    const answers = answersOf(prediction, evidence, own);
    const register = registerOf(file, answers, now().slice(0, 10), sha256);
    if (register.faults.length > 0) throw new Refusal(register.faults);
    desk.signal.throwIfAborted();
    const text =
      file === undefined
        ? hazardText(caseId, register.added, register.made)
        : editHazards(file, register.edits, register.added);
    if (stored === undefined) await writeWhole(path, text, "never");
    else if (text !== stored.text) await writeWhole(path, text, { sha256: stored.sha256 });
    const { hazards } = register;
    return withNotices(open, {
      status: open.faults.length > 0 ? 2 : hazards.some(isOpen) ? 1 : 0,
      faults: open.faults,
      result: {
        valve: open.dossier.valve.name ?? null,
        path,
        case: caseId,
        model: prediction.model,
        hazards,
      },
      text: (page) => pageOf(page, `${titleOf(open)}.`, path, register),
    });
  },
};

function isOpen({ open }: Hazard): boolean {
  return open.length > 0;
}

function refuseOtherCase(kept: string, asked: string): never {
  return refuse(
    "hazards-other-case",
    `the register in this dossier is of ${kept}, not of ${asked}`,
    "A register holds the checks of one set of conditions: those of another would make all its rows stale.",
    `Leave --case out, or rename hazards.yaml to begin a register of ${asked}`,
  );
}

function pageOf(page: Page, title: string, path: string, { hazards, added, edits }: Register): string {
  const count = (is: (hazard: Hazard) => boolean) => hazards.filter(is).length;
  const rows = hazards.filter(isOpen).map(({ name, open }) => [name, open.join("; ")]);
  return [
    ...paragraph(page, title),
    ...paragraph(
      page,
      `${hazards.length} hazards: ${added.length} new, ${count(({ isStale }) => isStale)} stale, ${count(isOpen)} open. ${edits.length === 0 && added.length === 0 ? `${path} stays as it is` : `Wrote ${path}`}.`,
    ),
    ...section(page, "Open", tableLines(page, ["hazard", "what is open"], rows)),
  ].join("\n");
}
