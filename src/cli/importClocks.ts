/** The clocks of the files of an import: as the logs tell, or as typed with who and why. */
import { alignClocks, type ClockAlignment } from "../evidence/index.js";
import { Refusal, refuse } from "../fault/index.js";
import { parseDeclared } from "../quantity/index.js";
import type { Input } from "./command.js";
import type { ImportedFile } from "./importFiles.js";
import { textOption, textsOption } from "./options.js";

/**
 * Clocks of the further files against the first.
 * Refuses a clock that nothing tells, and one that is typed without who and why
 */
export function clocksFor(input: Input, files: readonly ImportedFile[]): readonly ClockAlignment[] {
  const [first, ...further] = files;
  if (first === undefined) return [];
  const typed = typedClocks(input, further);
  const found = further.map(
    (file) => typed.get(file.name) ?? alignClocks(first.read.channels, file.read.channels, file.name),
  );
  const faults = found.flatMap((one) => ("method" in one ? [] : [one]));
  if (faults.length > 0) throw new Refusal(faults);
  return found.flatMap((one) => ("method" in one ? [one] : []));
}

function typedClocks(input: Input, further: readonly ImportedFile[]): ReadonlyMap<string, ClockAlignment> {
  const clocks = new Map<string, ClockAlignment>();
  const who = textOption(input, "who");
  const why = textOption(input, "why");
  for (const words of textsOption(input, "clock")) {
    const [, name = "", offset = ""] = /^\s*(.+?)\s*=\s*(.+?)\s*$/s.exec(words) ?? [];
    const file = further.find((one, i) => one.name === name || String(i + 2) === name);
    if (file === undefined) {
      return refuse(
        "clock-file",
        `"${words}" sets no clock of a further file`,
        `A clock is set for a file named behind the first one: ${further.map((one) => one.name).join(", ") || "none here"}.`,
        'Write, for example, --clock "dyn.csv=0.125 s +/- 2 ms"',
      );
    }
    const { value, law } = parseDeclared(offset, "time");
    if (law.kind !== "normal") {
      return refuse(
        "clock-uncertainty",
        `the clock of ${file.name} is set to "${offset}" without a standard uncertainty`,
        "No two clocks are known to agree exactly; every time that spans both files rests on this value.",
        'Write it with its standard uncertainty, for example "0.125 s +/- 2 ms"',
      );
    }
    if (who === undefined || why === undefined) {
      return refuse(
        "clock-by-hand",
        `the clock of ${file.name} is set by hand, and who did it or why is not said`,
        "What a person sets in place of what the logs say stands with a name and a reason.",
        "Write --who and --why",
      );
    }
    clocks.set(file.name, {
      file: file.name,
      offset_s: value,
      standardUncertainty_s: law.deviation,
      method: "by hand",
      how: "as set on the command line",
      who,
      why,
    });
  }
  return clocks;
}
