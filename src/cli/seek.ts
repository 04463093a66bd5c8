/** `coldturn seek`: which other parts would do better. */
import { join } from "node:path";
import { type Notice, Refusal, refuse } from "../fault/index.js";
import {
  clearOtherSeeks,
  keepSeekBlock,
  keptSeekBlocks,
  makeWholeFolder,
  type OpenDossier,
  openDossier,
  queuedSeek,
  refuseFaulty,
  requireFolderOf,
  runSeek,
  titleOf,
  writeWhole,
} from "../host/index.js";
import {
  choiceFile,
  type PeakMargins,
  peakMargins,
  planBlocks,
  type SeekBlock,
  type SeekBlockResult,
  type SeekOrder,
  type SeekPlan,
  seekAnswer,
  seekOrder,
  seekPlan,
  usualSeekSamples,
} from "../seek/index.js";
import type { Command, Desk, Input, Outcome } from "./command.js";
import {
  caseIn,
  caseOption,
  folderArgument,
  folderIn,
  hasOption,
  onOption,
  seedIn,
  seedOption,
  seekSamplesIn,
  textOption,
  workersIn,
  workersOption,
} from "./options.js";
import { frontCsv } from "./seekCsv.js";
import { seekPage, shownOf } from "./seekText.js";
import { sweepOptions } from "./sweepNews.js";
import { withNotices } from "./withNotices.js";

export const seekCommand: Command = {
  name: "seek",
  summary: "search for parts that would do better",
  details: [
    "Tries every combination of valve, motor, gear stages, battery and command that `seek` in valve.yaml allows, in the place of what is declared: first by closed forms that discard only what would fail anyway, then by one opening and one closing at the nominal values, then by samples of the band. Printed are the choices that no other choice beats, why the others lost, and what relaxing each limit would buy.",
    "A choice is a number, not a decision: `--variant` with its number and `--write` with a folder writes a changed copy of the valve file there, which `coldturn check` then looks at in full: what the search does not ask for, as shock, cold, line and oxygen, it does not know.",
    "Blocks that are done are kept in seek/ of the dossier; a search that was broken off goes on from there, as long as neither files nor program have changed.",
  ],
  arguments: [folderArgument],
  options: [
    caseOption,
    {
      flags: "--samples <n>",
      description: "samples of each choice's band (default: as many as show the wanted probability)",
    },
    seedOption,
    workersOption,
    onOption,
    { flags: "--front <file>", description: "write the choices that no other beats as CSV" },
    { flags: "--variant <number>", description: "the choice of this number, to be written with --write" },
    {
      flags: "--write <folder>",
      description: "write a dossier with the parts of --variant into a new folder",
    },
    { flags: "--force", description: "overwrite the file of --front if it is there" },
    { flags: "--afresh", description: "work everything out again, whatever was kept" },
  ],
  examples: [
    { command: "coldturn seek demo/petrel-oxygen-main", says: "Other motors and gears for the demo valve:" },
    {
      command: "coldturn seek demo/petrel-oxygen-main --on postgres://ann@db.example/valves",
      says: "The same on every `coldturn worker` of a database:",
    },
    {
      command: "coldturn seek demo/petrel-oxygen-main --variant 42 --write petrel-variant",
      says: "Choice 42 as a dossier of its own:",
    },
  ],
  act: async (input, desk) => {
    const open = await openDossier(folderIn(input), caseIn(input));
    refuseFaulty(open);
    const order = orderOf(open, input);
    const plan = seekPlan(order);
    const variant = textOption(input, "variant");
    const target = textOption(input, "write");
    if (variant !== undefined || target !== undefined) return await written(open, plan, variant, target);
    return await sought(open, plan, input, desk);
  },
};

function orderOf({ files, dossier, caseId }: OpenDossier, input: Input): SeekOrder {
  // Without the place of the files on this machine: the same search from anywhere is the same order.
  const plain = ({ path, text }: { readonly path: string; readonly text: string }) => ({
    path: path.replace(/^.*[\\/]/, ""),
    text,
  });
  return seekOrder({
    valve: plain(files.valve),
    parts: files.parts.map(plain),
    caseId,
    seed: seedIn(input),
    samples: seekSamplesIn(input, usualSeekSamples(dossier)),
  });
}

async function sought(open: OpenDossier, plan: SeekPlan, input: Input, desk: Desk): Promise<Outcome> {
  const { folder } = open.files;
  const { order } = plan;
  const notices: Notice[] = [];
  const file = textOption(input, "front");
  if (file !== undefined) await requireFolderOf(file);
  const blocks = planBlocks(plan);
  const on = textOption(input, "on");
  // What is queued is kept by the database.
  const isKept = on === undefined && !hasOption(input, "afresh");
  const kept = !isKept ? [] : await keptBefore(folder, order, blocks);
  const done = new Set(kept.map(({ block }) => block.start));
  const keep = async (result: SeekBlockResult) => {
    try {
      await keepSeekBlock(folder, order, result);
    } catch (thrown) {
      // A folder that cannot be written still gets its answer.
      if (!(thrown instanceof Refusal)) throw thrown;
      if (notices.length === 0) notices.push(notKept(thrown));
    }
  };
  const fresh =
    on === undefined
      ? await runSeek({
          order,
          blocks: blocks.filter(({ start }) => !done.has(start)),
          count: workersIn(input),
          signal: desk.signal,
          onProgress: (progress) => desk.progress.tell("seeking", progress),
          onBlock: keep,
        })
      : await queuedSeek(on, order, blocks, titleOf(open), sweepOptions(desk));
  const answer = seekAnswer(plan, [...kept, ...fresh]);
  const peaks: PeakMargins[] = [];
  const looked = shownOf(answer);
  for (const { index } of looked) {
    const progress = { done: peaks.length, total: looked.length, secondsLeft: Number.NaN };
    desk.progress.tell("working out the peaks", progress);
    peaks.push(peakMargins(plan, index));
    await desk.pause();
    desk.signal.throwIfAborted();
  }
  desk.signal.throwIfAborted();
  if (notices.length === 0) await clearOtherSeeks(folder, order);
  if (file !== undefined)
    await writeWhole(file, frontCsv(answer), hasOption(input, "force") ? "always" : "never");
  return withNotices(
    open,
    {
      status: answer.passing > 0 ? 0 : 1,
      faults: open.faults,
      result: {
        valve: open.dossier.valve.name ?? null,
        ...answer,
        peaks,
        ...(file === undefined ? {} : { front_file: file }),
      },
      text: (page) => seekPage(page, titleOf(open), answer, peaks, file),
    },
    notices,
  );
}

/** What was kept of an earlier start; a folder that cannot be read keeps nothing. */
async function keptBefore(
  folder: string,
  order: SeekOrder,
  blocks: readonly SeekBlock[],
): Promise<readonly SeekBlockResult[]> {
  try {
    return await keptSeekBlocks(folder, order, blocks);
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return [];
  }
}

function notKept({ faults }: Refusal): Notice {
  return {
    code: "seek-not-kept",
    text: `blocks of the search were not kept in seek/ (${faults.map(({ found }) => found).join("; ")}): if it is broken off it begins anew`,
  };
}

async function written(
  { files }: OpenDossier,
  plan: SeekPlan,
  variant: string | undefined,
  target: string | undefined,
): Promise<Outcome> {
  if (variant === undefined || target === undefined)
    refuse(
      "command-line",
      "--variant and --write belong together",
      "A choice is written into a folder of its own, never over the dossier.",
      "Write, for example, --variant 42 --write petrel-variant",
    );
  const { index, text } = choiceFile(plan, variant);
  await makeWholeFolder(target, async (folder) => {
    await writeWhole(join(folder, "valve.yaml"), text, "never");
    for (const part of files.parts)
      await writeWhole(join(folder, "parts", part.path.replace(/^.*[\\/]/, "")), part.text, "never");
  });
  return {
    status: 0,
    result: { variant: index, folder: target },
    text: () => `Wrote ${join(target, "valve.yaml")}\n\nLook at all of it with: coldturn check ${target}`,
  };
}
