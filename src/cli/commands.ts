/** The command table. A command is loaded only when it is called. */
import type { Command } from "./command.js";

export interface Entry {
  readonly name: string;
  /** Whether it predicts whatever is asked for: its workers then start while the command itself is loaded. */
  readonly predicts: boolean;
  readonly load: () => Promise<Command>;
}

export const commands: readonly Entry[] = [
  { name: "new", predicts: false, load: async () => (await import("./new.js")).newCommand },
  { name: "check", predicts: true, load: async () => (await import("./check.js")).checkCommand },
  { name: "predict", predicts: true, load: async () => (await import("./predict.js")).predictCommand },
  { name: "seal", predicts: true, load: async () => (await import("./seal.js")).sealCommand },
  { name: "import", predicts: false, load: async () => (await import("./import.js")).importCommand },
  { name: "reconcile", predicts: false, load: async () => (await import("./reconcile.js")).reconcileCommand },
  { name: "reduce", predicts: false, load: async () => (await import("./reduce.js")).reduceCommand },
  { name: "series", predicts: false, load: async () => (await import("./series.js")).seriesCommand },
  { name: "history", predicts: false, load: async () => (await import("./history.js")).historyCommand },
  { name: "next", predicts: false, load: async () => (await import("./next.js")).nextCommand },
  { name: "plan", predicts: true, load: async () => (await import("./plan.js")).planCommand },
  { name: "hazards", predicts: true, load: async () => (await import("./hazards.js")).hazardsCommand },
  { name: "parts", predicts: false, load: async () => (await import("./parts.js")).partsCommand },
  { name: "profile", predicts: false, load: async () => (await import("./profile.js")).profileCommand },
  { name: "seek", predicts: false, load: async () => (await import("./seek.js")).seekCommand },
  { name: "note", predicts: true, load: async () => (await import("./note.js")).noteCommand },
  { name: "sheet", predicts: true, load: async () => (await import("./sheet.js")).sheetCommand },
  {
    name: "property",
    predicts: false,
    load: async () => (await import("./property.js")).propertyCommand,
  },
  { name: "worker", predicts: false, load: async () => (await import("./worker.js")).workerCommand },
  { name: "sweep", predicts: false, load: async () => (await import("./sweep.js")).sweepCommand },
  { name: "team", predicts: false, load: async () => (await import("./team.js")).teamCommand },
  { name: "serve", predicts: false, load: async () => (await import("./serve.js")).serveCommand },
  { name: "migrate", predicts: false, load: async () => (await import("./migrate.js")).migrateCommand },
  { name: "schema", predicts: false, load: async () => (await import("./schema.js")).schemaCommand },
  { name: "trade", predicts: false, load: async () => (await import("./trade.js")).tradeCommand },
];
