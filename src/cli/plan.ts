/** `coldturn plan`: the runs worth making in their order, with a card for each. */
import { join, relative } from "node:path";
import {
  now,
  openDossier,
  planRestsOn,
  printPdf,
  readSealed,
  recordedRun,
  requireFolderOf,
  restsOn,
  standingEvidence,
  titleOf,
  writePlan,
  writeWhole,
} from "../host/index.js";
import { planTable, planTests } from "../question/index.js";
import { cardsHtml, printSource } from "../sheet/index.js";
import type { Command } from "./command.js";
import { faultCount, nominalAlone } from "./faultsPage.js";
import { folderArgument, hasOption, isPdf, predictingIn, predictingOptions, textOption } from "./options.js";
import { paragraph, shellWord } from "./page.js";
import { planLines } from "./planText.js";
import { withNotices } from "./withNotices.js";

/** As `check` draws: ends of a band for ranges and limits, not the verdict of a test. */
const usualSamples = 512;

export const planCommand: Command = {
  name: "plan",
  summary: "plan the runs worth making, in their order, with a printable card for each",
  details: [
    "Lists the runs that would close what is open: dry, pressurised, in liquid nitrogen, in the propellant, and parts alone where the ranking of tests finds them worth a run. Runs that were made and still stand are ticked; a run that must wait says for what.",
    "Each run has its conditions, what is expected with its band, limits at which to stop, each with the check it comes from, instruments with range, rate and uncertainty, what to call out, and the hash of the prediction sealed for it. Conditions that the valve file has no case for are derived, and shown as lines for it.",
    "The cards are one HTML or PDF file, a page for each run, to be printed. The plan is kept in plan/ of the dossier; question 12 and the sheet show it. It is a proposal: it commands nothing, and whether a run is made is for the responsible people to say.",
  ],
  arguments: [folderArgument],
  options: [
    ...predictingOptions(usualSamples),
    {
      flags: "--out <file>",
      description:
        "file for the cards, .html or .pdf, in a folder that is there (default: plan/<case>.html in the dossier, which is replaced)",
    },
    { flags: "--force", description: "overwrite the file if it is there" },
    { flags: "--all", description: "print what the cards say, run by run" },
  ],
  examples: [
    {
      command: "coldturn plan demo/petrel-oxygen-main --out cards.html",
      says: "The runs that the demo valve waits for:",
    },
  ],
  act: async (input, desk) => {
    const { folder, caseId: asked, seed, samples } = predictingIn(input, usualSamples);
    const out = textOption(input, "out");
    if (out !== undefined) await requireFolderOf(out);
    const open = await openDossier(folder, asked);
    const { files, caseId } = open;
    const { evidence, runs } = await standingEvidence(open);
    const faults = [...open.faults, ...(evidence.stand?.faults ?? [])];
    const seals = await readSealed(files.folder);
    const plan = await planTests(
      {
        dossier: open.dossier,
        caseId,
        options: { seed, samples, effectSamples: 0 },
        evidence,
        runs: runs.map(recordedRun),
        seals,
        files: restsOn(files),
        place: shellWord(files.folder),
        ...(evidence.next?.changed.length === 0 ? { next: evidence.next.found } : {}),
      },
      desk.run,
    );
    const printedAt = now();
    const path = out ?? join(files.folder, "plan", `${caseId}.html`);
    desk.signal.throwIfAborted();
    const cards = cardsHtml({ plan, printedAt });
    const written = isPdf(path)
      ? await printPdf(await printSource(cards, { day: printedAt.slice(0, 10), look: "card" }))
      : cards;
    await writeWhole(path, written, out === undefined || hasOption(input, "force") ? "always" : "never");
    const inside = relative(files.folder, path);
    await writePlan(files.folder, caseId, planRestsOn(files, runs, seals), plan.model, {
      table: planTable(plan),
      cards: inside.startsWith("..") ? path : inside,
    });
    return withNotices(open, {
      status: faults.length > 0 ? 2 : plan.runs.every(({ state }) => state === "made") ? 0 : 1,
      faults,
      result: { path, printedAt, ...plan, valve: plan.valve ?? null },
      text: (page) =>
        [
          ...paragraph(page, `${titleOf(open)}.`),
          ...faultCount(page, faults),
          ...nominalAlone(page, samples),
          ...planLines(page, plan, hasOption(input, "all")),
          "",
          `Wrote ${path}`,
        ].join("\n"),
    });
  },
};
