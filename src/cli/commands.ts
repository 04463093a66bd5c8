/** The command table. A command is loaded only when it is called. */
import type { Command } from "./command.js";

export interface Entry {
  readonly name: string;
  readonly load: () => Promise<Command>;
}

export const commands: readonly Entry[] = [
  { name: "new", load: async () => (await import("./new.js")).newCommand },
  { name: "check", load: async () => (await import("./check.js")).checkCommand },
  { name: "predict", load: async () => (await import("./predict.js")).predictCommand },
  { name: "schema", load: async () => (await import("./schema.js")).schemaCommand },
];
