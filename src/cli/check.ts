/** `coldturn check`: what the valve file says, how it was read, and what follows from it, in a second. */
import { uncertainInputs } from "../dossier/index.js";
import { openDossier, standingEvidence, titleOf } from "../host/index.js";
import { predictWithOwn } from "../predict/index.js";
import { type Answer, answersOf, firstAnswers } from "../question/index.js";
import { checkLines, questionLine, shortDefaultLines } from "./answerText.js";
import type { Command } from "./command.js";
import { faultCount, nominalAlone, noticeLines } from "./faultsPage.js";
import { nextLines, waitingLines } from "./gapText.js";
import { folderArgument, hasOption, predictingIn, predictingOptions } from "./options.js";
import { type Page, paragraph, section } from "./page.js";
import { readingLines } from "./readingText.js";
import { answersStatus } from "./status.js";

/** Enough for a verdict, few enough for an answer within a second. */
const usualSamples = 512;

export const checkCommand: Command = {
  name: "check",
  summary: "read the valve file, say how it was read and which checks hold",
  details: [
    "Reads valve.yaml and parts/*.yaml and shows every fault with its line; how each uncertain value was read; which checks hold, are thin, fail or are not known; and what is missing, with the checks that wait for it.",
    "A field with a fault counts as not known; the other answers stand. A verdict rests on a band of a few samples: `coldturn predict` computes more, with pictures.",
  ],
  arguments: [folderArgument],
  options: [
    ...predictingOptions(usualSamples),
    { flags: "--all", description: "list every missing input with the checks that wait for it" },
  ],
  examples: [
    { command: "coldturn check demo/petrel-oxygen-main", says: "The demo valve:" },
    {
      command: "coldturn check demo/petrel-oxygen-main --case nitrogen",
      says: "The same valve under the conditions of one of its cases:",
    },
  ],
  act: async (input, desk) => {
    const { folder, caseId: asked, seed, samples } = predictingIn(input, usualSamples);
    const options = { seed, samples, effectSamples: 0 };
    const isWhole = hasOption(input, "all");
    const open = await openDossier(folder, asked);
    const { filled, caseId } = open;
    const { evidence, notices: waiting } = await standingEvidence(open);
    const faults = [...open.faults, ...(evidence.stand?.faults ?? [])];
    const notices = [...open.notices, ...waiting];
    const head = (page: Page) => [
      ...paragraph(page, titleOf(open)),
      ...faultCount(page, faults),
      ...nominalAlone(page, samples),
      ...section(page, "How uncertain values were read", readingLines(page, open)),
      ...section(
        page,
        "Filled in by the program (`coldturn predict` gives them whole, with the reasons)",
        shortDefaultLines(page, filled.defaults),
      ),
      ...section(page, "Notices", noticeLines(page, notices)),
      "",
    ];
    const summaries = (page: Page, of: readonly Answer[]) =>
      of.flatMap((answer) => answerSummary(page, answer));
    let begun: readonly Answer[] = [];
    let isBegun = false;
    const { prediction, own } = await predictWithOwn(filled.dossier, caseId, options, desk.run, {
      pause: desk.pause,
      onStrokes: (strokes, ahead) => {
        begun = firstAnswers(strokes, evidence, ahead);
        isBegun = desk.early((page) => [...head(page), ...summaries(page, begun)].join("\n"));
      },
    });
    const answers = answersOf(prediction, evidence, own, begun);
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
          ...(isBegun
            ? summaries(page, answers.slice(begun.length))
            : [...head(page), ...summaries(page, answers)]),
          ...(isWhole
            ? section(page, "Not known, and the checks that wait for it", waitingLines(page, answers))
            : section(page, "Not known: what to enter next, fewest inputs first", nextLines(page, answers))),
        ].join("\n"),
    };
  },
};

function answerSummary(page: Page, answer: Answer): readonly string[] {
  const isLast = answer.id === "stand";
  return [
    questionLine(page, answer),
    ...checkLines(page, answer.checks),
    ...(isLast ? paragraph(page, answer.sentence, "   ") : []),
    // What may ignite is never shown without who decides on it.
    ...(answer.id === "oxygen"
      ? answer.cautions.flatMap((caution) => paragraph(page, caution, "   ! "))
      : []),
  ];
}
