/** Lists behind question 3: times by every definition, ceilings, energy. */
import { type EnergyLedger, ledgerEntries, timeDefinitions } from "../physics/motion/index.js";
import { type ColdCoupling, convergenceOf, type Sense } from "../predict/index.js";
import { formatQuantity } from "../quantity/index.js";
import type { Table } from "./answer.js";
import { bandFor, type Context, nominalValue } from "./context.js";
import { definitionLabel } from "./definition.js";
import { percentWords, probabilityWords, quantityWords, valueWords } from "./words.js";

/** The tables of question 3; none where motion is not known. */
export function openingTables(context: Context, coupling: ColdCoupling | undefined): readonly Table[] {
  if (context.prediction.nominal.opening === undefined) return [];
  return [
    timesTable(context, "opening"),
    timesTable(context, "closing"),
    chancesTable(context),
    ...settlingTable(context),
    ceilingsTable(context),
    ...(coupling === undefined ? [] : [couplingTable(coupling)]),
    ...energyTable(context),
  ];
}

/** What the cold does to the opening by way of the preload of the seats (question 6). */
function couplingTable({ left, kept, lost }: ColdCoupling): Table {
  const row = (what: string, { preload_N, breakaway_Nm, time_s }: ColdCoupling["left"]) => [
    what,
    quantityWords(preload_N, "force"),
    quantityWords(breakaway_Nm, "torque"),
    time_s === undefined ? "does not open" : quantityWords(time_s, "time", "ms"),
  ];
  return {
    title: "What the cold does to the opening by way of the seats' preload, nominal",
    columns: ["preload", "at the temperature of the valve", "breakaway torque", "opening time of the limit"],
    rows: [
      row("as the cold leaves it", left),
      row("all of it kept", kept),
      row("all of it lost: the seats have come off the ball", lost),
    ],
  };
}

function timesTable(context: Context, sense: Sense): Table {
  const { band } = context.prediction;
  return {
    title: `${sense === "opening" ? "Opening" : "Closing"} time by every definition`,
    columns: ["from event to event", "nominal", "median of the band", "low", "high"],
    rows: timeDefinitions.map(({ id, label }) => {
      const column = `${sense}:${id}`;
      const value = nominalValue(context, column);
      const interval = bandFor(context, column);
      const figure = band?.figures[column];
      const show = (si: number | undefined) =>
        si === undefined ? "" : valueWords(si, interval, "time", si < 1 ? "ms" : "s");
      return [
        label,
        value === undefined ? "does not exist" : show(value),
        show(figure?.median.value),
        show(interval?.low),
        show(interval?.high),
      ];
    }),
  };
}

function chancesTable({ prediction }: Context): Table {
  const { band } = prediction;
  const row = (what: string, chance: NonNullable<typeof band>["notOpening"]) => [
    what,
    chance === undefined ? "not known" : probabilityWords(chance),
  ];
  return {
    title: "Probability that there is no time",
    columns: [
      "what happens",
      `probability${band === undefined ? "" : `, ${percentWords(band.confidence)} confidence`}`,
    ],
    rows: [row("does not open", band?.notOpening), row("does not close", band?.notClosing)],
  };
}

/** Digits of a band that still moves with its samples are no digits: how its ends settle. */
function settlingTable({ prediction: { band, definition } }: Context): readonly Table[] {
  const points = band === undefined ? [] : convergenceOf(band, `opening:${definition}`);
  if (band === undefined || points.length === 0) return [];
  const finest = points[points.length - 1];
  const width = finest === undefined ? 0 : finest.high - finest.low;
  const show = (seconds: number) =>
    formatQuantity(seconds, "time", { unit: seconds < 1 ? "ms" : "s", uncertainty: settledShare * width });
  return [
    {
      title: `How the band of the opening time settles, ${definitionLabel(definition)}`,
      columns: ["samples drawn", "low", "median", "high"],
      rows: points.map(({ samples, low, median, high }) => [
        String(samples),
        show(low),
        show(median),
        show(high),
      ]),
    },
  ];
}

/** Shown to this share of the band's width [-]. */
const settledShare = 0.05;

function ceilingsTable({ prediction }: Context): Table {
  const { ceilings, opening } = prediction.nominal;
  const time = (seconds: number | undefined, none: string) =>
    seconds === undefined ? none : quantityWords(seconds, "time");
  return {
    title: `Ceilings of the opening time, ${definitionLabel(prediction.definition)}`,
    columns: ["ceiling", "time", "how"],
    rows: [
      ["fastest", time(ceilings?.fastest, "does not open even so"), "no friction in valve, gears and motor"],
      [
        "slowest",
        time(ceilings?.slowest, "none found"),
        ceilings?.stallFactor === undefined
          ? opening?.outcome !== "stalled"
            ? "no friction of the valve stalls it"
            : "it does not open as it is"
          : `just before friction stalls the drive, at ${quantityWords(ceilings.stallFactor, "ratio")} times the valve's friction`,
      ],
    ],
  };
}

function energyTable({ prediction }: Context): readonly Table[] {
  const ledger = prediction.nominal.opening?.ledger;
  if (ledger === undefined) return [];
  const say = (joule: number) => energyWords(ledger, joule);
  return [
    {
      title: "Where the energy of the opening goes",
      columns: ["entry", "energy"],
      rows: [
        ["given by the source", say(ledger.entries.supplied)],
        ...spentEntries(ledger).map(({ id, label }) => [label, say(ledger.entries[id])]),
        ["not accounted for", say(ledger.residual)],
      ],
    },
  ];
}

/** Energies are printed, and entries listed, to this share of the energy supplied: the ledger closes to it. */
const closing = 1e-3;

/** Entries that the energy went to, in the order in which power passes them. */
export function spentEntries({ entries }: EnergyLedger) {
  return ledgerEntries.filter(
    ({ id }) => id !== "supplied" && Math.abs(entries[id]) > 0.1 * closing * Math.abs(entries.supplied),
  );
}

/** An energy of the ledger, digits to what the ledger closes to. */
export function energyWords({ entries }: EnergyLedger, joule: number): string {
  const step = closing * Math.abs(entries.supplied);
  return step > 0
    ? formatQuantity(joule, "energy", { unit: "J", uncertainty: 10 * step })
    : formatQuantity(joule, "energy", { unit: "J" });
}
