/** Findings about the ball's cavity: one that the ball cannot hold, and a vent hole that is none. */
import { formatQuantity } from "../quantity/index.js";
import type { Finding } from "./finding.js";
import { nominalText } from "./provenance.js";
import type { ValveFile } from "./schema.js";

/** A cavity reaches around the ball too, but not to so many balls [-]. */
const mostBalls = 8;

export function cavityRule({ valve }: ValveFile): readonly Finding[] {
  const { ball_diameter: ball, bore, cavity } = valve ?? {};
  const { volume, vent } = cavity ?? {};
  const findings: Finding[] = [];
  if (ball !== undefined && volume !== undefined) {
    const most = (mostBalls * Math.PI * ball.value ** 3) / 6;
    if (volume.value > most)
      findings.push({
        kind: "fault",
        code: "cavity-larger-than-ball",
        path: "valve.cavity.volume",
        notKnown: ["valve.cavity.volume"],
        found: `a cavity of ${nominalText(volume)} is more than ${formatQuantity(most, "volume", { unit: "cm3" })}, ${mostBalls} balls of ${nominalText(ball)}`,
        allowed:
          "The cavity is what the ball's bore and the room around the ball hold while the valve is shut.",
        mend: "Correct the unit or the number: cm3 and not m3",
      });
  }
  if (bore !== undefined && vent?.diameter !== undefined && vent.diameter.value >= bore.value)
    findings.push({
      kind: "fault",
      code: "vent-larger-than-bore",
      path: "valve.cavity.vent.diameter",
      notKnown: ["valve.cavity.vent.diameter"],
      found: `a vent hole of ${nominalText(vent.diameter)} is no smaller than the bore of ${nominalText(bore)}`,
      allowed: "The hole goes through the wall of the ball beside its bore.",
      mend: "Correct the unit or the number: vent holes are a few millimetres wide at most",
    });
  return findings;
}
