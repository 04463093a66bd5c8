/** Sections of the stem: resistance of the shape and of its notch. */
import {
  holeConcentration,
  holedShare,
  keywayConcentration,
  roundSection,
  sectionShape,
  shoulderConcentration,
  splineConcentration,
} from "../../physics/strength/index.js";
import type { Length } from "../../quantity/index.js";
import type { Steps } from "../steps.js";
import { present, type Workings } from "../workings.js";
import { materialAt, strengthLine } from "./pathStrength.js";

/** Resistance of a section and of its notch. */
export function sectionLines(steps: Steps, of: Workings, j: number): void {
  const fields = present(of.valve.valve?.stem?.sections?.[j], "section");
  const path = `valve.stem.sections[${j}]`;
  const { shape: name } = fields;
  const shape = sectionShape(present(name, "shape"));
  const symbols: Readonly<Record<string, readonly [string, string]>> = {
    diameter: ["d", "diameter"],
    inner_diameter: ["d_i", "inner diameter"],
    width: ["b", "width"],
    thickness: ["a", "thickness"],
    flat_depth: ["h", "depth of the flat"],
    keyway_width: ["w_k", "width of the keyway"],
    keyway_depth: ["h_k", "depth of the keyway"],
  };
  const sizes = shape.of.map((size) => {
    const [symbol, words] = symbols[size] ?? [size, size];
    return steps.field(symbol, `${path}.${size}`, words) as Length;
  });
  const { resistance } = shape.section(...sizes);
  const volume = "volume" as const;
  const W = "resistance of the section: torque over its greatest shear";
  switch (name) {
    case "round":
    case "splined":
      steps.step("W", W, volume, "pi * d^3 / 16", resistance);
      break;
    case "tube":
      steps.step("W", W, volume, "pi * (d^4 - d_i^4) / (16 * d)", resistance);
      break;
    case "square":
      steps.step("W", W, volume, "0.208 * b^3", resistance);
      break;
    case "keyed":
      steps.step(
        "W",
        `${W}, by a test to yielding`,
        volume,
        "pi * d^3 / 16 * (1 - 0.2 * w_k / d - 1.1 * h_k / d)",
        resistance,
      );
      break;
    case "rectangle": {
      const [long, short] = (sizes[0] ?? 0) >= (sizes[1] ?? 0) ? ["b", "a"] : ["a", "b"];
      const alpha = resistance / (Math.max(...sizes) * Math.min(...sizes) ** 2);
      steps.given("alpha", "coefficient of a rectangle by the ratio of its sides", "ratio", alpha, {
        words: "straight between the rows of its table",
        source: "roark-2002, table 10.1",
      });
      steps.step("W", W, volume, `alpha * ${long} * ${short}^2`, resistance);
      break;
    }
    default: {
      const B = (0.5 * (sizes[0] ?? 0)) ** 3 / resistance;
      steps.given("B", "polynomial of a round with flats, of 2 h / d", "ratio", B, {
        words: "as published",
        source: "roark-2002, table 10.1",
      });
      steps.step("W", W, volume, "(d / 2)^3 / B", resistance);
    }
  }
  notchLines(steps, of, j, sizes[0] ?? (Number.NaN as Length));
}

/** W_n, with the notch. */
function notchLines(steps: Steps, of: Workings, j: number, round: Length): void {
  const fields = present(of.valve.valve?.stem?.sections?.[j], "section");
  const path = `valve.stem.sections[${j}]`;
  const volume = "volume" as const;
  const W = "resistance with the notch";
  const K = "concentration of the notch";
  const published = (value: number, source: string) =>
    steps.given("K_ts", K, "ratio", value, { words: "as published", source });
  if (fields.concentration !== undefined) {
    steps.field("K_ts", `${path}.concentration`, K);
    steps.step("W_n", W, volume, "W / K_ts");
  } else if (fields.shape === "keyed") {
    published(keywayConcentration, "pilkey-2008, keyseat in torsion");
    steps.given(
      "W_0",
      "resistance of the whole round",
      volume,
      roundSection(round).resistance,
      "pi d^3 / 16",
    );
    steps.step("W_n", `${W}: of the whole round, at most that of the test`, volume, "min(W, W_0 / K_ts)");
  } else if (fields.shape === "splined") {
    published(splineConcentration, "dudley-1957");
    steps.step("W_n", W, volume, "W / K_ts");
  } else if (fields.notch === "shoulder") {
    const D = steps.field("D", `${path}.shoulder.diameter`, "diameter of the shoulder") as Length;
    const r = steps.field("r_f", `${path}.shoulder.fillet`, "radius of its fillet") as Length;
    published(
      shoulderConcentration(round, D, r),
      "pilkey-2008, shoulder fillet in torsion; roark-2002, table 17.1",
    );
    steps.step("W_n", W, volume, "W / K_ts");
  } else if (fields.notch === "hole") {
    const hole = steps.field("a_h", `${path}.hole`, "diameter of the hole") as Length;
    steps.given(
      "q_h",
      "share of the resistance that the hole leaves",
      "ratio",
      holedShare(round, hole),
      "1 - (8/(3 pi)) (a/d) (1 + (a/d)^2)",
    );
    published(holeConcentration, "timoshenko-goodier-1970, art. 35");
    steps.step("W_n", W, volume, "W * q_h / K_ts");
  } else {
    steps.step("W_n", "resistance: no notch", volume, "W");
  }
}

export function sectionAt(of: Workings, name: string): number {
  return of.placeNamed("valve.stem.sections", name, "section");
}

/** Strengths of a section in tension. */
export function sectionStrength(
  steps: Steps,
  of: Workings,
  j: number,
  name: string,
  quantity: "yield_strength" | "ultimate_strength",
): number {
  const { material, T } = materialAt(of.own.strength, name);
  const isYield = quantity === "yield_strength";
  return strengthLine(steps, of, isYield ? "s_y" : "s_u", {
    material,
    quantity,
    certificate: `valve.stem.sections[${j}].${quantity}`,
    T,
    words: isYield ? "yield strength at temperature" : "ultimate strength at temperature",
  });
}
