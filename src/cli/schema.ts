/** `coldturn schema`: the valve file, or stand.yaml, as a JSON Schema, for editors that complete and check. */
import { jsonSchema, standJsonSchema } from "../dossier/index.js";
import { requireFolderOf, writeWhole } from "../host/index.js";
import type { Command } from "./command.js";
import { jsonText } from "./jsonText.js";
import { hasOption, textOption } from "./options.js";
import { paragraph } from "./page.js";

export const schemaCommand: Command = {
  name: "schema",
  summary: "print the JSON Schema of the valve file, for editors",
  details: [
    "Prints the JSON Schema of valve.yaml, so that an editor completes names, shows their meaning and marks what does not belong. A schema cannot check units and bounds: `coldturn check` does.",
    "Many editors find it by a first line in valve.yaml: # yaml-language-server: $schema=valve-schema.json",
  ],
  arguments: [],
  options: [
    { flags: "--stand", description: "of stand.yaml instead: who owes what, and what is waived" },
    { flags: "--out <file>", description: "write it to a file instead, in a folder that is there" },
    { flags: "--force", description: "overwrite the file if it is there" },
  ],
  examples: [
    {
      command: "coldturn schema --out oxygen-main/valve-schema.json",
      says: "The schema beside the valve file:",
    },
  ],
  act: async (input) => {
    const isStand = hasOption(input, "stand");
    const record = isStand ? standJsonSchema() : jsonSchema();
    const schema = jsonText(record);
    const path = textOption(input, "out");
    if (path === undefined) return { status: 0, result: { schema: record }, text: () => "", product: schema };
    await requireFolderOf(path);
    await writeWhole(path, schema, hasOption(input, "force") ? "always" : "never");
    return {
      status: 0,
      result: { path },
      text: (page) =>
        [
          `Wrote ${path}`,
          "",
          ...paragraph(
            page,
            `Put this in the first line of ${isStand ? "stand" : "valve"}.yaml, with the path from there:`,
          ),
          `  # yaml-language-server: $schema=${path}`,
        ].join("\n"),
    };
  },
};
