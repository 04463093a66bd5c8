/** Findings about the torque's path: cuts that leave no shaft, and a flaw that is no small one. */
import type { Declared } from "../quantity/index.js";
import type { Finding } from "./finding.js";
import { keywayField } from "./keyway.js";
import { nominalText } from "./provenance.js";
import type { ValveFile } from "./schema.js";

/** A surface flaw deeper than this share of a section is no small one [-]. */
const smallFlaw = 0.3;

export function pathRule({ valve }: ValveFile): readonly Finding[] {
  const { sections = [], joints = [] } = valve?.stem ?? {};
  const cuts: readonly Cut[] = [
    ...sections.flatMap((one, j): readonly Cut[] => {
      const at = `valve.stem.sections[${j}]`;
      const cut = (field: string, value: Declared | undefined, share: number): Cut => ({
        path: `${at}.${field}`,
        value,
        whole: one.diameter,
        share,
        // No number rests on the diameter of such a section without its cut.
        doubtful: [],
      });
      switch (one.shape) {
        case "keyed":
          return [cut("keyway_depth", one.keyway_depth, 0.5), cut("keyway_width", one.keyway_width, 1)];
        case "tube":
          return [cut("inner_diameter", one.inner_diameter, 1)];
        case "one flat":
          return [cut("flat_depth", one.flat_depth, 1)];
        case "two flats":
          return [cut("flat_depth", one.flat_depth, 0.5)];
        default:
          // The twist of a round section rests on its diameter alone.
          return one.notch === "hole" ? [{ ...cut("hole", one.hole, 1), doubtful: [`${at}.diameter`] }] : [];
      }
    }),
    ...joints.flatMap(({ kind, width, diameter }, j): readonly Cut[] =>
      kind === "key"
        ? [
            {
              path: `valve.stem.joints[${j}].width`,
              value: width,
              whole: diameter,
              share: 1,
              // What the sides of the key bear rests on the diameter without its width.
              doubtful: [`valve.stem.joints[${j}].diameter`],
            },
          ]
        : [],
    ),
  ];
  return [...cuts.flatMap(beyond), ...keys(valve), ...flaw(valve)];
}

interface Cut {
  readonly path: string;
  readonly value: Declared | undefined;
  readonly whole: Declared | undefined;
  /** Share of the diameter that it must stay below. */
  readonly share: number;
  /** What cannot be relied on either, as numbers would rest on it that the cut does not enter. */
  readonly doubtful: readonly string[];
}

function beyond({ path, value, whole, share, doubtful }: Cut): readonly Finding[] {
  if (value === undefined || whole === undefined || value.value < share * whole.value) return [];
  return [
    {
      kind: "fault",
      code: "cut-beyond-shaft",
      path,
      notKnown: [path, ...doubtful],
      found: `${nominalText(value)} leaves nothing of a shaft of ${nominalText(whole)}`,
      allowed: "A keyway, flat, bore, hole or key takes a part of the shaft.",
      mend: "Compare both with the drawing",
    },
  ];
}

/** What of a key does not stand in its shaft bears in the hub: something must be left. */
function keys(valve: ValveFile["valve"]): readonly Finding[] {
  const { stem } = valve ?? {};
  return (stem?.joints ?? []).flatMap(({ kind, height }, j): readonly Finding[] => {
    if (stem === undefined || kind !== "key" || height === undefined) return [];
    const { path, declared } = keywayField(stem, j);
    if (declared === undefined || declared.value < height.value) return [];
    return [
      {
        kind: "fault",
        code: "key-below-shaft",
        path: `valve.stem.joints[${j}].height`,
        notKnown: [`valve.stem.joints[${j}].height`, path],
        found: `a key ${nominalText(height)} high ends below a keyway ${nominalText(declared)} deep`,
        allowed: "What stands out of the shaft bears in the hub.",
        mend: `Compare it and ${path} with the drawing`,
      },
    ];
  });
}

/** The formula of a surface flaw is of one that is small against its section. */
function flaw(valve: ValveFile["valve"]): readonly Finding[] {
  const depth = valve?.strength?.flaw?.depth;
  if (depth === undefined) return [];
  const thin = (valve?.stem?.sections ?? []).flatMap((one) => {
    const across = [one.thickness, one.width, one.diameter].filter((value) => value !== undefined);
    return across.length === 0
      ? []
      : [across.reduce((least, value) => (value.value < least.value ? value : least))];
  });
  const thinnest = thin.toSorted((a, b) => a.value - b.value)[0];
  if (thinnest === undefined || depth.value <= smallFlaw * thinnest.value) return [];
  return [
    {
      kind: "fault",
      code: "flaw-beyond-section",
      path: "valve.strength.flaw.depth",
      notKnown: ["valve.strength.flaw.depth"],
      found: `a flaw ${nominalText(depth)} deep is no small one in a section of ${nominalText(thinnest)}`,
      allowed: "The check follows a surface flaw of up to three tenths of the thinnest section.",
      mend: "Write the largest flaw that inspection may miss, or have a larger one judged by its own analysis",
    },
  ];
}
