/** `coldturn sheet`: the go / no-go sheet of one case as one HTML file. */
import { join } from "node:path";
import { originalsOf } from "../evidence/index.js";
import {
  now,
  type OpenDossier,
  openDossier,
  readSealed,
  requireFolderOf,
  restsOn,
  type Standing,
  standingEvidence,
  titleOf,
  writeWhole,
} from "../host/index.js";
import { predictWithOwn } from "../predict/index.js";
import { answersOf } from "../question/index.js";
import { sheetHtml } from "../sheet/index.js";
import type { Command } from "./command.js";
import { faultCount, nominalAlone } from "./faultsPage.js";
import { folderArgument, hasOption, predictingIn, predictingOptions, textOption } from "./options.js";
import { paragraph } from "./page.js";
import { effectSamples, usualSamples } from "./predict.js";
import { answersStatus } from "./status.js";
import { verdictText } from "./verdictText.js";

export const sheetCommand: Command = {
  name: "sheet",
  summary: "write the go / no-go sheet as one HTML file",
  details: [
    "Writes verdicts, numbers, pictures, assumptions, sources, what tests have shown, open items, cautions and hashes into one HTML file that needs neither network nor script.",
    "The sheet lists; whether it goes on the stand is for the responsible people to say.",
  ],
  arguments: [folderArgument],
  options: [
    ...predictingOptions(usualSamples),
    {
      flags: "--out <file>",
      description:
        "file to write, in a folder that is there (default: sheets/<time>-<case>.html in the dossier)",
    },
    { flags: "--force", description: "overwrite the file if it is there" },
  ],
  examples: [
    {
      command: "coldturn sheet demo/petrel-oxygen-main --out petrel.html",
      says: "The sheet of the demo valve:",
    },
  ],
  act: async (input, desk) => {
    const { folder, caseId: asked, seed, samples } = predictingIn(input, usualSamples);
    const options = { seed, samples, effectSamples: effectSamples(samples) };
    const out = textOption(input, "out");
    if (out !== undefined) await requireFolderOf(out);
    const open = await openDossier(folder, asked);
    const { files, filled, caseId, faults } = open;
    const standing = await standingEvidence(open);
    const seals = await readSealed(files.folder);
    const { prediction, own } = await predictWithOwn(filled.dossier, caseId, options, desk.run);
    const answers = answersOf(prediction, standing.evidence, own);
    const printedAt = now();
    const html = sheetHtml({
      prediction,
      answers,
      defaults: filled.defaults,
      runs: sheetRuns(standing),
      seals: [...seals].sort((a, b) => Date.parse(a.made) - Date.parse(b.made)),
      files: sheetFiles(open, standing),
      printedAt,
      notices: [...open.notices, ...faults.map(faultNotice)],
    });
    const path = out ?? join(files.folder, "sheets", `${printedAt.replaceAll(":", "")}-${caseId}.html`);
    desk.signal.throwIfAborted();
    await writeWhole(path, html, hasOption(input, "force") ? "always" : "never");
    return {
      status: faults.length > 0 ? 2 : answersStatus(answers),
      faults,
      result: {
        path,
        valve: open.dossier.valve.name ?? null,
        case: caseId,
        model: prediction.model,
        printedAt,
        verdicts: answers.map(({ number, question, verdict }) => ({ number, question, verdict })),
      },
      text: (page) =>
        [
          ...paragraph(page, titleOf(open)),
          ...faultCount(page, faults),
          ...nominalAlone(page, samples),
          "",
          ...answers.map(
            ({ number, question, verdict }) =>
              `${verdictText(page, verdict)}  ${String(number).padStart(2)} ${question}`,
          ),
          "",
          `Wrote ${path}`,
        ].join("\n"),
    };
  },
};

function sheetRuns({ runs }: Standing) {
  const dateOf = ({ run: { record } }: Standing["runs"][number]) => record.date ?? record.imported;
  return [...runs]
    .sort((a, b) => Date.parse(dateOf(a)) - Date.parse(dateOf(b)))
    .map(({ run: { record }, finding, sealedFinding, notices }) => ({
      id: record.id,
      caseId: record.case,
      recorded: record.date,
      log: { name: `runs/${record.id}/${record.original.file}`, sha256: record.original.sha256 },
      reconciliations: finding === undefined ? [] : [finding.reconciliation],
      sealedFindings: sealedFinding === undefined ? [] : [sealedFinding],
      notices,
    }));
}

function sheetFiles({ files }: OpenDossier, { runs }: Standing) {
  return [
    ...restsOn(files),
    ...runs.flatMap(({ run: { record, file } }) => [
      { name: `runs/${record.id}/run.yaml`, sha256: file.sha256 },
      ...originalsOf(record).map(({ file: name, sha256 }) => ({ name: `runs/${record.id}/${name}`, sha256 })),
    ]),
  ];
}

/** A fault of the valve file as the sheet shows it: the field counts as not known there. */
function faultNotice({ code, where, found }: OpenDossier["faults"][number]) {
  return {
    code,
    text: `${found}; the field counts as not known`,
    ...(where.field === undefined ? {} : { field: where.field }),
  };
}
