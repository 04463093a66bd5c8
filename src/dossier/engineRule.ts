/** Findings about the engine: limits that leave nothing, and a box that the table of characteristic velocities does not cover. */
import type { Declared } from "../quantity/index.js";
import type { Finding } from "./finding.js";
import { nominalText } from "./provenance.js";
import type { ValveFile } from "./schema.js";

export function engineRule({ engine }: ValveFile): readonly Finding[] {
  if (engine === undefined) return [];
  const { box, lead, characteristic_velocity: table } = engine;
  return [
    ...empty("engine.box", box?.least, box?.most),
    ...empty("engine.lead", lead?.least, lead?.most),
    ...uncovered(box?.least, box?.most, table?.[0]?.mixture_ratio, table?.at(-1)?.mixture_ratio),
  ];
}

function empty(path: string, least: Declared | undefined, most: Declared | undefined): readonly Finding[] {
  if (least === undefined || most === undefined || least.value < most.value) return [];
  return [
    {
      kind: "fault",
      code: "engine-limits-empty",
      path: `${path}.least`,
      notKnown: [`${path}.least`, `${path}.most`],
      found: `nothing lies between ${nominalText(least)} and ${nominalText(most)}`,
      allowed: "The least value lies below the greatest.",
      mend: "Correct one of the two",
    },
  ];
}

/** Beyond its ends the table is held, so that a ratio there would burn as at the end. */
function uncovered(
  least: Declared | undefined,
  most: Declared | undefined,
  first: Declared | undefined,
  last: Declared | undefined,
): readonly Finding[] {
  const beyond = (end: "least" | "most", ratio: Declared, of: Declared): Finding => ({
    kind: "fault",
    code: "box-beyond-table",
    path: `engine.box.${end}`,
    notKnown: [`engine.box.${end}`, "engine.characteristic_velocity"],
    found: `a mixture ratio of ${nominalText(ratio)} is allowed, and the table of characteristic velocities ends at ${nominalText(of)}`,
    allowed: "The table covers the box: what burns inside the box has a characteristic velocity of its own.",
    mend: "Add rows to the table, or narrow the box",
  });
  return [
    ...(least !== undefined && first !== undefined && least.value < first.value
      ? [beyond("least", least, first)]
      : []),
    ...(most !== undefined && last !== undefined && most.value > last.value
      ? [beyond("most", most, last)]
      : []),
  ];
}
