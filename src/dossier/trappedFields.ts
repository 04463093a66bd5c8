/** Fields about liquid that can be shut in: the ball's cavity, and the volumes between two closed elements. */
import type { Bounds } from "../quantity/index.js";
import { choice, list, quantity, section, text } from "./field.js";

const positive: Bounds = { minExclusive: 0 };
const notNegative: Bounds = { min: 0 };
const share: Bounds = { minExclusive: 0, max: 1, because: "It is a share of the whole." };
const discharge: Bounds = {
  minExclusive: 0,
  max: 1,
  because: "An opening passes no more than a loss-free nozzle of its area.",
};

/** What the clock of any closed volume reads. */
const closedVolume = {
  volume: quantity("volume", positive, "Volume that is shut in.", "32 cm3 +/- 2 cm3"),
  fill: quantity(
    "ratio",
    share,
    "Share of the volume that liquid fills when it is closed, the rest its own vapour; left out: full of liquid, the worst case.",
    "95 %",
  ),
  rating: quantity(
    "pressure",
    positive,
    "Pressure rating of the weakest part around it, cold.",
    "100 bar(a)",
  ),
  wall_stiffness: quantity(
    "stress",
    { min: 1e6, because: "What is softer does not hold a pressure." },
    "Pressure rise over the share by which the volume grows with it; left out: a rigid wall, the worst case.",
    "{ from: 3 GPa, to: 9 GPa }",
  ),
  heat_leak: quantity(
    "power",
    positive,
    "Heat that flows to the cold volume, taken as constant while it warms.",
    "{ from: 3 W, to: 15 W }",
  ),
};

/** The ball's cavity in the closed position. */
export const cavityFields = section(
  {
    ...closedVolume,
    self_relief: section(
      {
        side: choice(
          ["upstream", "downstream", "none"],
          "Side to which the seats let the cavity go; `none`: seats that hold from both sides.",
        ),
        difference: quantity(
          "pressure difference",
          notNegative,
          "Pressure of the cavity over that side at which the seat lets it go.",
          "{ from: 10 bar, to: 30 bar }",
        ),
        tested_at: quantity(
          "temperature",
          {},
          "Temperature of the test that showed the difference; left out: no test has shown it.",
          "80 K",
        ),
      },
      "The seats' own relief of the cavity.",
    ),
    vent: section(
      {
        side: choice(
          ["upstream", "downstream", "none"],
          "Side to which a hole in the ball opens the cavity in the closed position.",
        ),
        diameter: quantity("length", positive, "Diameter of the hole.", "2 mm tol 0.1 mm"),
        discharge_coefficient: quantity(
          "ratio",
          discharge,
          "Flow through the hole over that of a loss-free nozzle.",
          "{ from: 0.6, to: 0.8 }",
        ),
        direction_marked: choice(["yes", "no"], "Whether the body shows the direction of flow."),
        largest_leak: quantity(
          "mass flow",
          positive,
          "Hole on the downstream side: largest leak that is accepted through the closed valve.",
          "1 g/s",
        ),
      },
      "Vent hole of the cavity. It makes the valve tight in one direction only.",
    ),
  },
  "Cavity between ball and body, shut in while the valve is closed.",
);

/** Volumes outside the valve that two closed elements can isolate. */
export const trappedFields = section(
  {
    ambient_temperature: quantity(
      "temperature",
      {},
      "Warmest surroundings to which a closed volume can warm.",
      "35 degC",
    ),
    segments: list(
      {
        name: text("What shuts it in on both sides.", "main valve to isolation valve"),
        ...closedVolume,
        pressure: quantity(
          "pressure",
          positive,
          "Pressure at which it is closed; left out: the supply pressure.",
          "28 bar(a)",
        ),
        relief: section(
          {
            set_pressure: quantity("pressure", positive, "Set pressure of the relief device.", "40 bar(a)"),
            overpressure: quantity(
              "ratio",
              notNegative,
              "Rise over the set pressure, counted from the atmosphere, at which it is wide open.",
              "10 %",
            ),
            back_pressure: quantity(
              "pressure",
              positive,
              "Pressure behind it while it relieves.",
              "1.2 bar(a)",
            ),
            area: quantity("area", positive, "Its orifice area.", "12 mm2"),
            discharge_coefficient: quantity(
              "ratio",
              discharge,
              "Discharge coefficient of its certificate, not lowered.",
              "0.65",
            ),
          },
          "The relief device of this volume.",
        ),
      },
      "Every volume of the line that two closed elements can shut in.",
    ),
  },
  "Liquid that is shut in outside the valve.",
);
