/** A defect: our fault. One paragraph on the screen, the particulars in a file that can be sent. */
import { tmpdir } from "node:os";
import { join } from "node:path";
import { now, sha256, sourceStack, writeWhole } from "../host/index.js";

export interface Defect {
  /** One paragraph. */
  readonly text: string;
  /** Where the particulars are, or undefined if they could not be written. */
  readonly report: string | undefined;
}

/**
 * Writes the particulars of a defect.
 * @param words  the command as typed; it may name folders, but holds nothing of a dossier
 */
export async function reportDefect(
  thrown: unknown,
  words: readonly string[],
  version: string,
): Promise<Defect> {
  const what = thrown instanceof Error ? sourceStack(thrown.stack ?? thrown.message) : String(thrown);
  const particulars = [
    `Coldturn ${version}, Node ${process.versions.node}, ${process.platform} ${process.arch}`,
    `${now()}`,
    `coldturn ${words.join(" ")}`,
    "",
    what,
    "",
  ].join("\n");
  const path = join(tmpdir(), `coldturn-defect-${sha256(particulars).slice(0, 12)}.txt`);
  const report = await writeWhole(path, particulars, "always").then(
    () => path,
    () => undefined,
  );
  const brief = thrown instanceof Error ? thrown.message : String(thrown);
  const send =
    report === undefined
      ? `Please send this line and the command to whoever gave you Coldturn: ${brief}`
      : `Please send ${report} to whoever gave you Coldturn, if you can with the dossier; it holds the command, the versions and the place in the program (${brief}).`;
  return {
    text: `This is a defect of Coldturn, not of your input. No file of yours was changed by what failed. ${send}`,
    report,
  };
}
