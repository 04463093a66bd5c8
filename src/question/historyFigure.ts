/** History of a valve in one picture: predictions with their bands, measured times and updates against date. */
import type { PastEvent } from "../evidence/index.js";
import type { Figure, Mark } from "../picture/index.js";
import { formatQuantity, formatUncertain } from "../quantity/index.js";
import type { Table } from "./answer.js";
import { definitionLabel } from "./definition.js";

const day_ms = 86_400_000;
/** Two standard uncertainties either way. */
const reach = 2;
const ms = (seconds: number): number => 1e3 * seconds;

/** Opening time against days since the first event; none where nothing has a time. */
export function historyFigure(events: readonly PastEvent[]): readonly Figure[] {
  const first = events[0];
  if (first === undefined) return [];
  const daysOf = ({ date }: PastEvent): number => (Date.parse(date) - Date.parse(first.date)) / day_ms;
  const predictions = events.flatMap((one) =>
    one.kind === "prediction" && one.time_s !== null ? [{ ...one, time_s: one.time_s, x: daysOf(one) }] : [],
  );
  const runs = events.flatMap((one) =>
    one.kind === "run" && one.time_s !== null && one.sense === "opening"
      ? [{ ...one, time_s: one.time_s, x: daysOf(one) }]
      : [],
  );
  if (predictions.length + runs.length === 0) return [];
  const updates = events.filter(({ kind }) => kind === "update");
  const definition = runs[0]?.definition ?? predictions[0]?.definition ?? "";
  const marks: Mark[] = [
    ...updates.map(
      (one): Mark => ({
        kind: "event",
        role: "better",
        x: daysOf(one),
        label: "update",
      }),
    ),
    ...(predictions.length === 0
      ? []
      : [
          {
            kind: "points" as const,
            role: "prediction" as const,
            label: "sealed, with its band",
            x: predictions.map(({ x }) => x),
            y: predictions.map(({ time_s }) => ms(time_s)),
            low: predictions.map(({ band_s }) => (band_s === null ? Number.NaN : ms(band_s.low))),
            high: predictions.map(({ band_s }) => (band_s === null ? Number.NaN : ms(band_s.high))),
          },
        ]),
    ...(runs.length === 0
      ? []
      : [
          {
            kind: "points" as const,
            role: "measurement" as const,
            label: "measured, k = 2",
            x: runs.map(({ x }) => x),
            y: runs.map(({ time_s }) => ms(time_s)),
            low: runs.map(({ time_s, standardUncertainty_s: u }) => ms(time_s - reach * (u ?? Number.NaN))),
            high: runs.map(({ time_s, standardUncertainty_s: u }) => ms(time_s + reach * (u ?? Number.NaN))),
          },
        ]),
  ];
  const told = [
    ...predictions.map(
      ({ date, caseId, time_s }) => `${dayOf(date)} ${caseId} predicted ${ms(time_s).toFixed(1)} ms`,
    ),
    ...runs.map(
      ({ date, caseId, time_s }) => `${dayOf(date)} ${caseId} measured ${ms(time_s).toFixed(1)} ms`,
    ),
    ...updates.map(({ date }) => `${dayOf(date)} values updated`),
  ];
  return [
    {
      kind: "plot",
      id: "history",
      title: "History: prediction, run, update",
      words: `Opening time, ${definitionLabel(definition)}, against days since ${dayOf(first.date)}: ${told.join(", ")}.`,
      x: { label: `Days since ${dayOf(first.date)}`, unit: "d" },
      y: { label: "Opening time", unit: "ms" },
      marks,
    },
  ];
}

const dayOf = (date: string): string => date.slice(0, 10);

const timeWords = (seconds: number): string => formatQuantity(seconds, "time", { unit: "ms" });

/** The same as a list: what was predicted, measured and updated when. */
export function historyTable(events: readonly PastEvent[]): Table {
  return {
    title: "Predictions, runs and updates, oldest first",
    columns: ["date", "what", "case", "time", "from event to event"],
    rows: events.map(rowOf),
  };
}

function rowOf(one: PastEvent): readonly string[] {
  const date = one.date.slice(0, 16).replace("T", " ");
  switch (one.kind) {
    case "prediction":
      return [
        date,
        `sealed ${one.sha256.slice(0, 12)}`,
        one.caseId,
        one.time_s === null
          ? "does not open"
          : `${timeWords(one.time_s)}${one.band_s === null ? "" : ` (${timeWords(one.band_s.low)} to ${timeWords(one.band_s.high)})`}`,
        `from ${definitionLabel(one.definition)}`,
      ];
    case "run":
      return [
        one.isDated ? date : `${date} (imported)`,
        `run ${one.runId}${one.sense === null ? "" : `, ${one.sense}`}`,
        one.caseId,
        one.time_s === null
          ? "not known"
          : formatUncertain(one.time_s, one.standardUncertainty_s ?? 0, "time"),
        `from ${definitionLabel(one.definition)}`,
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
