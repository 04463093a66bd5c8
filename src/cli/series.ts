/** `coldturn series`: repeated strokes: trend, drift, tolerance limits, cycles against the life of the seats. */
import { type Reduction, seriesOf } from "../evidence/index.js";
import type { Notice } from "../fault/index.js";
import { eachLogOnce, openDossier, readWholeRunLog, wantedRuns } from "../host/index.js";
import { drawText } from "../picture/index.js";
import { seriesChecks, seriesFigures, seriesTable } from "../question/index.js";
import { checkLines } from "./answerText.js";
import type { Command } from "./command.js";
import { noticeLines } from "./faultsPage.js";
import { caseOption, folderArgument, folderIn, textOption } from "./options.js";
import { paragraph, section } from "./page.js";
import { reductionOf } from "./reduce.js";
import { tableLines } from "./table.js";
import { withNotices } from "./withNotices.js";

export const seriesCommand: Command = {
  name: "series",
  summary: "evaluate repeated strokes: trend, drift, tolerance limits, cycles against the life of the seats",
  details: [
    "Takes every stroke of every run, several strokes in one log one by one, and puts those of one case and one sense in the order in which they were made. The test of Mann and Kendall and the slope of a straight line say whether the time drifts; order statistics say which share of further strokes lies within the slowest one seen, whatever the law.",
  ],
  arguments: [folderArgument],
  options: [
    { ...caseOption, description: "the case whose strokes are wanted (default: every case)" },
    { flags: "--run <id>", description: "one run alone (default: all of them)" },
  ],
  examples: [{ command: "coldturn series oxygen-main --case nitrogen", says: "Twenty cold cycles:" }],
  act: async (input, desk) => {
    const wanted = textOption(input, "case");
    const open = await openDossier(folderIn(input), wanted ?? "duty");
    const runs = eachLogOnce(await wantedRuns(open, textOption(input, "run"))).filter(
      ({ record }) => wanted === undefined || record.case === wanted,
    );
    const reductions: Reduction[] = [];
    const left: Notice[] = [];
    for (const run of runs) {
      desk.signal.throwIfAborted();
      const { channels, notices } = await readWholeRunLog(run);
      left.push(...notices.map((one) => ({ ...one, text: `run ${run.record.id}: ${one.text}` })));
      reductions.push(reductionOf(open, run, channels));
    }
    const report = seriesOf(reductions);
    const table = seriesTable(report);
    const probability = open.dossier.valve.duty?.probability?.value ?? 0.95;
    const checks = seriesChecks(report, open.dossier.valve.valve?.seat?.cycle_life?.value, probability);
    const judged = checks.filter(({ standing }) => standing === "judged");
    return withNotices(open, {
      status: open.faults.length > 0 ? 2 : judged.every(({ verdict }) => verdict === "holds") ? 0 : 1,
      faults: open.faults,
      result: { valve: open.dossier.valve.name ?? null, ...report, checks, notices: left },
      text: (page) =>
        [
          ...paragraph(
            page,
            `${open.dossier.valve.name ?? "A valve without a name"}, ${report.cycles} cycles in ${runs.length} runs`,
          ),
          ...noticeLines(page, left),
          ...seriesFigures(report).flatMap((figure) => [
            "",
            ...drawText(figure, {
              columns: page.columns,
              rows: 18,
              unicode: page.unicode,
              colour: page.colour,
            }).split("\n"),
          ]),
          ...section(page, "Series", tableLines(page, table.columns, table.rows)),
          ...section(page, "Checks", checkLines(page, checks)),
        ].join("\n"),
    });
  },
};
