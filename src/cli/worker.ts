/** `coldturn worker`: works out blocks of sweeps that are queued on a PostgreSQL database. */
import { Refusal } from "../fault/index.js";
import { takeWork, type WorkDone, type WorkerNews } from "../host/index.js";
import type { Command } from "./command.js";
import { addressIn, hasOption, onOption, wholeOption, workersIn, workersOption } from "./options.js";
import { paragraph } from "./page.js";
import { note } from "./sweepNews.js";

export const workerCommand: Command = {
  name: "worker",
  summary: "work out blocks of sweeps that are queued on PostgreSQL, on any host",
  details: [
    "Takes blocks from the queue, works them out and delivers the results, until it is interrupted. Any number of workers on any number of hosts share the work; the results do not depend on them. A worker may be killed at any moment, the database restarted or the network cut: nothing is lost and nothing counted twice.",
    "A sweep that was ordered of another version of the model, or by a program whose arithmetic gives other last bits, is left to other workers, and the worker says so.",
  ],
  arguments: [],
  options: [
    { ...onOption, description: "the database, postgres://login@host:port/name" },
    workersOption,
    { flags: "--idle <seconds>", description: "end after so long without work (default: never)" },
  ],
  examples: [
    {
      command: "coldturn worker --on postgres://ann@db.example/valves",
      says: "On each host that shall help:",
    },
  ],
  act: async (input, desk) => {
    const idle_s = wholeOption(input, "idle");
    const isQuiet = hasOption(input, "quiet") || hasOption(input, "json");
    const done = await takeWork(addressIn(input, "the sweeps"), {
      signal: desk.signal,
      count: workersIn(input),
      ...(idle_s === undefined ? {} : { idle_s }),
      onNews: (news) => {
        const text = isQuiet ? undefined : newsText(news);
        if (text !== undefined) note(desk, text);
      },
    });
    refuseOthers(done);
    return {
      status: 0,
      result: done,
      text: (page) =>
        paragraph(
          page,
          `Nothing was left to do: ${String(done.blocks)} blocks worked out in ${done.worked_s.toFixed(1)} s of work.`,
        ).join("\n"),
    };
  },
};

function newsText(news: WorkerNews): string | undefined {
  if (news.kind === "ready") return `Takes work from ${news.address}; Ctrl-C ends it.`;
  if (news.kind === "away")
    return `The database is out of reach (${news.because}); what is in hand goes on, the rest is waited for.`;
  if (news.kind === "back") return `The database is back after ${news.after_s.toFixed(1)} s.`;
  if (news.kind === "left")
    return `Sweep ${news.sweep.id} (${news.sweep.title}) is left to others: ${news.sweep.because}.`;
  return undefined;
}

/** A worker that did nothing but leave work to others is of no use here: that is no success. */
function refuseOthers({ blocks, left }: WorkDone): void {
  if (blocks > 0 || left.length === 0) return;
  throw new Refusal(
    left.map(({ id, title, because }) => ({
      code: "sweep-of-others",
      where: {},
      found: `sweep ${id} (${title}) is left to others: ${because}`,
      allowed: "The results of a sweep are of one model, to the last bit.",
      mend: "Start workers of the program that ordered it, or order it again with this one",
    })),
  );
}
