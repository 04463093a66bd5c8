/** The formats in which a page is printed, and its files under their names. */
import { refuse } from "../fault/index.js";
import { printPdf } from "../host/index.js";
import type { Argument, Input } from "./command.js";
import { textOption } from "./options.js";

const formats = ["html", "pdf", "both"] as const;
type Format = (typeof formats)[number];

export const formatOption: Argument = {
  flags: "--format <format>",
  description: "html, pdf or both (default: by the ending of --out, else html)",
};

/** The format asked for. Refuses a word that is none. @param out the file that was named, if one was */
export function formatIn(input: Input, out: string | undefined): Format {
  const asked = textOption(input, "format");
  if (asked === undefined) return out !== undefined && /\.pdf$/i.test(out) ? "pdf" : "html";
  const format = formats.find((one) => one === asked);
  if (format !== undefined) return format;
  return refuse(
    "command-line",
    `--format ${asked} is no format`,
    `The formats are ${formats.join(", ")}.`,
    "Write --format both",
  );
}

/**
 * The files of a page, made before any is written.
 *
 * @param base    path with or without its ending
 * @param html    the page;  @param source  the same for the typesetter
 */
export async function printed(
  base: string,
  format: Format,
  html: () => string,
  source: () => Promise<string>,
): Promise<readonly { readonly path: string; readonly bytes: string | Uint8Array }[]> {
  const stem = base.replace(/\.(html|pdf)$/i, "");
  const page = format === "pdf" ? [] : [{ path: nameFor(base, stem, "html", format), bytes: html() }];
  if (format === "html") return page;
  return [...page, { path: nameFor(base, stem, "pdf", format), bytes: await printPdf(await source()) }];
}

/** A name that was typed with the ending of the format stays as it is. */
function nameFor(base: string, stem: string, ending: "html" | "pdf", format: Format): string {
  const isWhole = format !== "both" && base.toLowerCase().endsWith(ending === "pdf" ? ".pdf" : ".html");
  return isWhole ? base : `${stem}.${ending}`;
}
