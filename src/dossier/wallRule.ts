/** Findings about the walls of the pressure boundary: one that is thicker than its tube. */
import type { Finding } from "./finding.js";
import { nominalText } from "./provenance.js";
import type { ValveFile } from "./schema.js";

export function wallRule({ valve }: ValveFile): readonly Finding[] {
  return (valve?.boundary?.walls ?? []).flatMap(
    ({ shape, outer_diameter: outer, thickness }, j): readonly Finding[] => {
      if (shape !== "tube" || outer === undefined || thickness === undefined) return [];
      if (thickness.value < outer.value / 2) return [];
      const path = `valve.boundary.walls[${j}]`;
      return [
        {
          kind: "fault",
          code: "wall-thicker-than-tube",
          path: `${path}.thickness`,
          notKnown: [`${path}.thickness`, `${path}.outer_diameter`],
          found: `a wall of ${nominalText(thickness)} leaves no bore in a tube of ${nominalText(outer)}`,
          allowed: "Two walls and the bore make the outer diameter.",
          mend: "Compare both with the drawing",
        },
      ];
    },
  );
}
