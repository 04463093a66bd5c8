/** Fields about the engine that the valve starts: its chamber, when it lights, the other valve, and what the start may not leave. */
import type { Bounds } from "../quantity/index.js";
import { choice, list, quantity, section, text } from "./field.js";

const positive: Bounds = { minExclusive: 0 };
const notNegative: Bounds = { min: 0 };
const any: Bounds = {};
const share: Bounds = { minExclusive: 0, max: 1, because: "It is a share of the whole." };

/** A propellant's tank and what it fills behind its valve. */
const wayOf = {
  tank: section(
    {
      kind: choice(["regulated", "blowdown"], "What keeps its pressure: a regulator, or nothing."),
      droop: quantity(
        "pressure difference",
        notNegative,
        "Regulated: by how much its pressure falls at the flow named in `at` of its line.",
        "0.5 bar +/- 0.2 bar",
      ),
      ullage: quantity("volume", positive, "Blowing down: gas in the tank before the start.", "20 L"),
      exponent: quantity(
        "ratio",
        { min: 1, max: 1.67, because: "From isothermal to adiabatic of a gas of single atoms." },
        "Blowing down: exponent of the expansion.",
        "{ from: 1.0, to: 1.4 }",
      ),
    },
    "Pressure of the tank while it flows.",
  ),
  volume: quantity(
    "volume",
    positive,
    "What fills between valve and injector: line, cooling passages, manifold.",
    "0.6 L +/- 5 %",
  ),
  injector_drop: quantity(
    "pressure difference",
    notNegative,
    "Part of the downstream drop that the injector takes, at the same flow.",
    "5 bar +/- 0.3 bar",
  ),
};

/** The engine. */
export const engineFields = section(
  {
    side: choice(["oxidiser", "fuel"], "Which propellant goes through this valve."),
    throat_area: quantity("area", positive, "Area of the throat, hot.", "4880 mm2 +/- 1 %"),
    chamber_volume: quantity("volume", positive, "Volume of the chamber up to the throat.", "4.9 L"),
    heat_ratio: quantity(
      "ratio",
      { minExclusive: 1, max: 1.67, because: "From a gas of many atoms to one of single atoms." },
      "Ratio of heat capacities of the burnt gas.",
      "{ from: 1.15, to: 1.22 }",
    ),
    characteristic_velocity: list(
      {
        mixture_ratio: quantity("ratio", positive, "Oxidiser over fuel, ascending.", "2.6"),
        velocity: quantity("speed", positive, "Characteristic velocity of equilibrium there.", "1800 m/s"),
      },
      "Table of an equilibrium code or of tests, at about the pressure of the chamber.",
    ),
    velocity_source: text("Where the table comes from.", "equilibrium code of the team, 18 bar"),
    efficiency: quantity("ratio", share, "Characteristic velocity reached, of the table's.", "94 % +/- 2 %"),
    ignition: section(
      {
        condition: choice(
          ["both at the injector", "time"],
          "From when `delay` counts: liquid of both at the injector, or the start; never before both are there.",
        ),
        delay: quantity("time", notNegative, "Until it burns.", "{ from: 5 ms, to: 25 ms }"),
      },
      "When it lights.",
    ),
    box: section(
      {
        least: quantity("ratio", positive, "Least mixture ratio while it burns.", "1.2"),
        most: quantity("ratio", positive, "Greatest mixture ratio while it burns.", "4.0"),
      },
      "Mixture ratio that the start may not leave.",
    ),
    lead: section(
      {
        least: quantity("time", any, "Least time from fuel to oxidiser at the injector.", "0 ms"),
        most: quantity("time", any, "Greatest time from fuel to oxidiser at the injector.", "80 ms"),
      },
      "When the oxidiser comes to the injector after the fuel; below zero: before it.",
    ),
    largest_unburnt: quantity("mass", positive, "Largest mass that may be unburnt at ignition.", "60 g"),
    least_injector_share: quantity(
      "ratio",
      share,
      "Least drop across each injector over the chamber pressure while it burns.",
      "10 %",
    ),
    fill_within: quantity("time", positive, "Within which each side fills from its first flow.", "0.35 s"),
    sequence: section(
      {
        open_offset: quantity(
          "time",
          any,
          "Command to open of the other valve after that of this one.",
          "40 ms +/- 2 ms",
        ),
        close_offset: quantity(
          "time",
          any,
          "Command to close of the other valve after that of this one.",
          "60 ms +/- 2 ms",
        ),
        abort_offset: quantity(
          "time",
          any,
          "In an abort: command to close of the other valve after that of this one.",
          "0 ms +/- 2 ms",
        ),
      },
      "The commands of both valves.",
    ),
    own: section(wayOf, "The side of this valve; its line is that of `line`, its fluid that of the duty."),
    partner: section(
      {
        ...wayOf,
        fluid: text("Its propellant, a name of the shipped fluids.", "propane"),
        fluid_temperature: quantity("temperature", positive, "Its temperature.", "288 K +/- 4 K"),
        supply_pressure: quantity("pressure", positive, "Pressure of its tank at rest.", "28 bar(a)"),
        at: quantity("mass flow", positive, "Flow at which its drops are declared.", "1.45 kg/s"),
        upstream_drop: quantity("pressure difference", notNegative, "From tank to valve.", "0.8 bar"),
        downstream_drop: quantity(
          "pressure difference",
          notNegative,
          "From valve to chamber, injector included.",
          "8.6 bar +/- 0.4 bar",
        ),
        bore: quantity("length", positive, "Bore of its ball valve.", "32 mm"),
        ball_diameter: quantity("length", positive, "Diameter of its ball.", "52 mm"),
        flow_coefficient: quantity("flow coefficient", positive, "Wide open.", "150 Kv"),
        contraction: quantity(
          "ratio",
          share,
          "Contraction coefficient of a small opening of its port.",
          "0.63",
        ),
        recovery_factor: quantity("ratio", share, "Its pressure recovery factor.", "{ from: 0.55, to: 0.9 }"),
        dead_time: quantity("time", notNegative, "From command to first motion.", "30 ms +/- 5 ms"),
        opening_time: quantity(
          "time",
          positive,
          "From first motion to open, at an even speed of the ball.",
          "0.5 s +/- 0.05 s",
        ),
        closing_time: quantity(
          "time",
          positive,
          "From first motion to closed, at an even speed of the ball.",
          "0.4 s +/- 0.05 s",
        ),
      },
      "The other propellant, its ball valve and its line.",
    ),
  },
  "The engine that the valve starts and stops.",
);
