/** What `coldturn import` shows: mapping with reasons, what was not read, events, times, cautions. */
import type { ChannelMapping, DetectedEvent, Log, RunRecord, StrokeMeasurement } from "../evidence/index.js";
import type { Notice } from "../fault/index.js";
import { noticeLines } from "./faultsPage.js";
import { inMapKeys } from "./mapOption.js";
import { type OpenDossier, titleOf } from "./openDossier.js";
import { type Page, paragraph, section, shellWord, typed } from "./page.js";
import { tableLines } from "./table.js";
import { testCautions } from "./testCautions.js";
import { definitionWords, milliseconds } from "./timeText.js";

export interface Imported {
  readonly open: OpenDossier;
  readonly record: RunRecord;
  readonly log: Log;
  readonly measurement: StrokeMeasurement | undefined;
  readonly notices: readonly Notice[];
  /** The run whose mapping was used again. */
  readonly from: string | undefined;
  /** Where it was written; undefined after a dry run. */
  readonly folder: string | undefined;
}

export function importPage(page: Page, imported: Imported): string {
  const { open, record, log, measurement, notices, from, folder } = imported;
  const source = from === undefined ? "as proposed" : `as in run ${from}`;
  const corrected = "correct it with --map, or in run.yaml";
  return [
    ...paragraph(page, `${titleOf(open)}.`),
    ...paragraph(
      page,
      `${record.original.file}: ${log.rows} rows${rateWords(log)}, SHA-256 ${record.original.sha256.slice(0, 12)}...`,
    ),
    ...section(page, `Mapping, ${source} (${corrected})`, mappingLines(page, record, log)),
    ...section(
      page,
      "Notices",
      noticeLines(page, [
        ...notices.map((notice) => inMapKeys(notice, record.mapping)),
        ...(measurement?.notices ?? []),
      ]),
    ),
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
            `run.yaml, ${record.original.file} as it came, log.parquet. This holds it against the prediction:`,
            "  ",
          ),
          typed(`coldturn reconcile ${shellWord(open.files.folder)} --run ${record.id}`),
        ]),
  ].join("\n");
}

function rateWords({ time }: Log): string {
  return time.rate_Hz === undefined ? "" : `, ${Number(time.rate_Hz.toPrecision(4))} Hz`;
}

function mappingLines(page: Page, { mapping }: RunRecord, log: Log): readonly string[] {
  const { time } = mapping;
  const timeColumn = time.column === undefined ? "row number" : time.column.name;
  return tableLines(
    page,
    ["channel", "column", "in", "why"],
    [
      ["time", timeColumn, "unit" in time ? (time.unit ?? "") : time.kind, time.because ?? ""],
      ...mapping.channels.map((channel, index) => [
        channel.role,
        log.channels[index]?.name ?? channel.column.name,
        unitWords(channel),
        channel.because ?? "",
      ]),
    ],
  );
}

/** "-deg, zero 90 deg": unit with sign and zero. */
function unitWords({ unit, sign, zero, scale, gauge }: ChannelMapping): string {
  return [
    `${sign < 0 ? "-" : ""}${unit ?? ""}`,
    ...(gauge === undefined ? [] : [gauge ? "gauge" : "absolute"]),
    ...(zero === undefined ? [] : [`zero ${zero}`]),
    ...(scale === undefined
      ? []
      : [`${scale[0].reading} is ${scale[0].value}, ${scale[1].reading} is ${scale[1].value}`]),
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
