/** Fields about holding a part opening: what must become of the ball without power, and the loop that holds it. */
import type { Bounds } from "../quantity/index.js";
import { choice, quantity, section } from "./field.js";

const positive: Bounds = { minExclusive: 0 };
const notNegative: Bounds = { min: 0 };

/** What the hazard analysis asks for once power is lost. */
export const powerLossFields = section(
  {
    state: choice(
      ["holds", "closes", "opens"],
      "What the ball must do once power is lost: `holds` where it is, `closes` or `opens` by itself.",
    ),
    largest_travel: quantity(
      "angle",
      notNegative,
      "`holds`: angle by which the ball may still run on after power is lost in motion.",
      "10 deg",
    ),
  },
  "Loss of power, as the hazard analysis demands.",
);

/** The loop that holds a set point. */
export const holdFields = section(
  {
    sample_time: quantity("time", positive, "Period of the loop; left out: that of `drive.command`.", "1 ms"),
    position_gain: quantity(
      "frequency",
      positive,
      "Commanded speed per position error; left out: that of `drive.command`.",
      "30 1/s",
    ),
    speed_bandwidth: quantity(
      "frequency",
      positive,
      "Closed bandwidth of the speed loop (1/s); left out: that of `drive.command`.",
      "200 1/s",
    ),
    dead_band: quantity(
      "angle",
      notNegative,
      "Angle error within which the loop gives up; left out: none.",
      "0.3 deg",
    ),
    largest_error: quantity(
      "angle",
      positive,
      "Distance of the ball from a set point that stands which is accepted, at rest or hunting.",
      "0.5 deg",
    ),
  },
  "Position loop at a set point that stands, with its sensor at the stem.",
);
