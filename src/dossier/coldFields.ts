/** Fields about what the cold does to the valve: materials and dimensions of its chains of parts. */
import type { Bounds } from "../quantity/index.js";
import { coolDownFields } from "./coolDownFields.js";
import { choice, list, quantity, section, text } from "./field.js";
import { extensionFields, pipeFields } from "./heatFields.js";

const positive: Bounds = { minExclusive: 0 };
const any: Bounds = {};

/** Chains of parts that shrink. */
export const coldFields = section(
  {
    inspected_at: quantity(
      "temperature",
      any,
      "Temperature at which the dimensions and fits hold; left out: 20 degC, as drawings have it.",
      "20 degC",
    ),
    body_material: text("Material of the body, a shipped solid or one of parts/.", "stainless-316"),
    ball_material: text("Material of the ball, a shipped solid or one of parts/.", "stainless-316"),
    seat_material: text("Material of the seats, a shipped solid or one of parts/.", "ptfe-filled"),
    seat_height: quantity(
      "length",
      positive,
      "Height of one seat along the pipe, from its support in the body to its contact with the ball.",
      "6 mm +/- 0.1 mm",
    ),
    interference: quantity(
      "length",
      positive,
      "Compression of both seats together at assembly, along the pipe.",
      "{ from: 0.20 mm, to: 0.30 mm }",
    ),
    largest_interference: quantity(
      "length",
      positive,
      "Interference beyond which a seat is overstressed or the torque too great.",
      "0.35 mm",
    ),
    stiffness_cold_ratio: quantity(
      "ratio",
      { minExclusive: 0, max: 20 },
      "Axial stiffness of a seat at 90 K over that at ambient.",
      "{ from: 1, to: 2 }",
    ),
    contact_width: quantity(
      "length",
      positive,
      "Width of the seat's contact with the ball.",
      "1.0 mm +/- 0.2 mm",
    ),
    least_contact_stress: quantity(
      "stress",
      positive,
      "Contact stress that the seat needs to seal, without pressure.",
      "2 MPa",
    ),
    largest_contact_stress: quantity(
      "stress",
      positive,
      "Contact stress that the seat bears at temperature.",
      "40 MPa",
    ),
    fits: list(
      {
        name: text("What turns in what.", "stem in lower bushing"),
        kind: choice(
          ["stem", "bearing"],
          "`stem`: stem in bush or packing box; `bearing`: trunnion or thrust bearing.",
        ),
        hole_material: text("Material of the outer part, a shipped solid or one of parts/.", "bronze"),
        shaft_material: text("Material of the inner part, a shipped solid or one of parts/.", "17-4ph"),
        diameter: quantity("length", positive, "Diameter of the fit.", "14 mm"),
        clearance: quantity(
          "length",
          any,
          "Clearance on the diameter at inspection; negative for an interference.",
          "{ from: 0.03 mm, to: 0.06 mm }",
        ),
        least_clearance: quantity(
          "length",
          any,
          "Least clearance on the diameter that may remain; left out: none, the parts may just touch.",
          "0.01 mm",
        ),
        temperature: quantity(
          "temperature",
          any,
          "Steady temperature of the fit; left out: that of the valve.",
          "120 K",
        ),
        lag: quantity(
          "temperature difference",
          positive,
          "By how much one part may run ahead of the other while they cool; not needed where both follow a part of `cool_down`.",
          "60 K",
        ),
        hole_follows: text(
          "Name of the part of `cool_down` whose temperature the outer part has while it cools.",
          "body",
        ),
        shaft_follows: text(
          "Name of the part of `cool_down` whose temperature the inner part has while it cools.",
          "stem",
        ),
      },
      "Fits that must keep turning in the cold.",
    ),
    bolts: section(
      {
        material: text("Material of the body or bonnet bolts, a shipped solid or one of parts/.", "a286"),
        clamped_material: text(
          "Material of what they clamp, a shipped solid or one of parts/.",
          "stainless-316",
        ),
        stress_area: quantity("area", positive, "Stress area of one bolt.", "36.6 mm2"),
        stiffness_ratio: quantity(
          "ratio",
          { minExclusive: 0, max: 100 },
          "Stiffness of the clamped parts over that of the bolt.",
          "{ from: 3, to: 6 }",
        ),
        preload: quantity("force", positive, "Preload of one bolt at assembly.", "14 kN +/- 15 %"),
        yield_share: quantity(
          "ratio",
          { minExclusive: 0, max: 1, because: "Beyond its yield strength a bolt loses its preload." },
          "Share of their yield strength, at their temperature, that their stress may reach; 75 to 90 % is usual.",
          "80 %",
        ),
        least_preload: quantity(
          "force",
          positive,
          "Force of one bolt that the flange needs: its share of pressure end load and gasket.",
          "7 kN",
        ),
      },
      "Bolts of the body or bonnet flange.",
    ),
    cool_down: coolDownFields,
    seat_tested_at: quantity(
      "temperature",
      any,
      "Temperature of the test that showed the seats tight at their least contact stress; left out: no test has shown it.",
      "80 K",
    ),
    extension: extensionFields,
    pipe: pipeFields,
  },
  "Materials and dimensions for the cold: seat loop, fits, bolts, cool-down.",
);
