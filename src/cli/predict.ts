/** `coldturn predict`: the answers about one case, with pictures, drivers and everything that they rest on. */

import { openDossier, queuedRunner, standingEvidence, titleOf } from "../host/index.js";
import { defaultOptions, predictWithOwn } from "../predict/index.js";
import { type Answer, answersOf, decisionsTitle, sheetsTitle, waiverTitle } from "../question/index.js";
import { answerLines, defaultLines, type Shown } from "./answerText.js";
import type { Command } from "./command.js";
import { faultCount, nominalAlone, noticeLines } from "./faultsPage.js";
import {
  folderArgument,
  hasOption,
  onOption,
  predictingIn,
  predictingOptions,
  textOption,
} from "./options.js";
import { paragraph, section } from "./page.js";
import { requirementLines } from "./requirementText.js";
import { answersStatus } from "./status.js";
import { sweepOptions } from "./sweepNews.js";

export const usualSamples = defaultOptions.samples;

/** Base samples of the effects for a band of so many samples: as many in proportion as are usual. */
export function effectSamples(samples: number): number {
  return Math.round((samples * defaultOptions.effectSamples) / defaultOptions.samples);
}

/** The pictures on a terminal; the sheet has them all. */
const mainFigures = ["turning-opening", "opening-angle-opening"];

/** Short tables of question 12; requirements and hazards are long, the checks stand under their questions. */
const standTitles = [waiverTitle, sheetsTitle, decisionsTitle];

/** What is printed of an answer: of tests the findings (`coldturn reconcile` has the rest), of the stand the verdicts. */
function shownOf({ id, tables }: Answer, isExplained: boolean): Shown {
  return {
    isExplained,
    isDrawn: (figureId) => mainFigures.includes(figureId),
    isListed: (table) =>
      id !== "test" && (id !== "stand" || table === tables[0] || standTitles.includes(table.title)),
  };
}

export const predictCommand: Command = {
  name: "predict",
  summary: "answer the questions about the valve, with band, pictures and drivers",
  details: [
    "Predicts one case: whether the valve passes the flow, can be turned, opens in time, and so on; each answer with its band from the declared uncertainties, the probability of meeting its limit, what drives it, the checks with their limits, what is not known, and cautions.",
    "The same dossier and seed give the same numbers, whatever the number of workers.",
  ],
  arguments: [folderArgument],
  options: [
    ...predictingOptions(usualSamples),
    onOption,
    {
      flags: "--requirements",
      description:
        "at the end each requirement with its checks, the evidence behind them, what is open and who owes it",
    },
    {
      flags: "--why",
      description: "below each check its equation, its source and what it takes for granted",
    },
  ],
  examples: [
    { command: "coldturn predict demo/petrel-oxygen-main", says: "The demo valve under its duty:" },
    {
      command: "coldturn predict demo/petrel-oxygen-main --why",
      says: "With equation, source and assumptions of each check:",
    },
    {
      command: "coldturn predict demo/petrel-oxygen-main --case nitrogen --json > nitrogen.json",
      says: "One of its cases, as a record for other programs:",
    },
  ],
  act: async (input, desk) => {
    const { folder, caseId: asked, seed, samples } = predictingIn(input, usualSamples);
    const options = { seed, samples, effectSamples: effectSamples(samples) };
    const isExplained = hasOption(input, "why");
    const isAsked = hasOption(input, "requirements");
    const open = await openDossier(folder, asked);
    const { filled, caseId, faults } = open;
    const { evidence, notices: waiting } = await standingEvidence(open);
    const notices = [...open.notices, ...waiting];
    const on = textOption(input, "on");
    const run = on === undefined ? desk.run : queuedRunner(on, open, sweepOptions(desk));
    const { prediction, own } = await predictWithOwn(filled.dossier, caseId, options, run);
    const answers = answersOf(prediction, evidence, own);
    return {
      status: faults.length > 0 ? 2 : answersStatus(answers),
      faults,
      result: {
        valve: open.dossier.valve.name ?? null,
        file: open.files.valve.path,
        case: caseId,
        model: prediction.model,
        options,
        definition: prediction.definition,
        notices,
        defaults: filled.defaults,
        answers,
      },
      text: (page) =>
        [
          ...paragraph(page, titleOf(open)),
          ...paragraph(
            page,
            `model ${prediction.model}, ${samples} samples, seed ${options.seed}; file ${open.files.valve.path}`,
          ),
          ...faultCount(page, faults),
          ...nominalAlone(page, samples),
          ...section(page, "Filled in by the program", defaultLines(page, filled.defaults)),
          ...section(page, "Notices", noticeLines(page, notices)),
          ...answers.flatMap((answer) => ["", ...answerLines(page, answer, shownOf(answer, isExplained))]),
          ...(isAsked ? requirementLines(page, answers) : []),
        ].join("\n"),
    };
  },
};
