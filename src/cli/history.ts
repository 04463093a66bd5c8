/** `coldturn history`: sealed predictions, runs and updates of a valve in one picture against date. */
import { applyDefaults, conditionsOf } from "../dossier/index.js";
import {
  historyOf,
  measureStroke,
  type PastEvent,
  type PastRun,
  type SealedPrediction,
  strokeChannels,
} from "../evidence/index.js";
import { type Fault, Refusal } from "../fault/index.js";
import {
  readRunLog,
  readRunRecord,
  readSealed,
  requireFolderOf,
  runIds,
  type StoredRun,
  writeWhole,
} from "../host/index.js";
import { drawSvg, drawText } from "../picture/index.js";
import { closingDefinition, openingDefinition } from "../predict/index.js";
import { type Angle, formatUncertain } from "../quantity/index.js";
import { historyFigure } from "../question/index.js";
import type { Command } from "./command.js";
import { faultsPage } from "./faultsPage.js";
import { type OpenDossier, openDossier } from "./openDossier.js";
import { caseOption, folderArgument, folderIn, hasOption, textOption } from "./options.js";
import { type Page, paragraph, section } from "./page.js";
import { tableLines } from "./table.js";
import { definitionWords, milliseconds } from "./timeText.js";

const svgWidth = 800;

export const historyCommand: Command = {
  name: "history",
  summary: "show predictions, runs and updates of a valve in one picture against date",
  details: [
    "Lists what was predicted and sealed, what was measured, and which values were fitted to which runs, oldest first, and draws the opening times against date. A run without a date stands at the time of its import; an update stands at its newest run, it is no older.",
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
        runs.push(await pastRun(open, await readRunRecord(open.files.folder, id), seals));
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
    const [figure] = figures;
    const isWritten = svg !== undefined && figure !== undefined;
    if (isWritten)
      await writeWhole(
        svg,
        drawSvg(figure, { width: svgWidth }),
        hasOption(input, "force") ? "always" : "never",
      );
    return {
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
          ...section(page, "Events, oldest first", eventLines(page, events)),
          ...section(page, "Values updated", updateLines(page, events)),
          ...(isWritten ? ["", `Wrote ${svg}`] : []),
          ...(svg !== undefined && !isWritten ? ["", "Nothing has a time, so no picture was written."] : []),
          ...(faults.length === 0 ? [] : ["", faultsPage(page, faults)]),
        ].join("\n"),
    };
  },
};

/** The measured time of a run, by the definition of the prediction of its case where one is sealed. */
async function pastRun(
  open: OpenDossier,
  run: StoredRun,
  seals: readonly SealedPrediction[],
): Promise<PastRun> {
  const { id, case: caseId, date, imported, moves } = run.record;
  const { dossier } = applyDefaults(open.dossier, caseId);
  const travel = dossier.valve.valve?.travel?.value;
  const measured =
    travel === undefined
      ? undefined
      : measureStroke(id, strokeChannels(await readRunLog(run)), travel as Angle, moves);
  const sense = measured?.sense ?? null;
  const sealed = seals.find((one) => one.case === caseId)?.definition;
  const wanted = sense === "closing" ? closingDefinition(dossier) : (sealed ?? openingDefinition(dossier));
  const time = [wanted, "command-to-end"].flatMap(
    (definition) => measured?.times.filter((one) => one.definition === definition) ?? [],
  )[0];
  return {
    kind: "run",
    date: date ?? imported,
    isDated: date !== undefined,
    runId: id,
    caseId,
    sense,
    definition: time?.definition ?? wanted,
    time_s: time?.value_s ?? null,
    standardUncertainty_s: time?.standardUncertainty_s ?? null,
  };
}

function eventLines(page: Page, events: readonly PastEvent[]): readonly string[] {
  return tableLines(page, ["date", "what", "case", "time", "from event to event"], events.map(rowOf));
}

function updateLines(page: Page, events: readonly PastEvent[]): readonly string[] {
  return events.flatMap((one) =>
    one.kind === "update"
      ? one.values.flatMap(({ path, was, text }) => paragraph(page, `${path}: ${was} -> ${text}`, "  "))
      : [],
  );
}

function rowOf(one: PastEvent): readonly string[] {
  const date = one.date.slice(0, 16).replace("T", " ");
  const time = one.kind === "update" || one.time_s === null ? undefined : milliseconds(one.time_s);
  switch (one.kind) {
    case "prediction":
      return [
        date,
        `sealed ${one.sha256.slice(0, 12)}`,
        one.caseId,
        time === undefined
          ? "does not open"
          : `${time}${one.band_s === null ? "" : ` (${milliseconds(one.band_s.low)} to ${milliseconds(one.band_s.high)})`}`,
        definitionWords(one.definition),
      ];
    case "run":
      return [
        one.isDated ? date : `${date} (imported)`,
        `run ${one.runId}${one.sense === null ? "" : `, ${one.sense}`}`,
        one.caseId,
        time === undefined
          ? "not known"
          : formatUncertain(one.time_s ?? 0, one.standardUncertainty_s ?? 0, "time"),
        definitionWords(one.definition),
      ];
    case "update":
      return [
        `after ${date}`,
        `update from ${one.runIds.join(", ")}`,
        "",
        `${one.values.length} value${one.values.length > 1 ? "s" : ""}`,
        "",
      ];
  }
}
