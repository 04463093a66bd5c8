/** `coldturn new`: the folder of a dossier with the file to start from. */
import { basename, join, resolve } from "node:path";
import { starterFile } from "../dossier/index.js";
import { writeWhole } from "../host/index.js";
import type { Command } from "./command.js";
import { folderIn, hasOption, textOption } from "./options.js";
import { paragraph, shellWord, typed } from "./page.js";

export const newCommand: Command = {
  name: "new",
  summary: "start a dossier: a folder with a valve file to fill in",
  details: [
    "Makes a folder with valve.yaml in it: every field with its meaning, an example and its bounds, every value still blank. A blank field is not known, and the answers that need it say so.",
    "A file that is there already is not overwritten.",
  ],
  arguments: [{ flags: "<folder>", description: "folder to make, or to put the file into" }],
  options: [
    { flags: "--name <name>", description: "name of the valve (default: the name of the folder)" },
    { flags: "--force", description: "overwrite a valve.yaml that is there" },
  ],
  examples: [
    {
      command: 'coldturn new oxygen-main --name "Oxygen main valve"',
      says: "A folder oxygen-main with the file to fill in:",
    },
  ],
  act: async (input) => {
    const folder = folderIn(input);
    const name = textOption(input, "name") ?? basename(resolve(folder)).replaceAll(/[-_]+/g, " ");
    const path = join(folder, "valve.yaml");
    await writeWhole(path, starterFile(name), hasOption(input, "force") ? "always" : "never");
    return {
      status: 0,
      result: { path, name },
      text: (page) =>
        [
          `Wrote ${path}`,
          "",
          ...paragraph(
            page,
            "Fill in what you know and leave the rest blank. Then this says what follows from it and what is still missing:",
          ),
          typed(`coldturn check ${shellWord(folder)}`),
        ].join("\n"),
    };
  },
};
