/** `coldturn migrate`: files of an older format version, shown as they would be written, and written on request. */
import { migrateFiles, migrationsOf } from "../host/index.js";
import type { Command } from "./command.js";
import { folderArgument, folderIn, hasOption } from "./options.js";
import { paragraph, section, shellWord, typed } from "./page.js";

export const migrateCommand: Command = {
  name: "migrate",
  summary: "write files of an older format version anew, with a backup beside each",
  details: [
    "valve.yaml, hazards.yaml and stand.yaml name their format version at their head; a file that names none is of version 0. An older file is read as if it were written anew, which every command says where it changes how a field is read. This says which files are older and what would change in them; with --write it changes them, and keeps each as it was beside it (valve.yaml.format-0). Every character that no change speaks of stays.",
    "What rests on a file by its hash, as what a run showed, is worked out anew afterwards. Sealed predictions are never migrated: they keep the hash of the file they were made from. A file of a newer version is not read at all.",
  ],
  arguments: [folderArgument],
  options: [{ flags: "--write", description: "write the files; without it nothing is written" }],
  examples: [
    {
      command: "coldturn migrate demo/petrel-oxygen-main",
      says: "Whether the demo's files are of the present form:",
    },
  ],
  act: async (input, desk) => {
    const folder = folderIn(input);
    const isWriting = hasOption(input, "write");
    const migrations = await migrationsOf(folder);
    desk.signal.throwIfAborted();
    if (isWriting) await migrateFiles(migrations);
    return {
      status: migrations.length > 0 && !isWriting ? 1 : 0,
      result: {
        written: isWriting,
        files: migrations.map(({ file, backup, migrated: { from, to, steps } }) => ({
          path: file.path,
          from,
          to,
          steps,
          backup: isWriting ? backup : null,
        })),
      },
      text: (page) => {
        if (migrations.length === 0)
          return paragraph(page, "Every file is of the present format version. Nothing is to be done.").join(
            "\n",
          );
        const files = migrations.flatMap(({ file, backup, migrated: { from, to, steps } }) =>
          section(page, `${file.path}: version ${from} to ${to}`, [
            ...steps.flatMap((step) => paragraph(page, `${step}.`, "- ")),
            ...(isWriting ? paragraph(page, `Written; as it was it is kept in ${backup}.`) : []),
          ]),
        );
        const rest = isWriting
          ? paragraph(
              page,
              "What rests on these files by their hash is worked out anew when it is asked for.",
            )
          : [
              ...paragraph(
                page,
                "Nothing was written. This writes it, with a backup of each file beside it:",
              ),
              typed(`coldturn migrate ${shellWord(folder)} --write`),
            ];
        return [...files, "", ...rest].join("\n");
      },
    };
  },
};
