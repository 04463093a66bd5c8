/** Contradictions between the fields about heat. */
import type { Place } from "../fault/index.js";
import type { Finding } from "./finding.js";
import { nominalText } from "./provenance.js";
import type { ValveFile } from "./schema.js";

/** What is said of a stem that leaves no gap in its tube, of a file as of a sample. */
export const stemFillsExtension = {
  code: "stem-fills-extension",
  allowed: "The stem turns in the tube of the extension: the tube's bore is wider.",
  mend: "Compare the diameters and the wall with the drawing",
} as const;

/** The tube has room for its stem, and the air holds no more moisture than it can. */
export function heatRule({ valve }: ValveFile, _: ReadonlyMap<string, Place>): readonly Finding[] {
  const extension = valve?.cold?.extension;
  const {
    tube_outer_diameter: tube,
    tube_wall: wall,
    ambient_temperature: air,
    dew_point: dew,
  } = extension ?? {};
  const at = "valve.cold.extension";
  const stem = extension?.stem_diameter ?? valve?.stem?.diameter;
  const findings: Finding[] = [];
  if (
    tube !== undefined &&
    wall !== undefined &&
    stem !== undefined &&
    tube.value - 2 * wall.value <= stem.value
  )
    findings.push({
      kind: "fault",
      ...stemFillsExtension,
      path: `${at}.tube_wall`,
      notKnown: [`${at}.tube_outer_diameter`, `${at}.tube_wall`, `${at}.stem_diameter`],
      found: `a tube of ${nominalText(tube)} with a wall of ${nominalText(wall)} has no room for a stem of ${nominalText(stem)}`,
    });
  if (air !== undefined && dew !== undefined && dew.value > air.value)
    findings.push({
      kind: "fault",
      code: "dew-point-above-air",
      path: `${at}.dew_point`,
      notKnown: [`${at}.dew_point`, `${at}.ambient_temperature`],
      found: `a dew point of ${nominalText(dew)} is above the air's temperature, ${nominalText(air)}`,
      allowed: "At its dew point air is full of moisture; above it, it is not.",
      mend: "Exchange the two, or give the relative humidity instead",
    });
  if (dew !== undefined && extension?.relative_humidity !== undefined)
    findings.push({
      kind: "notice",
      code: "field-superseded",
      path: `${at}.dew_point`,
      text: `is used as it is, without ${at}.relative_humidity`,
    });
  return findings;
}
