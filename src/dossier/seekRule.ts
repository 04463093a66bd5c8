/** Findings about what a search may try: the fewest gear stages are no more than the most. */
import type { Finding } from "./finding.js";
import type { ValveFile } from "./schema.js";

export function seekRule({ seek }: ValveFile): readonly Finding[] {
  const { least, most } = seek?.stages ?? {};
  if (least === undefined || most === undefined || least <= most) return [];
  return [
    {
      kind: "fault",
      code: "range-reversed",
      path: "seek.stages.least",
      notKnown: ["seek.stages.least", "seek.stages.most"],
      found: `at least ${least} and at most ${most} stages: no chain has both`,
      allowed: "The fewest stages of a chain are no more than the most.",
      mend: "Correct one of the two",
    },
  ];
}
