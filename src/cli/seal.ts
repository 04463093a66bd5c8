/** `coldturn seal`: a prediction that can no longer be edited, made before the test it will be held against. */
import { sealPrediction } from "../evidence/index.js";
import {
  clockNotices,
  now,
  openDossier,
  refuseFaulty,
  restsOn,
  sha256,
  titleOf,
  writeSealed,
} from "../host/index.js";
import { predict } from "../predict/index.js";
import type { Command } from "./command.js";
import { folderArgument, predictingIn, predictingOptions } from "./options.js";
import { type Page, paragraph, shellWord, typed } from "./page.js";
import { definitionWords, milliseconds } from "./timeText.js";
import { withNotices } from "./withNotices.js";

const usualSamples = 10_000;

export const sealCommand: Command = {
  name: "seal",
  summary: "keep a prediction under a seal, before the test it will be held against",
  details: [
    "Predicts one case and writes the result to predictions/, with every input as it was read, the model version, the seed, the band and the SHA-256 of the files it was made from. The SHA-256 of the whole is its seal: a changed byte breaks it.",
    "`coldturn reconcile` holds a run against the newest prediction of its case that was sealed before the test.",
  ],
  arguments: [folderArgument],
  options: predictingOptions(usualSamples),
  examples: [
    {
      command: "coldturn seal demo/petrel-oxygen-main --case nitrogen-pressurised",
      says: "Before the test with liquid nitrogen under pressure:",
    },
  ],
  act: async (input, desk) => {
    const { folder: given, caseId: asked, seed, samples } = predictingIn(input, usualSamples);
    const open = await openDossier(given, asked);
    refuseFaulty(open);
    const { files, filled, caseId } = open;
    const notices = await clockNotices(files.folder);
    const prediction = await predict(filled.dossier, caseId, { seed, samples, effectSamples: 0 }, desk.run);
    const sealed = sealPrediction(prediction, now(), restsOn(files), sha256);
    desk.signal.throwIfAborted();
    const path = await writeSealed(files.folder, sealed);
    const outcome = {
      status: 0 as const,
      result: { path, sealed },
      text: (page: Page) => {
        const { definition } = sealed;
        const folder = shellWord(files.folder);
        const time = sealed.opening.times_s[definition];
        const band = sealed.opening.band_s[definition];
        const predicted =
          time === undefined || band === undefined
            ? "Predicted is that it does not open."
            : `Predicted is an opening in ${milliseconds(time)} ${definitionWords(definition)}, ${100 * sealed.coverage} % between ${milliseconds(band.low)} and ${milliseconds(band.high)}.`;
        return [
          ...paragraph(page, `${titleOf(open)}.`),
          ...paragraph(page, predicted),
          "",
          `Sealed ${sealed.made}`,
          `  ${path}`,
          `  SHA-256 ${sealed.sha256}`,
          "",
          ...paragraph(
            page,
            "Give the hash to somebody else before the test, if its age shall be beyond doubt. After the test this holds the run against the prediction:",
          ),
          typed(`coldturn import ${folder} <log> --case ${caseId} --date <when>`),
          typed(`coldturn reconcile ${folder}`),
        ].join("\n");
      },
    };
    return withNotices(open, outcome, notices);
  },
};
