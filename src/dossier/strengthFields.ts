/** Fields about the strength of what carries torque: sections and joints of the stem, factors, life, flaw. */
import { shapeNames, surfaces } from "../physics/strength/index.js";
import type { Bounds } from "../quantity/index.js";
import { choice, list, quantity, section, text } from "./field.js";
import { strengthRuleIds } from "./strengthRule.js";

const positive: Bounds = { minExclusive: 0 };
const notNegative: Bounds = { min: 0 };
const any: Bounds = {};
const factor: Bounds = { min: 1, max: 10, because: "A factor of safety is not below one." };
const share: Bounds = { minExclusive: 0, max: 1, because: "It is a share of the whole." };
const concentration: Bounds = { min: 1, max: 10, because: "A notch never lowers the stress beside it." };

/** Where a part of the stem is, for its temperature, and what it is made of. */
const placed = {
  at: quantity(
    "length",
    notNegative,
    "Distance from the cold end along `valve.cold.extension`, whose temperature there it has; left out with `temperature`: that of the valve.",
    "95 mm",
  ),
  temperature: quantity(
    "temperature",
    any,
    "Its own temperature, where neither that of the valve nor `at` tells it.",
    "280 K",
  ),
  justification: text(
    "Why a material that may be brittle at its temperature is accepted here, and on whose word; left out, it is refused.",
    "Charpy tests of this heat at 80 K, report 12, accepted by the materials board",
  ),
};

/** The parts of the stem that carry torque; fields of `valve.stem`. */
export const torquePathFields = {
  material: text(
    "Material of the stem, a shipped solid or one of parts/; left out: `stem_material` of the extension.",
    "a286",
  ),
  sections: list(
    {
      name: text("Which section it is.", "tongue"),
      shape: choice(shapeNames, "Its shape; a tongue is a `rectangle`, a double D has `two flats`."),
      diameter: quantity(
        "length",
        positive,
        "Diameter of a round, tube, keyed section or the circle of flats; root diameter of a spline.",
        "14 mm",
      ),
      inner_diameter: quantity("length", positive, "Tube: its bore.", "6 mm"),
      width: quantity("length", positive, "Square: its side. Rectangle: one side.", "10 mm"),
      thickness: quantity("length", positive, "Rectangle: its other side.", "6 mm"),
      flat_depth: quantity("length", positive, "Flats: how deep each is cut into the circle.", "2 mm"),
      keyway_width: quantity("length", positive, "Keyed: width of the keyway.", "5 mm"),
      keyway_depth: quantity("length", positive, "Keyed: depth of the keyway in the shaft.", "3 mm"),
      length: quantity("length", positive, "Its length along the stem, for the twist.", "40 mm"),
      notch: choice(
        ["none", "shoulder", "hole"],
        "What concentrates its stress, `none` where nothing does. A keyway and a spline have their own.",
      ),
      shoulder: section(
        {
          diameter: quantity("length", positive, "Diameter beyond the shoulder.", "20 mm"),
          fillet: quantity("length", positive, "Radius of the fillet in the corner.", "1 mm"),
        },
        "A shoulder at the end of a round section.",
      ),
      hole: quantity("length", positive, "Diameter of a hole across a round section.", "3 mm"),
      concentration: quantity(
        "ratio",
        concentration,
        "Concentration of its shear stress, where a calculation or chart gives it; goes before `notch`.",
        "1.5 +/- 0.1",
      ),
      material: text("Its material, where it is not that of the stem.", "alloy-718"),
      yield_strength: quantity(
        "stress",
        positive,
        "Yield strength at its temperature, of a certificate; left out: of its material.",
        "720 MPa +/- 20 MPa",
      ),
      ultimate_strength: quantity(
        "stress",
        positive,
        "Ultimate strength at its temperature, of a certificate; left out: of its material.",
        "1040 MPa +/- 20 MPa",
      ),
      fracture_toughness: quantity(
        "fracture toughness",
        positive,
        "Fracture toughness at its temperature; left out: of its material.",
        "120 MPa√m",
      ),
      ...placed,
    },
    "Sections of the stem from ball to gearbox, each where it is weakest.",
  ),
  joints: list(
    {
      name: text("Which joint it is.", "tongue in the ball"),
      kind: choice(
        ["tongue", "square", "two flats", "key", "pin", "set screw", "spline"],
        "How it passes the torque on.",
      ),
      diameter: quantity(
        "length",
        positive,
        "Diameter of the shaft; of a spline its pitch diameter, of flats their circle.",
        "14 mm",
      ),
      width: quantity(
        "length",
        positive,
        "Tongue: across the stem. Square: its side. Key: its width.",
        "12 mm",
      ),
      height: quantity(
        "length",
        positive,
        "Key: its whole height. Spline: height over which the teeth touch.",
        "5 mm",
      ),
      keyway_depth: quantity(
        "length",
        positive,
        "Key: how deep it sits in the shaft; the rest of its height bears in the hub. Left out: the keyway of the stem's section of this diameter, else half of the key's height.",
        "3 mm",
      ),
      thickness: quantity("length", positive, "Spline: thickness of a tooth at the pitch circle.", "1.5 mm"),
      flat_depth: quantity("length", positive, "Flats: how deep each is cut into the circle.", "2 mm"),
      length: quantity("length", positive, "Length over which it bears, along the stem.", "8 mm"),
      pin_diameter: quantity("length", positive, "Pin: its diameter.", "4 mm"),
      hub_diameter: quantity("length", positive, "Pin: outer diameter of the hub.", "26 mm"),
      count: quantity("number", { min: 1, max: 200 }, "Keys, set screws or teeth around the shaft.", "1"),
      sharing: quantity(
        "ratio",
        share,
        "Spline: share of the teeth that carry; 25 to 50 % unless lapped.",
        "{ from: 25 %, to: 50 % }",
      ),
      holding_force: quantity(
        "force",
        positive,
        "Set screw: force with which one holds, of its maker or a test.",
        "4.4 kN +/- 15 %",
      ),
      shaft_material: text("Material of the inner part; left out: that of the stem.", "a286"),
      hub_material: text("Material of the outer part: ball, hub, gearbox shaft.", "stainless-316"),
      material: text("Material of key or pin.", "stainless-316"),
      shaft_yield: quantity(
        "stress",
        positive,
        "Yield strength of the inner part, of a certificate.",
        "700 MPa",
      ),
      hub_yield: quantity(
        "stress",
        positive,
        "Yield strength of the outer part, of a certificate.",
        "300 MPa",
      ),
      yield_strength: quantity(
        "stress",
        positive,
        "Yield strength of key or pin, of a certificate.",
        "500 MPa",
      ),
      ...placed,
    },
    "Joints through which the torque passes from ball to gearbox.",
  ),
} as const;

/** Factors, life and flaw that the torque's path is judged with. */
export const strengthFields = section(
  {
    standard: choice(
      strengthRuleIds,
      "Standard whose factors of safety apply; the factors below go before it. Without either, no margin is judged.",
    ),
    verified_by: choice(
      ["analysis", "test"],
      "Whether the strength is shown by analysis alone or by a test of the part as well; left out: by analysis alone, the harder one.",
    ),
    yield_factor: quantity("ratio", factor, "Factor of safety against yield.", "1.5"),
    ultimate_factor: quantity("ratio", factor, "Factor of safety against rupture.", "2.5"),
    life_factor: quantity(
      "ratio",
      { min: 1, max: 100, because: "A factor on the life is not below one." },
      "Factor on the declared cycles.",
      "4",
    ),
    life_cycles: quantity(
      "number",
      { min: 1 },
      "Openings with their closings that the stem must bear in its life, tests included.",
      "500",
    ),
    static_concentration: choice(
      ["counted", "ductile not counted"],
      "Whether a notch counts in the static margin. `ductile not counted`: a metal that stretches by 5 % and more yields there and the section goes on bearing. Left out: counted, the harder one.",
    ),
    surface: choice(
      Object.keys(surfaces) as [keyof typeof surfaces, ...(keyof typeof surfaces)[]],
      "How the surface of the stem was made.",
    ),
    endurance_ratio: quantity(
      "ratio",
      share,
      "Endurance limit of a polished bar over ultimate strength; left out: 0.35 to 0.5.",
      "0.42 +/- 0.03",
    ),
    flaw: section(
      {
        depth: quantity("length", positive, "Depth of the largest flaw that inspection may miss.", "0.5 mm"),
        length: quantity(
          "length",
          positive,
          "Its length along the surface; left out: it runs on, the worst.",
          "1.5 mm",
        ),
      },
      "Flaw of the surface that the stem must bear.",
    ),
    impact_tests: list(
      {
        material: text("Material, as named in sections and joints.", "a286"),
        temperature: quantity("temperature", any, "Temperature of the test.", "77 K"),
        lateral_expansion: quantity(
          "length",
          notNegative,
          "Least lateral expansion of its specimens.",
          "0.6 mm",
        ),
        certificate: text("Where the result stands.", "certificate 4711 of the heat"),
      },
      "Charpy tests of the materials that carry torque.",
    ),
    least_lateral_expansion: quantity(
      "length",
      positive,
      "Least lateral expansion that is asked for; left out: 0.38 mm.",
      "0.38 mm",
    ),
  },
  "Factors, life and flaw that the path of the torque is judged with.",
);
