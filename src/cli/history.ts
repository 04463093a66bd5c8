/** `coldturn history`: sealed predictions, runs and updates of a valve in one picture, case by case. */
import { conditionsOf } from "../dossier/index.js";
import { historyOf, type PastEvent, type PastRun } from "../evidence/index.js";
import { type Fault, Refusal } from "../fault/index.js";
import {
  measuredTimesOf,
  openDossier,
  pastRun,
  readRunLog,
  readRunRecord,
  readSealed,
  requireFolderOf,
  runIds,
  writeWhole,
} from "../host/index.js";
import { drawSvg, drawText } from "../picture/index.js";
import { historyFigure, historyTable } from "../question/index.js";
import type { Command } from "./command.js";
import { faultsPage } from "./faultsPage.js";
import { caseOption, folderArgument, folderIn, hasOption, textOption } from "./options.js";
import { type Page, paragraph, section } from "./page.js";
import { tableLines } from "./table.js";
import { withNotices } from "./withNotices.js";

const svgWidth = 800;

export const historyCommand: Command = {
  name: "history",
  summary: "show predictions, runs and updates of a valve in one picture, case by case",
  details: [
    "Lists what was predicted and sealed, what was measured, and which values were fitted to which runs, oldest first, and draws the opening times case by case, in the order of the dates: each test beside the newest prediction of its case that was sealed before it. A run without a date stands at the time of its import; an update stands at its newest run, it is no older.",
  ],
  arguments: [folderArgument],
  options: [
    { ...caseOption, description: "the case whose predictions and runs are wanted (default: every case)" },
    { flags: "--svg <file>", description: "write the picture as SVG, into a folder that is there" },
    { flags: "--force", description: "overwrite the file if it is there" },
  ],
  examples: [
    {
      command: "coldturn history demo/out/petrel-oxygen-main --svg history.svg",
      says: "The demo valve after its tests:",
    },
  ],
  act: async (input, desk) => {
    const svg = textOption(input, "svg");
    if (svg !== undefined) await requireFolderOf(svg);
    const open = await openDossier(folderIn(input), "duty");
    const seals = await readSealed(open.files.folder);
    const faults: Fault[] = [...open.faults];
    const runs: PastRun[] = [];
    for (const id of await runIds(open.files.folder)) {
      desk.signal.throwIfAborted();
      try {
        const run = await readRunRecord(open.files.folder, id);
        runs.push(pastRun(open, run, seals, measuredTimesOf(open, run, await readRunLog(run))));
      } catch (thrown) {
        // A run that cannot be read hides no other.
        if (!(thrown instanceof Refusal)) throw thrown;
        faults.push(...thrown.faults);
      }
    }
    const wanted = textOption(input, "case");
    if (wanted !== undefined) conditionsOf(open.dossier, wanted);
    const events = historyOf(open.dossier, seals, runs).filter(
      (one) => one.kind === "update" || wanted === undefined || one.caseId === wanted,
    );
    const figures = historyFigure(events);
    const table = historyTable(events);
    const [figure] = figures;
    const isWritten = svg !== undefined && figure !== undefined;
    if (isWritten)
      await writeWhole(
        svg,
        drawSvg(figure, { width: svgWidth }),
        hasOption(input, "force") ? "always" : "never",
      );
    return withNotices(open, {
      status: faults.length > 0 ? 2 : 0,
      faults,
      result: {
        valve: open.dossier.valve.name ?? null,
        events,
        figure: figure ?? null,
        svg: isWritten ? svg : null,
      },
      text: (page) =>
        [
          ...paragraph(
            page,
            `${open.dossier.valve.name ?? "A valve without a name"}, file ${open.files.valve.path}`,
          ),
          ...(events.length === 0
            ? [
                "",
                ...paragraph(page, "No prediction is sealed and no run imported: there is no history yet."),
              ]
            : []),
          ...figures.flatMap((one) => [
            "",
            ...drawText(one, {
              columns: page.columns,
              rows: 18,
              unicode: page.unicode,
              colour: page.colour,
              caption: "left out",
            }).split("\n"),
          ]),
          ...section(page, "Events, oldest first", tableLines(page, table.columns, table.rows)),
          ...section(page, "Values updated", updateLines(page, events)),
          ...(isWritten ? ["", `Wrote ${svg}`] : []),
          ...(svg !== undefined && !isWritten ? ["", "Nothing has a time, so no picture was written."] : []),
          ...(faults.length === 0 ? [] : ["", faultsPage(page, faults)]),
        ].join("\n"),
    });
  },
};

function updateLines(page: Page, events: readonly PastEvent[]): readonly string[] {
  return events.flatMap((one) =>
    one.kind === "update"
      ? one.values.flatMap(({ path, was, text }) => paragraph(page, `${path}: ${was} -> ${text}`, "  "))
      : [],
  );
}
