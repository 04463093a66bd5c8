/** `coldturn sheet`: the go / no-go sheet of one case, as HTML and PDF; sheets held against the dossier and each other. */
import { basename, join } from "node:path";
import { type Notice, refuse } from "../fault/index.js";
import {
  now,
  type OpenDossier,
  openDossier,
  printPdf,
  readSealed,
  requireFolderOf,
  type Standing,
  sheetFiles,
  standingEvidence,
  titleOf,
  writeWhole,
} from "../host/index.js";
import { predictWithOwn } from "../predict/index.js";
import { answersOf } from "../question/index.js";
import { type SheetContent, sheetHtml, sheetPrintSource } from "../sheet/index.js";
import type { Command, Input } from "./command.js";
import { faultCount, nominalAlone } from "./faultsPage.js";
import {
  folderArgument,
  folderIn,
  hasOption,
  isPdf,
  predictingIn,
  predictingOptions,
  textOption,
} from "./options.js";
import { paragraph } from "./page.js";
import { effectSamples, usualSamples } from "./predict.js";
import { comparedSheets, verifiedSheet } from "./sheetHeld.js";
import { answersStatus } from "./status.js";
import { verdictText } from "./verdictText.js";

const formats = ["html", "pdf", "both"] as const;
type Format = (typeof formats)[number];

export const sheetCommand: Command = {
  name: "sheet",
  summary: "write the go / no-go sheet as HTML or PDF, and hold sheets against the dossier",
  details: [
    "Writes requirements, verdicts, numbers, pictures, assumptions, sources, what tests have shown, waivers, open items, cautions and hashes into one HTML file that needs neither network nor script, or into a PDF with the same words.",
    "The same dossier gives the same bytes: a sheet bears no instant of printing, but the day for which it was judged what has expired. --day prints that of another day again.",
    "--verify says which files have changed, are missing or are new since a sheet was printed; --compare says what differs between two sheets. Both take HTML and PDF.",
    "The sheet lists; whether it goes on the stand is for the responsible people to say.",
  ],
  arguments: [
    { ...folderArgument, description: `${folderArgument.description}; with --compare the second sheet` },
  ],
  options: [
    ...predictingOptions(usualSamples),
    {
      flags: "--out <file>",
      description:
        "file to write, .html or .pdf, in a folder that is there (default: sheets/<time>-<case> in the dossier)",
    },
    {
      flags: "--format <format>",
      description: "html, pdf or both (default: by the ending of --out, else html)",
    },
    {
      flags: "--day <date>",
      description: "the day for which it is judged what has expired (default: today)",
    },
    {
      flags: "--verify <sheet>",
      description: "write nothing; say what has changed since this sheet was printed",
    },
    {
      flags: "--compare <sheet>",
      description: "write nothing; hold this sheet against the one named behind it",
    },
    { flags: "--force", description: "overwrite the file if it is there" },
  ],
  examples: [
    {
      command: "coldturn sheet demo/petrel-oxygen-main --out petrel.html",
      says: "The sheet of the demo valve:",
    },
    {
      command: "coldturn sheet demo/petrel-oxygen-main --verify petrel.html",
      says: "Whether it still says what the files say:",
    },
  ],
  act: async (input, desk) => {
    const first = textOption(input, "compare");
    if (first !== undefined) return await comparedSheets(first, folderIn(input));
    const old = textOption(input, "verify");
    if (old !== undefined) return await verifiedSheet(old, folderIn(input));
    const { folder, caseId: asked, seed, samples } = predictingIn(input, usualSamples);
    const options = { seed, samples, effectSamples: effectSamples(samples) };
    const out = textOption(input, "out");
    const format = formatIn(input, out);
    const day = dayIn(input);
    if (out !== undefined) await requireFolderOf(out);
    const open = await openDossier(folder, asked);
    const { files, filled, caseId } = open;
    const standing = await standingEvidence(open, day);
    const standFaults = standing.evidence.stand?.faults ?? [];
    const faults = [...open.faults, ...standFaults];
    // A sheet speaks of no other sheet: else each would outdate the one before.
    const evidence = { ...standing.evidence, sheets: [] };
    const seals = await readSealed(files.folder);
    const { prediction, own } = await predictWithOwn(filled.dossier, caseId, options, desk.run);
    const answers = answersOf(prediction, evidence, own);
    const content: SheetContent = {
      prediction,
      answers,
      defaults: filled.defaults,
      runs: sheetRuns(standing, files.folder),
      seals: [...seals].sort((a, b) => Date.parse(a.made) - Date.parse(b.made)),
      files: await sheetFiles(files.folder),
      day,
      decisions: evidence.decisions ?? [],
      isStandFaulty: standFaults.length > 0,
      notices: unplaced([...open.notices, ...faults.map(faultNotice)], files.folder),
    };
    const base = out ?? join(files.folder, "sheets", `${now().replaceAll(":", "")}-${caseId}`);
    const written = await printed(content, base, format);
    desk.signal.throwIfAborted();
    for (const { path, bytes } of written)
      await writeWhole(path, bytes, hasOption(input, "force") ? "always" : "never");
    const paths = written.map(({ path }) => path);
    return {
      status: faults.length > 0 ? 2 : answersStatus(answers),
      faults,
      result: {
        path: paths[0],
        paths,
        valve: open.dossier.valve.name ?? null,
        case: caseId,
        model: prediction.model,
        day,
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
          ...paths.map((path) => `Wrote ${path}`),
        ].join("\n"),
    };
  },
};

/** The files of a sheet, made before any is written. @param base  path with or without its ending */
async function printed(content: SheetContent, base: string, format: Format) {
  const stem = base.replace(/\.(html|pdf)$/i, "");
  const html =
    format === "pdf" ? [] : [{ path: nameFor(base, stem, "html", format), bytes: sheetHtml(content) }];
  if (format === "html") return html;
  const bytes = await printPdf(await sheetPrintSource(content));
  return [...html, { path: nameFor(base, stem, "pdf", format), bytes }];
}

/** A name that was typed with the ending of the format stays as it is. */
function nameFor(base: string, stem: string, ending: "html" | "pdf", format: Format): string {
  const isWhole = format !== "both" && base.toLowerCase().endsWith(ending === "pdf" ? ".pdf" : ".html");
  return isWhole ? base : `${stem}.${ending}`;
}

function formatIn(input: Input, out: string | undefined): Format {
  const asked = textOption(input, "format");
  const ending = /\.[a-z]\w{0,4}$/i.exec(basename(out ?? ""))?.[0];
  if (ending !== undefined && !/^\.(html|pdf)$/i.test(ending))
    refuse(
      "command-line",
      `--out ${out}: a sheet is no ${ending} file`,
      "It is written as .html, as .pdf, or as both.",
      "Write --out petrel.html",
    );
  if (asked === undefined) return out !== undefined && isPdf(out) ? "pdf" : "html";
  const format = formats.find((one) => one === asked);
  if (format !== undefined) return format;
  return refuse(
    "command-line",
    `--format ${asked} is no format`,
    `The formats are ${formats.join(", ")}.`,
    "Write --format both",
  );
}

function dayIn(input: Input): string {
  const asked = textOption(input, "day") ?? now().slice(0, 10);
  const instant = new Date(`${asked}T00:00:00Z`);
  if (!Number.isNaN(instant.getTime()) && instant.toISOString().startsWith(`${asked}T`)) return asked;
  return refuse(
    "command-line",
    `--day ${asked} is no date`,
    "A day is written with the year first.",
    "Write --day 2026-04-20",
  );
}

/** Notices without the place at which the dossier lies here: elsewhere the same dossier gives the same bytes. */
function unplaced(notices: readonly Notice[], folder: string): readonly Notice[] {
  const said = (text: string) =>
    text.replaceAll(`${folder.replace(/\/+$/, "")}/`, "").replaceAll(` ${folder} `, " <folder> ");
  return notices.map(({ text, ...notice }) => ({ ...notice, text: said(text) }));
}

function sheetRuns({ runs }: Standing, folder: string) {
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
      notices: unplaced(notices, folder),
    }));
}

/** A fault of the valve file as the sheet shows it: the field counts as not known there. */
function faultNotice({ code, where, found }: OpenDossier["faults"][number]) {
  return {
    code,
    text: `${found}; the field counts as not known`,
    ...(where.field === undefined ? {} : { field: where.field }),
  };
}
