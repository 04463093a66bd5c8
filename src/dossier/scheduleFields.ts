/** Fields about a wanted history of the flow, from which a schedule of the opening is made. */
import type { Bounds } from "../quantity/index.js";
import { choice, list, quantity, section } from "./field.js";

const positive: Bounds = { minExclusive: 0 };
const notNegative: Bounds = { min: 0 };
const torqueShare: Bounds = { minExclusive: 0, max: 1, because: "It is a share of what the drive has." };
const speedShare: Bounds = {
  minExclusive: 0,
  maxExclusive: 1,
  because: "At its full speed a drive has no torque left to change it.",
};
const flowShare: Bounds = { min: 0, max: 2, because: "It is a share of the duty's flow." };

export const scheduleFields = section(
  {
    start: quantity(
      "ratio",
      flowShare,
      "Flow before the first of the `moves`, as a share of `duty.mass_flow`.",
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
      "What stands at the end of the line at part flow: `constant` back pressure, or one that is `proportional` to the flow, as in a burning chamber at one mixture ratio; a share of the flow is then one of the chamber pressure too.",
    ),
    points: list(
      {
        time: quantity("time", notNegative, "Time from the beginning of the history.", "1.5 s"),
        flow: quantity("ratio", flowShare, "Flow at that time, as a share of `duty.mass_flow`.", "45 %"),
      },
      "The history as points joined by straight lines, instead of `start` and `moves`.",
    ),
    step: quantity(
      "time",
      positive,
      "Time between the rows of the schedule, a whole number of microseconds.",
      "5 ms",
    ),
    speed_share: quantity(
      "ratio",
      speedShare,
      "Share of the speed that the drive reaches at an opening which the schedule may ask for; the rest is left to catch up.",
      "80 %",
    ),
    torque_share: quantity(
      "ratio",
      torqueShare,
      "Share of the drive's torque that the schedule may ask for.",
      "70 %",
    ),
    motor_temperature: quantity(
      "temperature",
      {},
      "Of the motor while the schedule runs; left out: that of the conditions, before it has moved.",
      "90 degC",
    ),
    jerk_time: quantity(
      "time",
      notNegative,
      "Time in which the acceleration may change by its greatest value; left out: four rows.",
      "20 ms",
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
