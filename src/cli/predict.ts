/** `coldturn predict`: the answers about one case, with pictures, drivers and everything that they rest on. */
import { answersOf } from "../question/index.js";
import { answerLines, defaultLines } from "./answerText.js";
import type { Command } from "./command.js";
import { faultsPage, noticeLines } from "./faultsPage.js";
import { openDossier, titleOf } from "./openDossier.js";
import {
  caseIn,
  caseOption,
  folderArgument,
  folderIn,
  samplesIn,
  samplesOption,
  seedIn,
  seedOption,
  workersIn,
  workersOption,
} from "./options.js";
import { paragraph, section } from "./page.js";
import { withWorkers } from "./predicting.js";
import { answersStatus } from "./status.js";

const usualSamples = 10_000;
/** Samples of the effects, as a share of those of the band. */
const effectShare = 0.0512;

/** The pictures on a terminal; the sheet has them all. */
const mainFigures = ["turning-opening", "opening-angle-opening"];

export const predictCommand: Command = {
  name: "predict",
  summary: "answer the questions about the valve, with band, pictures and drivers",
  details: [
    "Predicts one case: whether the valve passes the flow, can be turned, opens in time, and so on; each answer with its band from the declared uncertainties, the probability of keeping its limit, what drives it, the checks with their limits, what is not known, and cautions.",
    "The same dossier and seed give the same numbers, whatever the number of workers.",
  ],
  arguments: [folderArgument],
  options: [caseOption, samplesOption(usualSamples), seedOption, workersOption],
  examples: [
    { command: "coldturn predict demo/petrel-oxygen-main", says: "The demo valve under its duty:" },
    {
      command: "coldturn predict demo/petrel-oxygen-main --case nitrogen --json > nitrogen.json",
      says: "One of its cases, as a record for other programs:",
    },
  ],
  act: async (input, desk) => {
    const samples = samplesIn(input, usualSamples);
    const options = { seed: seedIn(input), samples, effectSamples: Math.round(effectShare * samples) };
    return await withWorkers(workersIn(input), desk, async (predictCase) => {
      const open = await openDossier(folderIn(input), caseIn(input));
      const { filled, caseId, faults, notices } = open;
      const prediction = await predictCase(filled.dossier, caseId, options);
      const answers = answersOf(prediction);
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
            ...section(page, "Filled in by the program", defaultLines(page, filled.defaults)),
            ...section(page, "Notices", noticeLines(page, notices)),
            ...answers.flatMap((answer) => ["", ...answerLines(page, answer, mainFigures)]),
            ...(faults.length === 0 ? [] : ["", faultsPage(page, faults)]),
          ].join("\n"),
      };
    });
  },
};
