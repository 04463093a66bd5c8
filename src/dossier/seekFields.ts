/** Fields about a search for other parts: what may be tried, within which limits, and how big and heavy a part is. */
import type { Bounds } from "../quantity/index.js";
import { choice, count, list, quantity, section, text } from "./field.js";

const positive: Bounds = { minExclusive: 0 };
const notNegative: Bounds = { min: 0 };
const margin: Bounds = { min: -1, because: "A margin is one thing over another, less one." };

/** How big, heavy and dear a part is; of motor, stage, valve and battery. Left out: not known. */
export const buildFields = section(
  {
    mass: quantity("mass", notNegative, "Mass of the part.", "0.9 kg +/- 5 %"),
    cost: quantity(
      "number",
      notNegative,
      "Price of the part, in the currency of `seek.limits.cost`.",
      "{ from: 300, to: 420 }",
    ),
    length: quantity("length", positive, "Length along the drive's axis.", "60 mm"),
    diameter: quantity("length", positive, "Diameter of the circle round its cross-section.", "62 mm"),
    frame: quantity(
      "length",
      positive,
      "Frame size: side of the square flange, or diameter of the round one, by which it is screwed to its neighbour.",
      "60 mm",
    ),
    mounting: text("Mounting pad towards the drive, of a valve, as ISO 5211 names them.", "F05"),
  },
  "How big, heavy and dear the part is, and what it is screwed to.",
);

/** `seek`. */
export const seekFields = section(
  {
    probability: quantity(
      "ratio",
      { minExclusive: 0, maxExclusive: 1, because: "No prediction is certain." },
      "Probability with which each limit must be met; left out: `duty.probability`.",
      "0.95",
    ),
    try: list(
      {
        kind: choice(["valve", "motor", "stage", "battery"], "Which part may be another one."),
        class: text("Only parts of this class, as `coldturn parts` lists them.", "planetary"),
        part: text("Only the part of this name.", "generic brushless 100 W"),
      },
      "What may be tried beside what is declared; a kind that no row names stays as it is. A row with neither class nor part takes every part of its kind.",
    ),
    stages: section(
      {
        least: count(0, 4, "Fewest gear stages; left out: 1."),
        most: count(0, 4, "Most gear stages; left out: 3."),
      },
      "How many gear stages a chain of tried ones may have.",
    ),
    commands: list(
      {
        kind: choice(["full", "trapezoid", "jerk-limited"], "As `drive.command.kind`."),
        duration: quantity("time", positive, "As `drive.command.duration`.", "0.5 s"),
        current: quantity(
          "current",
          positive,
          "As `drive.driver.current_limit`; left out: that one.",
          "12 A",
        ),
        sample_time: quantity(
          "time",
          positive,
          "As `drive.command.sample_time`; left out: that one.",
          "1 ms",
        ),
        position_gain: quantity(
          "frequency",
          positive,
          "As `drive.command.position_gain`; left out: that one.",
          "30 1/s",
        ),
        speed_bandwidth: quantity(
          "frequency",
          positive,
          "As `drive.command.speed_bandwidth`; left out: that one.",
          "200 1/s",
        ),
      },
      "Commands that may be tried beside the declared one.",
    ),
    limits: section(
      {
        mass: quantity("mass", positive, "Largest mass of valve, motor, stages and battery.", "6 kg"),
        drive_mass: quantity("mass", positive, "Largest mass of motor and stages.", "2.5 kg"),
        cost: quantity("number", positive, "Largest price of all parts together.", "2500"),
        length: quantity(
          "length",
          positive,
          "Longest drive: motor and stages one behind the other.",
          "220 mm",
        ),
        diameter: quantity("length", positive, "Largest diameter of motor and stages.", "85 mm"),
        frame: quantity("length", positive, "Largest frame of motor and stages.", "60 mm"),
        mounting: text("Mounting pad that the valve must have.", "F05"),
        current: quantity("current", positive, "Largest peak current of the motor.", "16 A"),
        torque_margin: quantity(
          "ratio",
          margin,
          "Least torque margin by the rule of `duty.margin_rule`; left out: 0.",
          "0",
        ),
        gear_margin: quantity(
          "ratio",
          margin,
          "Least margin of every stage's momentary torque over that of the locked drive, less one; left out: 0.",
          "0.1",
        ),
        stem_margin: quantity(
          "ratio",
          margin,
          "Least margin of what the stem bears over the torque of the locked drive, less one; left out: 0 where the stem's sections are declared.",
          "0.1",
        ),
      },
      "Limits that a choice must keep beside those of the duty; one left out is no limit.",
    ),
  },
  "What `coldturn seek` may try, and within which limits.",
);
