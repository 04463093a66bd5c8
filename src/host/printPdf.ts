/**
 * Setting a document as PDF: Typst within this process, with faces that come with the program, so that neither
 * the network nor a program of the machine is needed. What is set comes from `printSource` of the sheet.
 */
import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { refuse } from "../fault/index.js";

/** Faces of one family: of pictures, of text with its emphasis, and of words of the file. */
const faces = [
  "DejaVuSans.ttf",
  "DejaVuSans-Bold.ttf",
  "DejaVuSansCondensed.ttf",
  "DejaVuSansCondensed-Bold.ttf",
  "DejaVuSansCondensed-Oblique.ttf",
  "DejaVuSansCondensed-BoldOblique.ttf",
  "DejaVuSansMono.ttf",
  "DejaVuSansMono-Bold.ttf",
] as const;

/**
 * A PDF with tags for reading voices.
 *
 * @param source  of `printSource`;  @param load  brings the typesetter
 * @returns       its bytes; same source, same program, same bytes
 * Refuses        a system for which the typesetter has no build
 */
export async function printPdf(source: string, load = loadTypesetter): Promise<Uint8Array> {
  const { NodeCompiler } = await typesetter(load);
  const require = createRequire(import.meta.url);
  const fonts = dirname(require.resolve("dejavu-fonts-ttf/package.json"));
  const fontBlobs = await Promise.all(faces.map((name) => readFile(join(fonts, "ttf", name))));
  const compiler = NodeCompiler.create({ fontArgs: [{ fontBlobs }] });
  try {
    const compiled = compiler.compile({ mainFileContent: source });
    if (compiled.result === null) {
      const error = compiled.takeDiagnostics();
      throw new Error(
        `the typesetter refused the page: ${JSON.stringify(error?.shortDiagnostics ?? "no reason given")}`,
      );
    }
    return compiler.pdf(compiled.result, { pdfTags: true });
  } finally {
    compiler.evictCache(0);
  }
}

type Typesetter = typeof import("@myriaddreamin/typst-ts-node-compiler");

/** Some fifty megabytes, and only for a PDF: loaded when one is set. */
const loadTypesetter = async (): Promise<Typesetter> => await import("@myriaddreamin/typst-ts-node-compiler");

async function typesetter(load: () => Promise<Typesetter>): Promise<Typesetter> {
  try {
    return await load();
  } catch (error) {
    if (!(error instanceof Error) || !/native binding|Cannot find (module|package)/i.test(error.message))
      throw error;
    return refuse(
      "print-system",
      "the typesetter has no build for this system",
      "A PDF is set by a part of the program that is built for Linux, macOS and Windows on common processors.",
      "Print the HTML file with a browser instead: --format html",
    );
  }
}
