/** History of a valve in one picture: predictions with their bands, measured times and updates, case by case. */
import type { PastEvent } from "../evidence/index.js";
import type { Figure, Mark } from "../picture/index.js";
import { formatQuantity, formatUncertain } from "../quantity/index.js";
import type { Table } from "./answer.js";
import { definitionLabel } from "./definition.js";

/** How far after its run an update is drawn, in numbers of events. */
const updateAfter = 0.28;
/** Two standard uncertainties either way. */
const reach = 2;
const ms = (seconds: number): number => 1e3 * seconds;

/** A prediction or a measured opening with its number in the picture. */
type Drawn = Exclude<PastEvent, { readonly kind: "update" }> & {
  readonly time_s: number;
  readonly x: number;
};

/**
 * Events that have an opening time, numbered case by case, those of a case in their order: by date alone
 * what was sealed on one day or tested years later would lie on one spot.
 */
function drawnEvents(events: readonly PastEvent[]): readonly Drawn[] {
  const timed = events.flatMap((one) =>
    one.kind !== "update" && one.time_s !== null && (one.kind === "prediction" || one.sense === "opening")
      ? [{ ...one, time_s: one.time_s }]
      : [],
  );
  const cases = [...new Set(timed.map(({ caseId }) => caseId))];
  return cases
    .flatMap((id) => timed.filter(({ caseId }) => caseId === id))
    .map((one, index) => ({ ...one, x: index + 1 }));
}

/** Opening times case by case, each test joined to the prediction sealed before it; none where nothing has a time. */
export function historyFigure(events: readonly PastEvent[]): readonly Figure[] {
  const drawn = drawnEvents(events);
  if (drawn.length === 0) return [];
  const predictions = drawn.flatMap((one) => (one.kind === "prediction" ? [one] : []));
  const runs = drawn.flatMap((one) => (one.kind === "run" ? [one] : []));
  const definition = runs[0]?.definition ?? predictions[0]?.definition ?? "";
  const cases = [...new Set(drawn.map(({ caseId }) => caseId))];
  const pairs = runs.flatMap((run) => {
    const sealed = predictions.filter(({ caseId, x }) => caseId === run.caseId && x < run.x).at(-1);
    return sealed === undefined ? [] : [{ run, sealed }];
  });
  // An update stands right after the last of its runs in each case.
  const updates = events.flatMap((one) =>
    one.kind === "update"
      ? cases.flatMap((id) => {
          const last = runs.filter(({ caseId, runId }) => caseId === id && one.runIds.includes(runId)).at(-1);
          return last === undefined ? [] : [{ x: last.x + updateAfter, runIds: one.runIds }];
        })
      : [],
  );
  const marks: Mark[] = [
    ...cases.map(
      (id): Mark => ({
        kind: "event",
        role: "neutral",
        x: (drawn.find(({ caseId }) => caseId === id)?.x ?? 1) - 0.5,
        label: id,
      }),
    ),
    ...updates.map(({ x }): Mark => ({ kind: "event", role: "better", x, label: "update" })),
    ...(pairs.length === 0
      ? []
      : [
          {
            kind: "line" as const,
            role: "neutral" as const,
            label: "from a prediction to its test",
            x: pairs.flatMap(({ sealed, run }) => [sealed.x, run.x, Number.NaN]),
            y: pairs.flatMap(({ sealed, run }) => [ms(sealed.time_s), ms(run.time_s), Number.NaN]),
          },
        ]),
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
  const told = cases.map((id) => {
    const own = drawn.filter(({ caseId }) => caseId === id);
    const each = own.map(
      ({ kind, x, date, time_s }) =>
        `${x} ${kind === "run" ? "measured" : "predicted"} ${ms(time_s).toFixed(1)} ms (${dayOf(date)})`,
    );
    return `${id}: ${each.join(", ")}`;
  });
  const updated = updates.map(
    ({ runIds }) => `Values were updated from run${runIds.length > 1 ? "s" : ""} ${runIds.join(", ")}.`,
  );
  return [
    {
      kind: "plot",
      id: "history",
      title: "History: prediction, run, update",
      words: [
        `Opening time, ${definitionLabel(definition)}, case by case, each in the order of its events. ${told.join("; ")}.`,
        ...new Set(updated),
      ].join(" "),
      x: { label: "Number of the event, case by case", unit: "", range: [0.5, drawn.length + 0.5] },
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
