/** Fields about the line that feels the valve: pipes with bore and wall, what stands between them, ratings, and how it fills. */
import { restraints } from "../physics/line/index.js";
import type { Bounds } from "../quantity/index.js";
import { choice, list, quantity, section, text } from "./field.js";

const positive: Bounds = { minExclusive: 0 };
const notNegative: Bounds = { min: 0 };
const share: Bounds = { minExclusive: 0, max: 1, because: "It is a share of the whole." };

/** The line as pipes; `line.upstream` and `line.downstream` say what it loses in all. */
export const surgeFields = {
  pipes: list(
    {
      name: text("Which pipe it is.", "feed line"),
      side: choice(
        ["upstream", "downstream"],
        "On which side of the valve; a branch has that of the pipe it leaves.",
      ),
      branches_after: text(
        "For a closed branch: name of the pipe at whose end it leaves the line; left out: a pipe of the line itself, in the order from tank to end.",
        "feed line",
      ),
      length: quantity("length", positive, "Its length.", "1.4 m"),
      rise: quantity(
        "length",
        {},
        "How much higher its end lies than its start; below zero: lower. Left out: level.",
        "-0.6 m",
      ),
      bore: quantity("length", positive, "Its inside diameter.", "28 mm"),
      wall: quantity("length", positive, "Thickness of its wall.", "2 mm"),
      material: text("Its material, a shipped solid or one of parts/.", "stainless-316"),
      restraint: choice(
        restraints,
        "How it is held along: `throughout`, at its `upstream` end only, or with expansion `joints`.",
      ),
      roughness: quantity("length", notNegative, "Roughness of its bore.", "5 um"),
      rating: quantity("pressure", positive, "Pressure that it bears, with its joints, cold.", "64 bar(a)"),
      cushion: section(
        {
          volume: quantity("volume", positive, "Gas at the steady pressure of the line.", "0.2 L"),
          exponent: quantity(
            "ratio",
            { min: 1, max: 1.67, because: "From isothermal to adiabatic of a gas of single atoms." },
            "Exponent of its compression.",
            "{ from: 1.0, to: 1.4 }",
          ),
        },
        "Gas at the end of a branch: an accumulator. Left out: a dead end full of liquid.",
      ),
    },
    "Pipes from the tank to the end of the line, and closed branches.",
  ),
  components: list(
    {
      name: text("Which one it is.", "flow meter"),
      after: text("Name of the pipe at whose end it stands.", "feed line"),
      drop: quantity(
        "pressure difference",
        notNegative,
        "Its part of the drop of its side, at the flow named in `at` there; left out: none of its own.",
        "0.4 bar",
      ),
      rating: quantity("pressure", positive, "Pressure that it bears, cold.", "64 bar(a)"),
    },
    "What stands between the pipes: filter, bends, flow meter. What pipes and components do not account for of a side's drop is lost at the tank, or at the end of the line.",
  ),
  stations: list(
    {
      of: text("Name of a pipe or of a component of the line.", "injector manifold"),
      distance: quantity(
        "length",
        notNegative,
        "Along the pipe from its start; left out: its end. A component stands at the end of its pipe.",
        "0.3 m",
      ),
    },
    "Places whose pressure is drawn against time.",
  ),
  free_gas: quantity(
    "ratio",
    { min: 0, max: 0.1 },
    "Share of gas bubbles in the liquid at the supply pressure; left out: none, which makes the waves fastest.",
    "{ from: 0 %, to: 0.05 % }",
  ),
  speed_of_sound: quantity(
    "speed",
    positive,
    "Speed of sound in the liquid; left out: of the equation of state.",
    "900 m/s +/- 5 m/s",
  ),
  liquid_level: quantity(
    "length",
    notNegative,
    "Height of the liquid in the tank over the start of the first pipe; left out: none, as where the supply pressure is that at the tank's outlet.",
    "1.2 m",
  ),
  rating_share: quantity(
    "ratio",
    share,
    "Share of a rating that a surge may reach; left out: all of it.",
    "90 %",
  ),
  priming: section(
    {
      state: choice(
        ["empty", "full"],
        "What stands behind the shut valve: `empty` of liquid, or `full` of it.",
      ),
      gas: text("Gas ahead of the liquid, a name of the shipped fluids.", "nitrogen"),
      gas_temperature: quantity("temperature", positive, "Its temperature.", "{ from: 100 K, to: 290 K }"),
      exponent: quantity(
        "ratio",
        { min: 1, max: 1.67, because: "From isothermal to adiabatic of a gas of single atoms." },
        "Exponent of its compression.",
        "{ from: 1.0, to: 1.4 }",
      ),
      metal: section(
        {
          mass: quantity("mass", positive, "Mass that the liquid wets.", "1.2 kg"),
          material: text("Its material, a shipped solid or one of parts/.", "stainless-316"),
          temperature: quantity("temperature", positive, "Its temperature before.", "250 K +/- 20 K"),
        },
        "Metal behind the valve, for a bound of what flashes.",
      ),
    },
    "How the line behind the valve fills.",
  ),
};
