/** Question 7: what liquid does that cannot leave. */

import type { TrappedVolume } from "../../predict/index.js";
import type { Pressure, Temperature } from "../../quantity/index.js";
import { homogeneousPressure, stateAtPressureTemperature } from "../../substance/index.js";
import { noteNumber } from "../number.js";
import { NoSuchSteps, type Steps } from "../steps.js";
import { type Maker, nominal, partOf, present, type Workings } from "../workings.js";

function cavityOf(of: Workings): TrappedVolume {
  return present(of.own.trapped.cavity, "cavity");
}

/** Pressure of the side to which hole or seats open. */
function sideLine(steps: Steps, of: Workings, side: string | undefined): void {
  if (side !== "upstream" && side !== "downstream") throw new NoSuchSteps("a side");
  const behind =
    of.conditions.back_pressure_at_start === undefined ? "back_pressure" : "back_pressure_at_start";
  steps.field(
    "p_side",
    `${of.place}.${side === "upstream" ? "supply_pressure" : behind}`,
    `pressure on the ${side} side`,
  );
}

const seats: Maker = (steps, of, _, value) => {
  sideLine(steps, of, of.valve.valve?.cavity?.self_relief?.side);
  steps.field(
    "dp_seats",
    "valve.cavity.self_relief.difference",
    "difference at which the seats let the cavity go",
  );
  steps.step("p_seats", "pressure at which they let it go", "pressure", "p_side + dp_seats", value);
};

const cavity: Maker = (steps, of, _, value) => {
  const volume = cavityOf(of);
  const { figures, start, warm } = volume;
  steps.method(
    "Mass and cavity are closed: rho(p) = m / V(p), V = V0 (1 + (p - p0)/K); the pressure at which the equation of state has the temperature of the surroundings, a root. What relieves the cavity bounds it.",
    [
      ["bounded by", volume.boundedBy],
      ["share of the range to which a pressure is found", "1e-9"],
      ...(warm?.isBeyond === true
        ? ([["published range of the equation of state", "left: an order of size"]] as const)
        : []),
    ],
    ["valve.cavity", "trapped.ambient_temperature"],
  );
  const { medium } = of.own.trapped;
  if (start !== undefined && medium.kind === "fluid") {
    const state = stateAtPressureTemperature(medium.fluid, start.p, start.T);
    const { dpdT, dpdrho } = homogeneousPressure(medium.fluid, start.T, state.rho);
    steps.part("Estimate by hand: how fast the pressure of the full cavity begins to rise");
    const origin = `equation of state at ${noteNumber(start.T)} K and ${noteNumber(start.p)} Pa`;
    steps.given(
      "beta",
      "thermal expansion of the liquid",
      { unit: "1/K" },
      dpdT / (state.rho * dpdrho),
      origin,
    );
    steps.given("kappa", "its compressibility", { unit: "1/Pa" }, 1 / (state.rho * dpdrho), origin);
    if (of.declares("valve.cavity.wall_stiffness")) {
      steps.field("K", "valve.cavity.wall_stiffness", "stiffness of the wall");
      steps.step("rate", "rise for each kelvin", { unit: "Pa/K" }, "beta / (kappa + 1 / K)");
    } else steps.step("rate", "rise for each kelvin, rigid wall", { unit: "Pa/K" }, "beta / kappa");
    steps.given("T_1", "temperature at closing", "temperature", start.T, "as declared");
    if (of.declares("valve.cavity.rating")) {
      steps.field("p_rating", "valve.cavity.rating", "rating");
      steps.given("p_1", "pressure at closing", "pressure", start.p, "as declared");
      steps.step(
        "dT",
        "warming after which the rating is passed, at that rate",
        "temperature difference",
        "(p_rating - p_1) / rate",
      );
    }
  }
  steps.part("The highest pressure");
  steps.given(
    "p_warm",
    "warmed to the surroundings, nothing relieving it",
    "pressure",
    nominal(figures, "warm"),
    "equation of state",
  );
  const bounds = ["p_warm"];
  const seatsAt = figures.nominal.seats ?? Number.NaN;
  if (!Number.isNaN(seatsAt)) {
    steps.given(
      "p_seats",
      "pressure at which the seats let it go",
      "pressure",
      seatsAt,
      "as self-relief-test",
    );
    bounds.push("p_seats");
  }
  if (volume.boundedBy === "vent hole") {
    steps.given(
      "p_vent",
      "with the vent hole open: its side, and the rise that drives the flow of the heat out",
      "pressure",
      value,
      "dp = (W / (Cd A))^2 / (2 rho) of the worst state on the way",
    );
    bounds.push("p_vent");
  }
  steps.step("p_max", "the least of them", "pressure", `min(${bounds.join(", ")})`, value);
};

const vent: Maker = (steps, of, _, value) => {
  const needed = present(cavityOf(of).vent, "vent");
  steps.method(
    "What swells leaves at the state it has; through the hole it runs loss-free and in equilibrium, the flux the largest over the pressure of the throat by a golden section; the worst state between closing and the surroundings decides.",
    [["state that asks for most", needed.of]],
    ["valve.cavity", "trapped.ambient_temperature"],
  );
  steps.given(
    "w_q",
    "mass that must leave for each joule of heat",
    { unit: "kg/J" },
    needed.massFlow_kg_J,
    "(dv/dh)_p rho, equation of state",
  );
  steps.given("G", "flux through the hole, no coefficient", { unit: "kg/(m2 s)" }, needed.flux, {
    words: "homogeneous equilibrium",
    source: "api-520-1-2014, annex C",
  });
  steps.field("q", "valve.cavity.heat_leak", "heat leak");
  steps.field("C_d", "valve.cavity.vent.discharge_coefficient", "discharge coefficient");
  steps.step("W", "flow that must leave", "mass flow", "w_q * q");
  steps.step("A", "area of the hole", "area", "W / (C_d * G)");
  steps.step("d", "diameter of the hole", "length", "sqrt(4 * A / pi)", value);
};

const segment: Maker = (steps, of, check, value) => {
  const name = partOf(check);
  const volume = present(
    of.own.trapped.segments.find((one) => one.name === name),
    name,
  );
  const relief = present(volume.relief, "relief");
  const { path } = volume;
  const { medium } = of.own.trapped;
  if (medium.kind !== "fluid") throw new NoSuchSteps("a fluid");
  const { start } = volume;
  const T = present(start, "start").T as Temperature;
  steps.part("Relieving pressure");
  steps.field("p_set", `${path}.relief.set_pressure`, "set pressure");
  steps.field("over", `${path}.relief.overpressure`, "overpressure");
  steps.field("p_a", "duty.ambient_pressure", "atmosphere");
  steps.step(
    "p_1",
    "pressure at which the device is wide open",
    "pressure",
    "p_set + over * (p_set - p_a)",
    relief.relieving,
  );
  steps.field("p_2", `${path}.relief.back_pressure`, "pressure behind it");
  steps.field("K_d", `${path}.relief.discharge_coefficient`, "discharge coefficient");
  steps.field("q", `${path}.heat_leak`, "heat leak");
  const cold = stateAtPressureTemperature(medium.fluid, relief.relieving as Pressure, T);
  const { dpdT, dpdrho } = homogeneousPressure(medium.fluid, T, cold.rho);
  const origin = "equation of state of the cold liquid at p_1";
  steps.part("Liquid that expands");
  steps.given("beta", "thermal expansion", { unit: "1/K" }, dpdT / (cold.rho * dpdrho), origin);
  steps.given("rho", "density", "density", cold.rho, origin);
  steps.given("c_p", "specific heat", { unit: "J/(kg K)" }, cold.cp, origin);
  steps.step("Q", "volume that expands", "volume flow", "beta * q / (rho * c_p)");
  const [expansion, ...others] = relief.sizes;
  steps.step(
    "A_liquid",
    present(expansion, "size").way,
    "area",
    "Q / K_d * sqrt(rho / (2 * (p_1 - p_2)))",
    present(expansion, "size").area,
  );
  if (others.length > 0) steps.part("Other ways of sizing");
  others.forEach((size, n) => {
    steps.given(`A_${n + 2}`, size.way, "area", size.area, {
      words: "by its standard, states by the equation of state",
      source: size.source,
    });
  });
  steps.part("The area");
  steps.step(
    "A",
    "largest of them",
    "area",
    `max(A_liquid${others.map((__, n) => `, A_${n + 2}`).join("")})`,
    value,
  );
};

export const trappedMakers: Readonly<Record<string, Maker>> = {
  "cavity-pressure": cavity,
  "vent-hole": vent,
  "self-relief-test": seats,
  "segment-relief": segment,
};
