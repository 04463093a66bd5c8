/** `coldturn profile`: a schedule of the opening for a wanted flow, followed, written for a controller, and verified. */
import { join } from "node:path";
import { type ScheduleForm, scheduleTable, scheduleText, verifySchedule } from "../evidence/index.js";
import { refuse } from "../fault/index.js";
import {
  kindAt,
  type OpenDossier,
  openDossier,
  readText,
  refuseFaulty,
  sha256,
  titleOf,
  writeWhole,
} from "../host/index.js";
import { drawText, type Figure } from "../picture/index.js";
import { modelVersion, OwnAnswers, type ScheduleAnswer, usualProbability } from "../predict/index.js";
import { scheduleFinding, worstVerdict } from "../question/index.js";
import { checkLines } from "./answerText.js";
import type { Command, Desk, Input, Outcome } from "./command.js";
import { caseIn, caseOption, samplesIn, samplesOption, seedIn, seedOption, textOption } from "./options.js";
import { type Page, paragraph, section, shellWord, typed } from "./page.js";
import { tableLines } from "./table.js";
import { withNotices } from "./withNotices.js";

/** Samples that follow the schedule; each takes as long as a hundred strokes. */
const usualSamples = 72;
/** Samples from which the slow end of the drive is taken, at least. */
const leastForLimits = 1000;
/** Names of the files in the folder that is written to. */
const names: Readonly<Record<ScheduleForm, string>> = { csv: "schedule.csv", c: "coldturn_schedule.h" };
const pictureRows = 18;

export const profileCommand: Command = {
  name: "profile",
  summary: "make a schedule of the opening for a wanted flow, and write it for a controller",
  details: [
    "From `schedule` in valve.yaml: the wanted history of the flow becomes an opening against time through the installed characteristic, kept within the speed, torque and jerk that the drive has at the slow end of its band, and is followed by the position loops at the nominal values and at samples of the band. Printed are what limits it and how far ball and flow are off, and when.",
    "--write puts it into a folder as schedule.csv and coldturn_schedule.h, in whole microseconds and microdegrees, with the linearisation (flow to opening), CRC-32 and SHA-256. --verify reads either file back and names the first line that is not as it was written.",
    "A file is a table of numbers: the program energises no hardware, and the interlocks of controller and stand go before it.",
  ],
  arguments: [
    {
      flags: "[folder]",
      description: "folder of the dossier, the one with valve.yaml in it; none with --verify",
    },
  ],
  options: [
    caseOption,
    samplesOption(usualSamples),
    seedOption,
    {
      flags: "--write <folder>",
      description: "write the schedule into this folder, made if it is not there",
    },
    { flags: "--force", description: "overwrite the files if they are there" },
    {
      flags: "--verify <file>",
      description: "read a written file back and say whether it is as it was written",
    },
  ],
  examples: [
    {
      command: "coldturn profile demo/petrel-oxygen-main",
      says: "The demo valve's throttling move, and how it is followed:",
    },
    {
      command: "coldturn profile demo/petrel-oxygen-main --write controller",
      says: "The same, written for a controller:",
    },
    { command: "coldturn profile --verify controller/schedule.csv", says: "Before the file is used:" },
  ],
  act: async (input, desk) => {
    const file = textOption(input, "verify");
    const [folder] = input.arguments;
    if (file !== undefined) return await verified(file);
    if (folder === undefined)
      refuse(
        "command-line",
        "no folder is given, and no file to verify",
        "It is called as: coldturn profile <folder> [options], or coldturn profile --verify <file>.",
        "`coldturn profile --help` lists what it takes",
      );
    return await made(folder, input, desk);
  },
};

async function made(folder: string, input: Input, desk: Desk): Promise<Outcome> {
  const samples = samplesIn(input, usualSamples);
  const seed = seedIn(input);
  const open = await openDossier(folder, caseIn(input));
  const target = textOption(input, "write");
  if (target !== undefined) refuseFaulty(open);
  const { dossier } = open.filled;
  await desk.pause();
  const own = new OwnAnswers(dossier, open.caseId, { seed, samples: Math.max(samples, leastForLimits) });
  const answer = own.scheduleFollowedBy(samples);
  const { schedule, duty } = dossier.valve;
  const finding = scheduleFinding(answer, {
    wanted: duty?.probability?.value ?? usualProbability,
    largest: {
      angle: schedule?.largest_angle_error?.value,
      flow: schedule?.largest_flow_error?.value,
    },
  });
  const text = reasonAgainst(answer);
  if (target !== undefined && text !== undefined) refuseSchedule(text);
  desk.signal.throwIfAborted();
  const written = target === undefined ? undefined : await write(target, open, answer, input);
  const verdict = worstVerdict(finding.checks);
  return withNotices(open, {
    status: open.faults.length > 0 ? 2 : verdict === "holds" ? 0 : 1,
    faults: open.faults,
    result: {
      valve: open.dossier.valve.name ?? null,
      case: open.caseId,
      model: modelVersion,
      samples,
      seed,
      sentence: finding.sentence,
      checks: finding.checks,
      tables: finding.tables,
      figures: finding.figures,
      files: written?.files ?? [],
    },
    text: (page) =>
      [
        ...paragraph(page, `${titleOf(open)}.`),
        ...paragraph(page, text ?? finding.sentence),
        ...finding.figures.flatMap((figure) => ["", ...figureLines(page, figure)]),
        ...finding.tables.flatMap(({ title, columns, rows }) =>
          section(page, title, tableLines(page, columns, rows)),
        ),
        ...section(page, "Checks", checkLines(page, finding.checks)),
        ...(written === undefined ? [] : writtenLines(page, written)),
      ].join("\n"),
  });
}

/** Why there is no schedule; undefined where there is one. */
function reasonAgainst({ isWanted, unfit, missing, stuck, followed }: ScheduleAnswer): string | undefined {
  if (!isWanted) return "Not known: valve.yaml has no `schedule`, which says what flow is wanted when.";
  if (unfit !== undefined) return `A schedule needs ${unfit}.`;
  if (missing.length > 0) return `Not known: the schedule needs ${missing.join(", ")}.`;
  return stuck === undefined && followed !== undefined
    ? undefined
    : "There is no schedule: the share of the torque that it may ask for does not move the ball at every opening on the way, at the slow end of the band.";
}

function refuseSchedule(found: string): never {
  return refuse(
    "schedule-not-known",
    found.replace(/\.$/, ""),
    "Only a schedule that the drive can follow within its margins is written.",
    "`coldturn profile` without --write shows what is missing, and what limits it",
  );
}

/** What was written. */
interface Written {
  readonly files: readonly { readonly path: string; readonly sha256: string }[];
  readonly rows: number;
}

async function write(
  target: string,
  open: OpenDossier,
  answer: ScheduleAnswer,
  input: Input,
): Promise<Written> {
  const { followed } = answer;
  if (followed === undefined) return { files: [], rows: 0 };
  const table = scheduleTable(followed, {
    valve: open.dossier.valve.name ?? "a valve without a name",
    case: open.caseId,
    valve_file_sha256: open.files.valve.sha256,
    model: modelVersion,
  });
  const replace = input.options.force === true ? "always" : "never";
  const texts = (["csv", "c"] as const).map((form) => ({
    path: join(target, names[form]),
    text: scheduleText(table, form, sha256),
  }));
  // Both or none: one that stands there already is found before either is written.
  if (replace === "never")
    for (const { path } of texts) if ((await kindAt(path)) !== "nothing") await writeWhole(path, "", "never");
  for (const { path, text } of texts) {
    await writeWhole(path, text, replace);
    verifySchedule(await readText(path), sha256);
  }
  return {
    files: texts.map(({ path, text }) => ({ path, sha256: sha256(text) })),
    rows: table.rows.length,
  };
}

function writtenLines(page: Page, { files, rows }: Written): readonly string[] {
  return section(page, "Written, read back and verified", [
    ...files.map(({ path }) => `  ${path}`),
    ...paragraph(
      page,
      `${rows} rows. Before use check the CRC-32, and let the controller's own interlocks go before the table; this says whether a file is as it was written:`,
    ),
    ...files.map(({ path }) => typed(`coldturn profile --verify ${shellWord(path)}`)),
  ]);
}

async function verified(path: string): Promise<Outcome> {
  const { form, table, checks } = verifySchedule(await readText(path), sha256);
  const { head } = table;
  const crc32 = checks.crc32.toString(16).padStart(8, "0");
  return {
    status: 0,
    result: { path, form, head, rows: table.rows.length, crc32, sha256: checks.sha256 },
    text: (page) =>
      [
        ...paragraph(
          page,
          `${path} is as it was written: ${head.rows} rows every ${head.sample_time_us} us, ${head.linearisation_rows} rows of the linearisation.`,
        ),
        ...tableLines(
          page,
          [],
          [
            ["valve", head.valve],
            ["case", head.case],
            ["valve.yaml, SHA-256", head.valve_file_sha256],
            ["payload, CRC-32", crc32],
            ["payload, SHA-256", checks.sha256],
          ],
        ),
        ...paragraph(
          page,
          "That it is whole says nothing of whether it suits the valve as it is now: compare the SHA-256 of valve.yaml.",
        ),
      ].join("\n"),
  };
}

function figureLines(page: Page, figure: Figure): readonly string[] {
  return drawText(figure, {
    columns: page.columns,
    rows: pictureRows,
    unicode: page.unicode,
    colour: page.colour,
  }).split("\n");
}
