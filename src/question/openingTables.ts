/** Lists behind question 3: times by every definition, ceilings, energy. */
import { ledgerEntries, timeDefinitions } from "../physics/motion/index.js";
import type { Sense } from "../predict/index.js";
import type { Table } from "./answer.js";
import { bandFor, type Context, nominalValue } from "./context.js";
import { chanceWords, percentWords, quantityWords, valueWords } from "./words.js";

/** The tables of question 3; none where motion is not known. */
export function openingTables(context: Context): readonly Table[] {
  if (context.prediction.nominal.opening === undefined) return [];
  return [
    timesTable(context, "opening"),
    timesTable(context, "closing"),
    chancesTable(context),
    ceilingsTable(context),
    ...energyTable(context),
  ];
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
    chance === undefined ? "not known" : chanceWords(chance),
  ];
  return {
    title: "Chance that there is no time",
    columns: [
      "what happens",
      `chance${band === undefined ? "" : `, ${percentWords(band.confidence)} confidence`}`,
    ],
    rows: [row("does not open", band?.notOpening), row("does not close", band?.notClosing)],
  };
}

function ceilingsTable({ prediction }: Context): Table {
  const { ceilings } = prediction.nominal;
  const time = (seconds: number | undefined, none: string) =>
    seconds === undefined ? none : quantityWords(seconds, "time");
  return {
    title: `Ceilings of the opening time, ${timeDefinitions.find(({ id }) => id === prediction.definition)?.label ?? prediction.definition}`,
    columns: ["ceiling", "time", "how"],
    rows: [
      ["fastest", time(ceilings?.fastest, "does not open even so"), "no friction in valve, gears and motor"],
      [
        "slowest",
        time(ceilings?.slowest, "none found"),
        ceilings?.stallFactor === undefined
          ? "it stalls as it is, or no friction of the valve stalls it"
          : `just before friction stalls the drive, at ${quantityWords(ceilings.stallFactor, "ratio")} times the valve's friction`,
      ],
    ],
  };
}

function energyTable({ prediction }: Context): readonly Table[] {
  const ledger = prediction.nominal.opening?.ledger;
  if (ledger === undefined) return [];
  return [
    {
      title: "Where the energy of the opening goes",
      columns: ["entry", "energy"],
      rows: [
        ...ledgerEntries.map(({ id, label }) => [label, quantityWords(ledger.entries[id], "energy", "J")]),
        ["not accounted for", quantityWords(ledger.residual, "energy", "J")],
      ],
    },
  ];
}
