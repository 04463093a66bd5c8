/** How deep a key sits in its shaft: what its joint says, else the keyway of the stem's section of its diameter. */
import type { Declared } from "../quantity/index.js";
import type { ValveFile } from "./schema.js";

type Stem = NonNullable<NonNullable<ValveFile["valve"]>["stem"]>;

/** Diameters on a drawing that differ by less than this are one [-]. */
const sameDiameter = 0.01;

/** The field that says it, for joint `j`, with what it says; the joint's own where neither says anything. */
export function keywayField(
  { sections = [], joints = [] }: Stem,
  j: number,
): { readonly path: string; readonly declared: Declared | undefined } {
  const { keyway_depth: own, diameter } = joints[j] ?? {};
  const field = { path: `valve.stem.joints[${j}].keyway_depth`, declared: own };
  if (own !== undefined || diameter === undefined) return field;
  const s = sections.findIndex(
    ({ shape, diameter: d }) =>
      shape === "keyed" && d !== undefined && Math.abs(d.value / diameter.value - 1) < sameDiameter,
  );
  const declared = sections[s]?.keyway_depth;
  return declared === undefined ? field : { path: `valve.stem.sections[${s}].keyway_depth`, declared };
}
