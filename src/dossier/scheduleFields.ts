/** Fields about a wanted history of the flow, from which a schedule of the opening is made. */
import type { Bounds } from "../quantity/index.js";
import { choice, list, quantity, section } from "./field.js";

const positive: Bounds = { minExclusive: 0 };
const notNegative: Bounds = { min: 0 };
const share: Bounds = { minExclusive: 0, max: 1, because: "It is a share of what the drive has." };
const flowShare: Bounds = { min: 0, max: 2, because: "It is a share of the duty's flow." };

export const scheduleFields = section(
  {
    start: quantity(
      "ratio",
      flowShare,
      "Flow before the first move, as a share of `duty.mass_flow`.",
      "100 %",
    ),
    moves: list(
      {
        to: quantity("ratio", flowShare, "Flow at its end, as a share of `duty.mass_flow`.", "45 %"),
        within: quantity("time", notNegative, "How long it takes; not used by a `step`.", "1.5 s"),
        shape: choice(
          ["step", "ramp", "gentle"],
          "`step` at once, `ramp` at one rate, `gentle` at nearly one rate with rounded ends.",
        ),
        hold: quantity("time", notNegative, "How long the flow then stays; left out: not at all.", "0.5 s"),
      },
      "Moves of the flow, one after the other.",
    ),
    back_pressure: choice(
      ["constant", "proportional"],
      "What stands at the end of the line at part flow: `constant` back pressure, or one that is `proportional` to the flow, as in a burning chamber at one mixture ratio.",
    ),
    step: quantity("time", positive, "Time between the rows of the schedule.", "5 ms"),
    speed_share: quantity(
      "ratio",
      share,
      "Share of the speed that the drive reaches at an opening which the schedule may ask for.",
      "80 %",
    ),
    torque_share: quantity(
      "ratio",
      share,
      "Share of the drive's torque that the schedule may ask for.",
      "70 %",
    ),
    least_angle: quantity("angle", notNegative, "Smallest opening allowed; left out: closed.", "5 deg"),
    largest_angle: quantity("angle", positive, "Largest opening allowed; left out: the travel.", "88 deg"),
    largest_angle_error: quantity(
      "angle",
      positive,
      "Distance of the ball from the schedule that is accepted.",
      "1 deg",
    ),
    largest_flow_error: quantity(
      "ratio",
      positive,
      "Distance of the flow from the wanted history that is accepted, over `duty.mass_flow`.",
      "10 %",
    ),
  },
  "Wanted history of the flow in the duty, from which `coldturn profile` makes a schedule of the opening.",
);
