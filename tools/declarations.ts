/**
 * The types of the library as a package has them: the declarations of src/api and src/node, one file for
 * each, without anything that lies behind them. A type that would need the rest of the program is an error.
 */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import ts from "typescript";

/** The public files of each entry, the entry first, in the order in which the page shows the others. */
export const publicFiles = {
  coldturn: [
    "src/api/coldturn.ts",
    "src/api/valve.ts",
    "src/api/predict.ts",
    "src/api/manner.ts",
    "src/api/answer.ts",
    "src/api/picture.ts",
    "src/api/log.ts",
    "src/api/property.ts",
    "src/api/quantity.ts",
    "src/api/fault.ts",
    "src/api/model.ts",
  ],
  "coldturn/host": ["src/node/index.ts", "src/node/folder.ts"],
} as const;

/** A file of declarations. */
export interface Declarations {
  /** Path of the source: "src/api/valve.ts". */
  readonly source: string;
  readonly text: string;
}

const compilerOptions: ts.CompilerOptions = {
  target: ts.ScriptTarget.ES2022,
  module: ts.ModuleKind.NodeNext,
  strict: true,
  stripInternal: true,
};

/** The declarations of all public files. @param root  folder of the project */
export function declarationsIn(root: string): readonly Declarations[] {
  return Object.values(publicFiles)
    .flat()
    .map((source) => ({ source, text: declarationsOf(root, source) }));
}

function declarationsOf(root: string, source: string): string {
  const { outputText, diagnostics = [] } = ts.transpileDeclaration(readFileSync(join(root, source), "utf8"), {
    fileName: source,
    compilerOptions,
    reportDiagnostics: true,
  });
  const said = diagnostics.map(({ messageText }) => ts.flattenDiagnosticMessageText(messageText, "\n"));
  // The face of src/api for src/node has more than the library.
  const told = outputText.replaceAll('"../api/index.js"', '"../api/coldturn.js"');
  const foreign = [...told.matchAll(/ from "(\.\.\/[^"]+)"/g)].map(([, path = ""]) => path);
  const beyond = foreign.filter((path) => path !== "../api/coldturn.js");
  if (said.length + beyond.length > 0)
    throw new Error(
      `${source}: ${[...said, ...beyond.map((path) => `a public type needs ${path}`)].join("; ")}`,
    );
  return told;
}
