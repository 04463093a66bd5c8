/** `coldturn note`: the calculation note of one question or check, to be worked out again on paper. */
import { extname } from "node:path";
import { nearName, refuse } from "../fault/index.js";
import {
  now,
  openDossier,
  printPdf,
  requireFolderOf,
  standingEvidence,
  titleOf,
  writeWhole,
} from "../host/index.js";
import { type NoteHead, notesOf, noteText } from "../note/index.js";
import { OwnAnswers, predict } from "../predict/index.js";
import { type Answer, answerBeside, answersOf } from "../question/index.js";
import { noteHtml, printSource } from "../sheet/index.js";
import type { Command } from "./command.js";
import { faultCount } from "./faultsPage.js";
import {
  folderArgument,
  hasOption,
  predictingIn,
  predictingOptions,
  questionIn,
  textOption,
} from "./options.js";
import { paragraph } from "./page.js";
import { answersStatus } from "./status.js";

/** Enough for a verdict; the steps are those of the nominal values. */
const usualSamples = 512;
/** The question whose verdict rests on all the others. */
const lastQuestion = 12;

export const noteCommand: Command = {
  name: "note",
  summary: "write the calculation of a check so that it can be followed with a pocket calculator",
  details: [
    "Writes for each check its equation in the symbols of its source, every value with its unit and where it comes from, each step with its numbers and result, limit, margin, verdict and what is taken for granted. What an integration or an equation of state gives has its method, its residuals and an estimate by hand.",
    "The steps are those of the nominal values that the program used; one that would not give the program's own number is not printed. All numbers are SI.",
  ],
  arguments: [folderArgument],
  options: [
    ...predictingOptions(usualSamples),
    { flags: "--question <n>", description: "the checks of one question, 1 to 12 (default: all of them)" },
    { flags: "--check <id>", description: "one check, by its id in docs/checks.md" },
    {
      flags: "--out <file>",
      description:
        "file to write, .md, .html or .pdf, in a folder that is there (default: Markdown on the screen)",
    },
    { flags: "--force", description: "overwrite the file if it is there" },
  ],
  examples: [
    {
      command: "coldturn note demo/petrel-oxygen-main --check stem-retention",
      says: "Whether pressure can drive the stem out, step by step:",
    },
    {
      command: "coldturn note demo/petrel-oxygen-main --question 5 --out strength.html",
      says: "All of question 5 as a page:",
    },
  ],
  act: async (input, desk) => {
    const { folder, caseId: asked, seed, samples } = predictingIn(input, usualSamples);
    const question = questionIn(input);
    const wanted = textOption(input, "check");
    const out = textOption(input, "out");
    const form = out === undefined ? "markdown" : formOf(out);
    if (out !== undefined) await requireFolderOf(out);
    const open = await openDossier(folder, asked);
    const { files, filled, caseId, faults } = open;
    const { evidence } = await standingEvidence(open);
    const options = { seed, samples, effectSamples: 0 };
    const prediction = await predict(filled.dossier, caseId, options, desk.run);
    const own = new OwnAnswers(filled.dossier, caseId, options);
    const all =
      question === undefined || question === lastQuestion
        ? answersOf(prediction, evidence, own)
        : [answerBeside(prediction, evidence, own, question)];
    const answers = all.filter(({ number }) => question === undefined || number === question);
    const asking = wanted === undefined ? answers : withCheck(answers, wanted);
    const given = { prediction, own, evidence, defaults: filled.defaults };
    const notes = asking.map((answer) => notesOf(answer, given, wanted));
    // Of one check its own verdict counts, not that of its question.
    const noted = notes.map((note) => ({ checks: note.notes.map(({ check }) => check) }));
    const head: NoteHead = {
      valve: open.dossier.valve.name ?? "valve without a name",
      caseId,
      model: prediction.model,
      file: "valve.yaml",
      sha256: files.valve.sha256,
    };
    const text = noteText(notes, head);
    if (out !== undefined) {
      desk.signal.throwIfAborted();
      const written =
        form === "markdown"
          ? text
          : await pageIn(form, noteHtml(notes, head), evidence.day ?? now().slice(0, 10));
      await writeWhole(out, written, hasOption(input, "force") ? "always" : "never");
    }
    return {
      status: faults.length > 0 ? 2 : answersStatus(noted),
      faults,
      result: { ...head, options, path: out ?? null, notes },
      ...(out === undefined ? { product: text } : {}),
      text: (page) =>
        [...paragraph(page, titleOf(open)), ...faultCount(page, faults), "", `Wrote ${out ?? ""}`].join("\n"),
    };
  },
};

async function pageIn(form: "html" | "pdf", page: string, day: string): Promise<string | Uint8Array> {
  return form === "html" ? page : await printPdf(await printSource(page, { day }));
}

/** By the ending of the name. */
function formOf(path: string): "markdown" | "html" | "pdf" {
  const ending = extname(path).toLowerCase();
  if (ending === ".html") return "html";
  if (ending === ".pdf") return "pdf";
  if (ending === ".md") return "markdown";
  return refuse(
    "command-line",
    `--out ${path}: "${ending}" is no form of a note`,
    "A note is Markdown or a page: the name of its file ends in .md, .html or .pdf.",
    `Write, for example, --out ${path.slice(0, path.length - ending.length)}.html`,
  );
}

/** The answers that have a check of this id. */
function withCheck(answers: readonly Answer[], id: string): readonly Answer[] {
  const found = answers.filter(({ checks }) => checks.some((check) => check.id === id));
  if (found.length > 0) return found;
  const known = [...new Set(answers.flatMap(({ checks }) => checks.map((check) => check.id)))];
  const near = nearName(id, known);
  return refuse(
    "command-line",
    `--check ${id}: no check of this case has this id`,
    "The ids are in docs/checks.md, and in the record of coldturn check --json.",
    near === undefined ? `Write, for example, --check ${known[0] ?? "stem-shear"}` : `Write --check ${near}`,
  );
}
