/** `coldturn reduce`: what a run's log shows: events, times, torque, friction, flow coefficient, leak. */
import { applyDefaults } from "../dossier/index.js";
import { type ChannelLog, type Reduction, reduceRun } from "../evidence/index.js";
import { type Fault, Refusal } from "../fault/index.js";
import {
  keepMeasuredTimes,
  keptReduction,
  measuredTimesOf,
  type OpenDossier,
  openDossier,
  readRunLog,
  readWholeRunLog,
  restsOn,
  type StoredRun,
  wantedRuns,
} from "../host/index.js";
import { modelVersion } from "../predict/index.js";
import { unitDimensions } from "../quantity/index.js";
import type { Command } from "./command.js";
import { folderArgument, folderIn, textOption } from "./options.js";
import { reducePage } from "./reduceText.js";
import { withNotices } from "./withNotices.js";

export const reduceCommand: Command = {
  name: "reduce",
  summary: "work out what a run's log shows: times, torque, friction, flow coefficient, leak",
  details: [
    "Reads each stroke of a log for itself: events with those moved by hand beside the automatic ones, opening and closing times by every definition, torque at the stem from the motor current, a torque sensor or strain gauges, friction by direction from an opening and a closing, the flow coefficient from flow and drop. The log of a leak test (a case with leak_test) gives the leakage with the temperature of the gas taken into account.",
    "Each number has its uncertainty by the GUM, first order, held against the Monte Carlo method of its first supplement: noise, resolution, sampling interval, delays of filters, clocks, calibrations, and what is declared. What is lacking for the others is said.",
    "The result is kept beside the run; questions 11 and 12 and the sheet show it as long as nothing it rests on changes.",
  ],
  arguments: [folderArgument],
  options: [{ flags: "--run <id>", description: "the run to look at (default: all of them)" }],
  examples: [{ command: "coldturn reduce oxygen-main --run 2031-04-14-dry", says: "One run:" }],
  act: async (input, desk) => {
    const open = await openDossier(folderIn(input), "duty");
    const runs = await wantedRuns(open, textOption(input, "run"));
    const reductions: Reduction[] = [];
    const faults: Fault[] = [...open.faults];
    for (const run of runs) {
      desk.signal.throwIfAborted();
      try {
        const { channels: log, notices } = await readWholeRunLog(run);
        const found = reductionOf(open, run, log);
        const reduction = { ...found, notices: [...notices, ...found.notices] };
        await keptReduction.write(run, restsOn(open.files), modelVersion, reduction);
        // The times of the run are those of its first stroke, as the other commands read it.
        if (reduction.strokes.length > 0)
          await keepMeasuredTimes(open, run, measuredTimesOf(open, run, await readRunLog(run)));
        reductions.push(reduction);
      } catch (thrown) {
        // A single run that cannot be used is told alone; of several, the others are still told.
        if (!(thrown instanceof Refusal) || runs.length === 1) throw thrown;
        faults.push(...thrown.faults);
      }
    }
    return withNotices(open, {
      status: faults.length > 0 ? 2 : 0,
      faults,
      result: { valve: open.dossier.valve.name ?? null, file: open.files.valve.path, runs: reductions },
      text: (page) => reducePage(page, open, reductions, faults),
    });
  },
};

/** Reduces the log of a run. */
export function reductionOf({ dossier }: OpenDossier, run: StoredRun, log: ChannelLog): Reduction {
  const { id, case: caseId, mapping, moves } = run.record;
  const unit = mapping.channels.find(({ role }) => role === "flow")?.unit ?? "";
  const isVolume = unitDimensions(unit).includes("volume flow");
  return reduceRun({
    runId: id,
    caseId,
    dossier: applyDefaults(dossier, caseId).dossier,
    log,
    moves,
    flow: isVolume ? "volume flow" : "mass flow",
  });
}
