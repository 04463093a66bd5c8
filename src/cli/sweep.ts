/** `coldturn sweep`: the sweeps that are queued on a PostgreSQL database. */
import { nearName, refuse } from "../fault/index.js";
import { cancelSweep, type ListedSweep, listSweeps, onSweeps, resumeSweep } from "../host/index.js";
import type { Command } from "./command.js";
import { addressIn, onOption } from "./options.js";
import { type Page, paragraph } from "./page.js";
import { sweepOptions } from "./sweepNews.js";
import { tableLines } from "./table.js";

const acts = ["list", "cancel", "resume"] as const;

export const sweepCommand: Command = {
  name: "sweep",
  summary: "list, cancel and resume the sweeps that are queued on PostgreSQL",
  details: [
    "`list` shows what is queued and how far it is; `cancel <sweep>` stops one, what is worked out is kept; `resume <sweep>` goes on with it. Whoever ordered a sweep and was interrupted gives the same command again: it goes on from what is there.",
  ],
  arguments: [
    { flags: "<act>", description: "list, cancel or resume" },
    { flags: "[sweep]", description: "which: its id as `list` shows it" },
  ],
  options: [{ ...onOption, description: "the database, postgres://login@host:port/name" }],
  examples: [
    { command: "coldturn sweep list --on postgres://ann@db.example/valves", says: "What is queued:" },
  ],
  act: async (input, desk) => {
    const [word = "", id] = input.arguments;
    const act = acts.find((one) => one === word);
    if (act === undefined)
      return refuse(
        "sweep-act",
        `"${word}" is nothing that can be done with a sweep`,
        `It is one of ${acts.join(", ")}.`,
        "`coldturn sweep --help` says what each does",
        nearName(word, acts),
      );
    if (act !== "list" && id === undefined)
      return refuse(
        "command-line",
        `\`coldturn sweep ${act}\` needs a sweep`,
        "",
        "`coldturn sweep list` shows their ids",
      );
    const sweeps = await onSweeps(addressIn(input, "the sweeps"), sweepOptions(desk), async (data, boss) => {
      if (act === "cancel") await cancelSweep(data, boss, id ?? "");
      if (act === "resume") await resumeSweep(data, boss, id ?? "");
      return await listSweeps(data, id);
    });
    return {
      status: 0,
      result: { sweeps },
      text: (page) =>
        (sweeps.length === 0 ? paragraph(page, "No sweep is queued.") : sweepLines(page, sweeps)).join("\n"),
    };
  },
};

function sweepLines(page: Page, sweeps: readonly ListedSweep[]): readonly string[] {
  const rows = sweeps.map(({ id, state, done, blocks, workers, model, title }) => [
    ...[id, state, `${String(done)} of ${String(blocks)}`, String(workers), model, title],
  ]);
  return tableLines(page, ["sweep", "state", "blocks", "workers", "model", "what"], rows);
}
