/** Fields about how the valve is cooled down: the coolant, the parts as lumps, the paths of heat between them. */
import type { Bounds } from "../quantity/index.js";
import { choice, list, quantity, section, text } from "./field.js";

const positive: Bounds = { minExclusive: 0 };

/** What a part is to the valve. Ball, seats and body are those that have to be cold before it is turned. */
const coolingKinds = ["ball", "seat", "body", "stem", "bonnet", "line", "other"] as const;

/** The cool-down of the valve. */
export const coolDownFields = section(
  {
    start: quantity(
      "temperature",
      {},
      "Temperature of every part as the coolant is let in.",
      "{ from: 10 degC, to: 35 degC }",
    ),
    surroundings: quantity(
      "temperature",
      {},
      "Temperature of the surroundings while it cools.",
      "{ from: 10 degC, to: 35 degC }",
    ),
    flow: quantity(
      "mass flow",
      positive,
      "Coolant that is let in, taken as constant; all of it passes every wetted part, one after the other.",
      "50 g/s +/- 10 g/s",
    ),
    pressure: quantity(
      "pressure",
      positive,
      "Pressure in the valve while it cools, at which the coolant boils.",
      "{ from: 1.5 bar(a), to: 4 bar(a) }",
    ),
    near: quantity(
      "temperature difference",
      positive,
      "How near to the boiling coolant a part counts as cold; the valve is ready when ball, seats and body are.",
      "15 K",
    ),
    alike: quantity(
      "temperature difference",
      positive,
      "Largest difference among ball, seats and body at which the valve may be turned; where `near` is given too, both are to hold. Left out: only `near` counts.",
      "20 K",
    ),
    within: quantity(
      "time",
      positive,
      "Time that the cool-down may take, until the valve is ready.",
      "15 min",
    ),
    largest_propellant: quantity("mass", positive, "Propellant that the cool-down may spend.", "60 kg"),
    parts: list(
      {
        name: text("What it is called in `links` and in `fits`.", "ball"),
        kind: choice(coolingKinds, "What it is; of ball, seat and body at least one each is needed."),
        mass: quantity("mass", positive, "Its mass.", "0.55 kg +/- 3 %"),
        material: text(
          "Its material, a shipped solid or one of parts/, for its specific heat against temperature.",
          "stainless-316",
        ),
        specific_heat: quantity(
          "specific heat",
          positive,
          "Mean specific heat between start and cold, for a material whose specific heat is not on file; used in place of the material's where given.",
          "{ from: 450 J/(kg K), to: 650 J/(kg K) }",
        ),
        wetted_area: quantity(
          "area",
          positive,
          "Its wall in the coolant; left out: the coolant does not reach it, and it needs a link to a part that is reached.",
          "7500 mm2 +/- 10 %",
        ),
        passage: quantity("length", positive, "Hydraulic diameter of the passage along its wall.", "32 mm"),
        surroundings_resistance: quantity(
          "thermal resistance",
          positive,
          "Thermal resistance between it and the surroundings; for a part inside, 1e6 K/W lets nothing through.",
          "{ from: 20 K/W, to: 80 K/W }",
        ),
      },
      "The parts, each with one temperature, in the order in which the coolant passes them.",
    ),
    links: list(
      {
        first: text("Name of a part.", "ball"),
        second: text("Name of the part that touches it.", "seats"),
        resistance: quantity(
          "thermal resistance",
          positive,
          "Thermal resistance between the two, contact and metal together.",
          "{ from: 3 K/W, to: 20 K/W }",
        ),
      },
      "Paths of heat between parts that touch; left out: heat passes through the coolant alone.",
    ),
  },
  "How the valve is cooled down: coolant, parts as lumps, paths of heat, and when it counts as cold.",
);
