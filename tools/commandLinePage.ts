/**
 * Prints docs/command-line.md from the declarations of the commands, so that help and page cannot differ.
 *
 *   npm run setup && node dist/tools/commandLinePage.js > docs/command-line.md
 */
import type { Command } from "../src/cli/command.js";
import { commands } from "../src/cli/commands.js";
import { statusWords } from "../src/cli/help.js";
import { commonOptions } from "../src/cli/options.js";

/** What stands in angle brackets is to be read, and no tag. */
const prose = (text: string): string =>
  text
    .split(/(`[^`]*`)/)
    .map((part, i) => (i % 2 === 1 ? part : part.replace(/<(?=[a-z])/g, "\\<")))
    .join("");
const cell = (text: string): string => prose(text).replaceAll("|", "\\|");
const code = (text: string): string => `\`${text}\``;
const table = (heads: readonly string[], rows: readonly (readonly string[])[]): readonly string[] => [
  `| ${heads.join(" | ")} |`,
  `|${heads.map(() => "---").join("|")}|`,
  ...rows.map((row) => `| ${row.map(cell).join(" | ")} |`),
  "",
];

function section(command: Command): readonly string[] {
  const words = [command.name, ...command.arguments.map(({ flags }) => flags)].join(" ");
  const options = [...command.arguments, ...command.options];
  return [
    `## ${code(`coldturn ${words}`)}`,
    "",
    ...command.details.flatMap((text) => [prose(text), ""]),
    ...(options.length === 0
      ? []
      : table(
          ["", ""],
          options.map(({ flags, description }) => [code(flags), description]),
        )),
    ...command.examples.flatMap(({ says, command: typed }) => [says, "", "```sh", typed, "```", ""]),
  ];
}

const declared = await Promise.all(commands.map(({ load }) => load()));
const lines = [
  "# The command line",
  "",
  "Written by `tools/commandLinePage.ts` from the same declarations as the help; a test holds the two together.",
  "",
  ...table(
    ["command", "what it does"],
    declared.map(({ name, summary }) => [code(`coldturn ${name}`), summary]),
  ),
  "In a clone the program is called as `npx coldturn`, after `npm run setup`.",
  "",
  "## What all commands share",
  "",
  ...table(
    ["", ""],
    [...commonOptions, { flags: "--help", description: "say what the command takes, with an example" }].map(
      ({ flags, description }) => [code(flags), description],
    ),
  ),
  "The exit status says the outcome:",
  "",
  ...table(["status", "meaning"], statusWords),
  "A check that is not known does not hold, so a file with gaps ends with 1. A question that this version has no model for is printed as not known and does not count.",
  "",
  "With `--json` the standard output holds one record: `coldturn` (version), `command`, `status`, `faults` and, where there is one, `result`. Text and JSON say the same. Numbers are SI: a `dimension` stands beside them, or the name ends in the unit (`time_s`). What does not exist is left out or null, never a number.",
  "",
  "Faults of the input stand on the standard error, or in the record. Progress is shown on a terminal alone. Colours too; `NO_COLOR` and `FORCE_COLOR` say otherwise. A text is as wide as the terminal, at most 120; in a pipe 100, or what `COLUMNS` says. `SOURCE_DATE_EPOCH`, in seconds since 1970, stands in for the present where a date is written.",
  "",
  "Files are written whole or not at all, and never over another unless `--force` is given; an interruption at any instant loses nothing that was on disk.",
  "",
  ...declared.flatMap(section),
];
process.stdout.write(`${lines.join("\n").trimEnd()}\n`);
