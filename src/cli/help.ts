/** Help and the parsing of what was typed, both from the same declaration. */
import { CommanderError, Command as Parser } from "commander";
import { refuse } from "../fault/index.js";
import type { Argument, Command, Input } from "./command.js";
import { commonOptions } from "./options.js";
import { type Page, padded, paragraph, strong } from "./page.js";

/** Exit status in words; the same for every command. */
export const statusWords: readonly (readonly [string, string])[] = [
  ["0", "every check holds"],
  ["1", "a check fails, is thin or is not known"],
  ["2", "the input cannot be used: nothing was done, or a field with a fault counted as not known"],
  ["3", "a defect of the program"],
  ["130", "interrupted; nothing is half written"],
];

/** Which text goes where; the same for every command. */
const streamWords =
  "Answers go to the standard output, faults of the input to the standard error; with --json both stand in one record on the standard output.";

/** Commands that write or print something and judge no check. */
const withoutJudgement: readonly string[] = [
  "seal",
  "new",
  "import",
  "reduce",
  "property",
  "worker",
  "sweep",
  "team",
  "schema",
];

function judges({ name }: Command): boolean {
  return !withoutJudgement.includes(name);
}

const plainStatus: typeof statusWords = [
  ["0", "done"],
  ["2", "the input cannot be used: nothing was done"],
  ...statusWords.filter(([status]) => Number(status) > 2),
];

/** What was typed behind a command, or that its help is wanted. Refuses an option or argument it does not take. */
export function parseWords(command: Command, words: readonly string[]): Input | "help" {
  if (words.includes("--help") || words.includes("-h")) return "help";
  const parser = new Parser(command.name)
    .helpOption(false)
    .exitOverride()
    .configureOutput({ writeErr: () => undefined });
  for (const { flags, description } of command.arguments) parser.argument(flags, description);
  for (const { flags, description, isRepeated } of [...command.options, ...commonOptions]) {
    if (isRepeated === true) parser.option(flags, description, collected, []);
    else parser.option(flags, description);
  }
  try {
    parser.parse([...words], { from: "user" });
  } catch (thrown) {
    if (!(thrown instanceof CommanderError)) throw thrown;
    return refuseWords(command, thrown.message);
  }
  return { arguments: parser.args, options: parser.opts() };
}

function collected(text: string, before: readonly string[]): readonly string[] {
  return [...before, text];
}

function refuseWords(command: Command, message: string): never {
  const [found = "", near] = message.replace(/^error: /, "").split("\n");
  return refuse(
    "command-line",
    found,
    `It is called as: coldturn ${usageOf(command)}.`,
    `\`coldturn ${command.name} --help\` lists what it takes`,
    /Did you mean (.*)\?/.exec(near ?? "")?.[1],
  );
}

function usageOf(command: Command): string {
  const words = command.arguments.map(({ flags }) => flags).join(" ");
  return [command.name, words, "[options]"].filter((part) => part !== "").join(" ");
}

const lead = "  ";

function rows(page: Page, items: readonly (readonly [string, string])[]): readonly string[] {
  const width = Math.max(...items.map(([name]) => name.length)) + 2;
  return items.flatMap(([name, says]) => paragraph(page, says, `${lead}${padded(name, width)}`));
}

function argumentRows(page: Page, list: readonly Argument[]): readonly string[] {
  return rows(
    page,
    list.map(({ flags, description }) => [flags, description]),
  );
}

/** Help of one command. */
export function commandHelp(page: Page, command: Command): string {
  const lines = [
    `coldturn ${usageOf(command)}`,
    "",
    ...command.details.flatMap((text) => [...paragraph(page, text), ""]),
    ...(command.arguments.length === 0 ? [] : [...argumentRows(page, command.arguments), ""]),
    strong(page, "Options"),
    ...argumentRows(page, [...command.options, ...commonOptions]),
    "",
    strong(page, command.examples.length === 1 ? "Example" : "Examples"),
    ...command.examples.flatMap(({ command: words, says }) => [
      ...paragraph(page, says, lead),
      `${lead}${lead}${words}`,
    ]),
    "",
    strong(page, "Exit status"),
    ...rows(page, judges(command) ? statusWords : plainStatus),
  ];
  return `${lines.join("\n")}\n`;
}

/** The list of commands. */
export function overviewHelp(page: Page, commands: readonly Command[]): string {
  const lines = [
    "coldturn <command> [options]",
    "",
    ...paragraph(
      page,
      "Predicts, tests and judges a motor-driven ball valve for a cryogenic propellant, from one file that describes it.",
    ),
    "",
    strong(page, "Commands"),
    ...rows(
      page,
      commands.map(({ name, summary }) => [name, summary]),
    ),
    "",
    ...paragraph(page, "`coldturn <command> --help` shows what a command takes, with an example."),
    "",
    ...paragraph(page, streamWords),
    "",
    strong(page, "Exit status"),
    ...rows(page, statusWords),
  ];
  return `${lines.join("\n")}\n`;
}
