/** What `coldturn import` shows: mapping with reasons, what was not read, events, times, cautions. */
import {
  type ChannelMapping,
  type DetectedEvent,
  type RunRecord,
  type StrokeMeasurement,
  sourceWords,
} from "../evidence/index.js";
import type { Notice } from "../fault/index.js";
import { type OpenDossier, storedLogName, titleOf } from "../host/index.js";
import { noticeLines } from "./faultsPage.js";
import type { ImportedFile } from "./importFiles.js";
import { type Page, paragraph, section, shellWord, typed } from "./page.js";
import { tableLines } from "./table.js";
import { testCautions } from "./testCautions.js";
import { definitionWords, milliseconds } from "./timeText.js";

export interface Imported {
  readonly open: OpenDossier;
  readonly record: RunRecord;
  readonly files: readonly ImportedFile[];
  readonly measurement: StrokeMeasurement | undefined;
  readonly notices: readonly Notice[];
  /** Where it was written; undefined after a dry run. */
  readonly folder: string | undefined;
}

export function importPage(page: Page, imported: Imported): string {
  const { open, record, files, measurement, notices, folder } = imported;
  const originals = files.map(({ name }) => name).join(", ");
  const stored = files.map((_, i) => storedLogName(i)).join(", ");
  return [
    ...paragraph(page, `${titleOf(open)}.`),
    ...files.flatMap((file) => fileSection(page, file, files.length)),
    ...section(page, `Clocks, against that of ${record.original.file}`, clockLines(page, record)),
    ...section(page, "Notices", noticeLines(page, [...notices, ...(measurement?.notices ?? [])])),
    ...section(page, "Events", eventLines(page, measurement)),
    ...section(page, "Times", timeLines(page, measurement)),
    ...section(
      page,
      "Caution",
      testCautions(open.filled.dossier, record.case).flatMap((text) => paragraph(page, text, "  ! ")),
    ),
    "",
    ...(folder === undefined
      ? ["Nothing was written (--dry-run)."]
      : [
          `Wrote ${folder}`,
          ...paragraph(
            page,
            `run.yaml, ${originals} as ${files.length === 1 ? "it" : "they"} came, ${stored}. ${measurement?.detection.impossible === undefined ? "This" : "Once its angle is corrected, this"} holds it against the prediction:`,
            "  ",
          ),
          typed(`coldturn reconcile ${shellWord(open.files.folder)} --run ${record.id}`),
        ]),
  ].join("\n");
}

function fileSection(page: Page, file: ImportedFile, count: number): readonly string[] {
  const { original, from, read, name } = file;
  const source = from === undefined ? "as proposed" : `as in run ${from}`;
  const of = count === 1 ? "" : ` of ${name}`;
  return [
    ...paragraph(
      page,
      `${name}: ${read.head.rows} rows${rateWords(file)}, SHA-256 ${original.sha256.slice(0, 12)}...`,
    ),
    ...section(page, `Mapping${of}, ${source} (correct it with --map, or in run.yaml)`, [
      ...mappingLines(page, file),
      ...sourceLines(page, file),
    ]),
    ...(count === 1 ? [] : [""]),
  ];
}

function clockLines(page: Page, { furtherFiles = [] }: RunRecord): readonly string[] {
  return tableLines(
    page,
    [],
    furtherFiles.map(({ clock }) => {
      const { file, offset_s, standardUncertainty_s: u, method, how, who, why, drift } = clock;
      const by = who === undefined ? "" : `, by ${who}: ${why ?? ""}`;
      const drifts = drift === undefined ? "" : `, drift ${Number((1e6 * drift).toPrecision(3))} us/s`;
      return [file, `${milliseconds(offset_s, u)} +/- ${milliseconds(u, u)}${drifts}`, method, `${how}${by}`];
    }),
  );
}

function rateWords({ read }: ImportedFile): string {
  const rate = read.head.time.rate_Hz;
  return rate === undefined ? "" : `, ${Number(rate.toPrecision(4))} Hz`;
}

/** Whose logs get this mapping again. */
function sourceLines(page: Page, { mapping, from }: ImportedFile): readonly string[] {
  const words = sourceWords(mapping.source ?? {});
  const why =
    from === undefined
      ? "Remembered for the next log with these columns from this source"
      : `Columns and source are those of run ${from}`;
  return paragraph(page, `${why}: ${words}.`, "  ");
}

function mappingLines(page: Page, { mapping, read }: ImportedFile): readonly string[] {
  const { time } = mapping;
  const timeColumn = time.column === undefined ? "row number" : time.column.name;
  return tableLines(
    page,
    ["channel", "column", "in", "why"],
    [
      ["time", timeColumn, timeWords(time), time.because ?? ""],
      ...mapping.channels.map((channel, index) => [
        channel.role,
        read.head.channels[index]?.name ?? channel.column.name,
        unitWords(channel),
        channel.because ?? "",
      ]),
    ],
  );
}

function timeWords(time: ImportedFile["mapping"]["time"]): string {
  if (time.kind !== "elapsed") return time.kind;
  return `${time.unit ?? ""}${time.epoch === undefined ? "" : ` since ${time.epoch}`}`;
}

/** "-deg, zero 90 deg": unit with sign and zero. */
function unitWords({ unit, sign, zero, scale, gauge, calibration, missing }: ChannelMapping): string {
  return [
    `${sign < 0 ? "-" : ""}${unit ?? ""}`,
    ...(gauge === undefined ? [] : [gauge ? "gauge" : "absolute"]),
    ...(zero === undefined ? [] : [`zero ${zero}`]),
    ...(scale === undefined
      ? []
      : [`${scale[0].reading} is ${scale[0].value}, ${scale[1].reading} is ${scale[1].value}`]),
    ...(calibration === undefined
      ? []
      : [`calibrated ${calibration.date} +/- ${calibration.standard_uncertainty}`]),
    ...(missing === undefined ? [] : [`${missing.join(", ")} is no value`]),
  ].join(", ");
}

function eventLines(page: Page, measurement: StrokeMeasurement | undefined): readonly string[] {
  return tableLines(page, [], (measurement?.events ?? []).map(eventRow));
}

function eventRow(event: DetectedEvent): readonly string[] {
  if (!event.found) return [event.id, "not found", event.because];
  const u = event.standardUncertainty_s;
  return [event.id, `${milliseconds(event.time_s, u)} +/- ${milliseconds(u, u)}`, event.how];
}

function timeLines(page: Page, measurement: StrokeMeasurement | undefined): readonly string[] {
  if (measurement === undefined) return [];
  return tableLines(
    page,
    [],
    [
      ...measurement.times.map(({ definition, value_s, standardUncertainty_s: u }) => [
        definitionWords(definition),
        `${milliseconds(value_s, u)} +/- ${milliseconds(u, u)}`,
      ]),
      ...measurement.timesNotKnown.map(({ definition, because }) => [
        definitionWords(definition),
        `not known: ${because}`,
      ]),
    ],
  );
}
