/** `coldturn check`: what the valve file says, how it was read, and what follows from it, in a second. */
import { uncertainInputs } from "../dossier/index.js";
import type { Fault } from "../fault/index.js";
import { predict } from "../predict/index.js";
import { type Answer, answersOf } from "../question/index.js";
import { checkLines, questionLine, shortDefaultLines } from "./answerText.js";
import type { Command } from "./command.js";
import { faultsPage, noticeLines } from "./faultsPage.js";
import { openDossier, titleOf } from "./openDossier.js";
import {
  caseIn,
  caseOption,
  folderArgument,
  folderIn,
  requireWorkers,
  samplesIn,
  samplesOption,
  seedIn,
  seedOption,
  workersOption,
} from "./options.js";
import { type Page, paragraph, section } from "./page.js";
import { readingLines } from "./readingText.js";
import { standingEvidence } from "./standing.js";
import { answersStatus } from "./status.js";
import { tableLines } from "./table.js";

/** Enough for a verdict, few enough for an answer within a second. */
const usualSamples = 1000;

export const checkCommand: Command = {
  name: "check",
  summary: "read the valve file, say how it was read and which checks hold",
  details: [
    "Reads valve.yaml and parts/*.yaml and shows every fault with its line; how each uncertain value was read; which checks hold, are thin, fail or are not known; and what is missing, with the checks that wait for it.",
    "A field with a fault counts as not known; the other answers stand. A verdict rests on a band of a few samples: `coldturn predict` computes more, with pictures.",
  ],
  arguments: [folderArgument],
  options: [caseOption, samplesOption(usualSamples), seedOption, workersOption],
  examples: [
    { command: "coldturn check demo/petrel-oxygen-main", says: "The demo valve:" },
    {
      command: "coldturn check demo/petrel-oxygen-main --case nitrogen",
      says: "The same valve under the conditions of one of its cases:",
    },
  ],
  act: async (input, desk) => {
    const options = { seed: seedIn(input), samples: samplesIn(input, usualSamples), effectSamples: 0 };
    requireWorkers(input);
    const open = await openDossier(folderIn(input), caseIn(input));
    const { filled, caseId, faults } = open;
    const { evidence, notices: waiting } = await standingEvidence(open);
    const notices = [...open.notices, ...waiting];
    const prediction = await predict(filled.dossier, caseId, options, desk.run);
    const answers = answersOf(prediction, evidence);
    const readings = uncertainInputs(open.dossier).map(({ path, declared }) => ({
      path,
      written: declared.text,
      readAs: declared.readAs,
      origin: declared.origin,
    }));
    const result = {
      valve: open.dossier.valve.name ?? null,
      file: open.files.valve.path,
      case: caseId,
      model: prediction.model,
      options,
      notices,
      readings,
      defaults: filled.defaults,
      // The pictures are the business of `predict`.
      answers: answers.map(({ figures: _, ...answer }) => answer),
    };
    return {
      status: faults.length > 0 ? 2 : answersStatus(answers),
      result,
      faults,
      text: (page) =>
        [
          ...paragraph(page, titleOf(open)),
          ...faultCount(page, faults),
          ...section(page, "How uncertain values were read", readingLines(page, open)),
          ...section(
            page,
            "Filled in by the program (`coldturn predict` gives the reasons)",
            shortDefaultLines(page, filled.defaults),
          ),
          ...section(page, "Notices", noticeLines(page, notices)),
          "",
          ...answers.flatMap((answer) => answerSummary(page, answer)),
          ...section(page, "Not known", gapLines(page, answers)),
          ...(faults.length === 0 ? [] : ["", faultsPage(page, faults)]),
        ].join("\n"),
    };
  },
};

function faultCount(page: Page, faults: readonly Fault[]): readonly string[] {
  if (faults.length === 0) return [];
  const words =
    faults.length === 1 ? "One fault in the file, shown" : `${faults.length} faults in the files, shown`;
  return paragraph(page, `${words} at the end. A field with a fault counts as not known.`);
}

function answerSummary(page: Page, answer: Answer): readonly string[] {
  const isLast = answer.id === "stand";
  return [
    questionLine(page, answer),
    ...checkLines(page, answer.checks),
    ...(isLast ? paragraph(page, answer.sentence, "   ") : []),
  ];
}

/** Every missing field once, with the checks of all questions that wait for it. */
function gapLines(page: Page, answers: readonly Answer[]): readonly string[] {
  const names = new Map(answers.flatMap(({ checks }) => checks.map(({ id, name }) => [id, name])));
  const blocks = new Map<string, string[]>();
  for (const { gaps } of answers) {
    for (const gap of gaps) {
      const waiting = gap.blocks.map((id) => names.get(id) ?? id);
      blocks.set(gap.path, [...(blocks.get(gap.path) ?? []), ...waiting]);
    }
  }
  return tableLines(
    page,
    [],
    [...blocks].map(([path, waiting]) => [path, `for: ${[...new Set(waiting)].join(", ")}`]),
  );
}
