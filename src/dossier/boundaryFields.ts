/** Fields about what keeps the pressure in: walls, ends, flange bolts, the stem's shoulder, and the pressure tests made. */
import type { Bounds } from "../quantity/index.js";
import { choice, count, list, quantity, section, text } from "./field.js";
import { proofRuleIds } from "./proofRule.js";

const positive: Bounds = { minExclusive: 0 };
const notNegative: Bounds = { min: 0 };
const factor: Bounds = { min: 1, max: 10, because: "A factor on the expected pressure is not below one." };
const share: Bounds = { minExclusive: 0, max: 1, because: "It is a share of the whole." };

/** The pressure boundary of the valve. */
export const boundaryFields = section(
  {
    rule: choice(
      proofRuleIds,
      "Standard whose proof and burst factors apply; `proof_factor` and `burst_factor` go before it.",
    ),
    proof_factor: quantity(
      "ratio",
      factor,
      "Proof pressure over the maximum expected one, both over that outside.",
      "1.5",
    ),
    burst_factor: quantity(
      "ratio",
      factor,
      "Burst pressure over the maximum expected one, both over that outside.",
      "2.5",
    ),
    surge: quantity(
      "pressure difference",
      notNegative,
      "Rise over the supply pressure as the valve or another one closes.",
      "6 bar +/- 2 bar",
    ),
    walls: list(
      {
        name: text("Which part it is.", "body at the seat pocket"),
        shape: choice(["tube", "cover"], "`tube`: a round wall; `cover`: a flat disc held at its edge."),
        material: text("Its material, a shipped solid or one of parts/.", "stainless-316"),
        outer_diameter: quantity("length", positive, "Tube: its outer diameter.", "70 mm"),
        held_diameter: quantity(
          "length",
          positive,
          "Cover: diameter on which it is held, the bolt circle or the weld.",
          "60 mm",
        ),
        held_factor: quantity(
          "ratio",
          {
            min: 0.1,
            max: 0.75,
            because: "From a cover of one piece with its wall to one that is only laid on.",
          },
          "Cover: how it is held, 0.3 bolted, 0.17 to 0.33 welded or of one piece.",
          "0.3",
        ),
        thickness: quantity(
          "length",
          positive,
          "Its wall at the thinnest place, as drawn.",
          "6 mm +/- 0.2 mm",
        ),
        tolerance: quantity(
          "ratio",
          { min: 0, max: 0.5 },
          "Share of the drawn wall that may be lacking as made; 12.5 % for pipe.",
          "12.5 %",
        ),
        allowance: quantity(
          "length",
          notNegative,
          "Taken off for threads, grooves, wear and corrosion.",
          "0.5 mm",
        ),
        quality: quantity(
          "ratio",
          share,
          "Quality factor of the casting or the longitudinal weld; 1 for seamless, 0.8 for an ordinary casting.",
          "1",
        ),
        allowed_stress: quantity(
          "stress",
          positive,
          "Stress that the code allows at the warmer of design and test; left out: two thirds of yield or a third of ultimate at ambient.",
          "138 MPa",
        ),
      },
      "Walls that pressure loads, the thinnest places of body, ends, bonnet and covers.",
    ),
    ends: list(
      {
        name: text("Which connection it is.", "inlet flange"),
        rating: quantity("pressure", positive, "Pressure rating of that connection, cold.", "40 bar(a)"),
      },
      "End connections with their ratings.",
    ),
    bolts: section(
      {
        count: count(1, 200, "Number of bolts of the flange whose bolts `valve.cold.bolts` describes."),
        sealed_diameter: quantity("length", positive, "Diameter on which its gasket seals.", "56 mm"),
        yield_stress: quantity(
          "stress",
          positive,
          "Yield strength of the bolts at ambient; left out: of their material.",
          "600 MPa",
        ),
      },
      "The flange under pressure.",
    ),
    retention: section(
      {
        held_by: choice(
          ["shoulder", "packing"],
          "`shoulder`: a collar of the stem behind the bonnet's bore; `packing`: packing, gland or actuator alone.",
        ),
        shoulder_diameter: quantity("length", positive, "Outer diameter of the shoulder.", "22 mm"),
        shoulder_height: quantity("length", positive, "Height of the shoulder along the stem.", "4 mm"),
        bonnet_bore: quantity(
          "length",
          positive,
          "Bore of the bonnet that the stem passes, with packing and gland removed.",
          "14.5 mm",
        ),
        sealed_diameter: quantity(
          "length",
          positive,
          "Diameter on which the stem's packing seals; left out: the stem's.",
          "14 mm",
        ),
        material: text("Material of the stem, a shipped solid or one of parts/.", "a286"),
      },
      "What keeps pressure from driving the stem out.",
    ),
    proof_test: section(
      {
        pressure: quantity(
          "pressure",
          positive,
          "Pressure of the test, of this very valve as modified.",
          "60 bar(a)",
        ),
        finding: choice(["no yield", "yielded", "leaked"], "What was found in it and after it."),
        record: text("Where the record is, when and by whom.", "proof sheet 4, 2026-03-02, test engineer"),
      },
      "Proof test, after the last modification.",
    ),
    burst_test: section(
      {
        pressure: quantity("pressure", positive, "Highest pressure of the test.", "140 bar(a)"),
        finding: choice(["held", "ruptured"], "What was found at that pressure."),
        record: text(
          "Which specimen, when and by whom.",
          "valve 2 of the same lot, 2026-03-04, test engineer",
        ),
      },
      "Burst test of a like valve, of the same modification.",
    ),
  },
  "What keeps the pressure in.",
);
