/** Question 10: an engine's start and stop are integrated; what a calculator gives stands beside it. */

import { throatFunction } from "../../physics/start/index.js";
import { noteNumber } from "../number.js";
import type { Steps } from "../steps.js";
import { type Maker, present, type Workings } from "../workings.js";

function startMethod(steps: Steps, of: Workings): void {
  const { runs } = of.own.start;
  steps.method(
    "Both sides fill by the midpoint rule and pass by the trapezoidal one; the chamber pressure goes by backward Euler with Newton rounds; a step ends where a side is full and where it ignites (docs/theory/start.md).",
    [
      ["change of pressure in a round below which none is added", "1e-7"],
      ...(runs === undefined ? [] : [["time followed", `${noteNumber(runs.start.until)} s`] as const]),
    ],
    ["engine", "line"],
  );
}

/** Time to fill at the steady flow of the running engine. */
function fillEstimate(steps: Steps, of: Workings, side: "own" | "partner"): void {
  const { runs, side: mine } = of.own.start;
  const { oxidiser, fuel } = present(runs, "runs").start;
  const run = (mine === "oxidiser") === (side === "own") ? oxidiser : fuel;
  steps.part("Estimate by hand: what stands there, at the flow of the running engine");
  steps.given("m", "liquid between valve and injector, full", "mass", run.standing, {
    path: `engine.${side}.volume`,
    words: "the volume times the density of the liquid",
  });
  steps.given("W", "flow at the end of the start", "mass flow", run.flow, "followed");
  steps.step(
    "t_fill",
    "time to fill; an empty chamber lets more flow, a valve that still opens less",
    "time",
    "m / W",
  );
}

/** Chamber pressure of the steady engine, and the time in which it fills. */
function chamberEstimate(steps: Steps, of: Workings): void {
  const { runs, side } = of.own.start;
  const start = present(runs, "runs").start;
  const engine = present(of.valve.engine, "engine");
  steps.part("Estimate by hand: the steady chamber, p_c = c* W / A_t");
  steps.given("W_ox", "oxidiser at the end of the start", "mass flow", start.oxidiser.flow, "followed");
  steps.given("W_fu", "fuel at the end of the start", "mass flow", start.fuel.flow, "followed");
  steps.step("r", "mixture ratio", "ratio", "W_ox / W_fu");
  const rows = (engine.characteristic_velocity ?? []).flatMap(({ mixture_ratio, velocity }, j) =>
    mixture_ratio === undefined || velocity === undefined ? [] : [{ j, r: mixture_ratio.value }],
  );
  const r = steps.at("r");
  const next = rows.findIndex((row) => row.r >= r);
  const [low, high] = [rows[Math.max(next - 1, 0)], rows[next]];
  if (next > 0 && low !== undefined && high !== undefined) {
    const path = "engine.characteristic_velocity";
    steps.field("r_0", `${path}[${low.j}].mixture_ratio`, "row below");
    steps.field("c_0", `${path}[${low.j}].velocity`, "its characteristic velocity");
    steps.field("r_1", `${path}[${high.j}].mixture_ratio`, "row above");
    steps.field("c_1", `${path}[${high.j}].velocity`, "its characteristic velocity");
    steps.field("eta", "engine.efficiency", "combustion efficiency");
    steps.step(
      "c_star",
      "characteristic velocity, straight between the rows",
      "speed",
      "eta * (c_0 + (r - r_0) / (r_1 - r_0) * (c_1 - c_0))",
    );
    steps.field("A_t", "engine.throat_area", "throat");
    steps.step("p_c", "chamber pressure", "pressure", "c_star * (W_ox + W_fu) / A_t");
    steps.given("p_end", "chamber pressure at the end of the start", "pressure", start.pressure, "followed");
    steps.step("share_p", "followed over by hand", "ratio", "p_end / p_c");
    steps.field("k_g", "engine.heat_ratio", "ratio of heat capacities of the gas");
    steps.step(
      "Gamma",
      "throat function",
      "ratio",
      "sqrt(k_g) * (2 / (k_g + 1))^((k_g + 1) / (2 * (k_g - 1)))",
      throatFunction(steps.at("k_g")),
    );
    steps.field("V_c", "engine.chamber_volume", "volume of the chamber");
    steps.step("tau", "time in which the chamber fills", "time", "V_c / (A_t * c_star * Gamma^2)");
  }
  if (side === undefined) throw new Error("a side of the engine is not known where its start is");
}

function filling(steps: Steps, of: Workings, side: "own" | "partner", value: number): void {
  startMethod(steps, of);
  fillEstimate(steps, of, side);
  steps.part("The time");
  steps.given("t", "from first flow to liquid at the injector", "time", value, "followed");
}

const fill: Maker = (steps, of, { name }, value) =>
  filling(steps, of, name.endsWith("the other side") ? "partner" : "own", value);

/** A result of the run that is drawn, and that of the band's longer steps, which the check has. */
function byFigures(
  steps: Steps,
  symbol: string,
  meaning: string,
  equation: string,
  of: "time" | "mass",
  value: number,
): void {
  steps.step(symbol, meaning, of, equation);
  steps.given(
    `${symbol}_b`,
    "the same with the longer steps of a band: the check has this",
    of,
    value,
    "followed",
  );
}

const lead: Maker = (steps, of, _, value) => {
  startMethod(steps, of);
  const { start } = present(of.own.start.runs, "runs");
  steps.given(
    "t_ox",
    "oxidiser at its injector",
    "time",
    present(start.oxidiser.arrives, "arrival"),
    "followed",
  );
  steps.given("t_fu", "fuel at its injector", "time", present(start.fuel.arrives, "arrival"), "followed");
  byFigures(steps, "t_lead", "oxidiser after fuel", "t_ox - t_fu", "time", value);
};

const box: Maker = (steps, of, _, value) => {
  startMethod(steps, of);
  const { start } = present(of.own.start.runs, "runs");
  chamberEstimate(steps, of);
  steps.part("The margin to the box");
  steps.given("r_min", "least mixture ratio while it burns", "ratio", start.leastRatio, "followed");
  steps.given("r_max", "greatest", "ratio", start.mostRatio, "followed");
  steps.field("r_least", "engine.box.least", "least of the box");
  steps.field("r_most", "engine.box.most", "most of the box");
  steps.step("margin_r", "the worse of both", "ratio", "min(r_min / r_least, r_most / r_max) - 1", value);
};

const unburnt: Maker = (steps, of, _, value) => {
  startMethod(steps, of);
  const { start } = present(of.own.start.runs, "runs");
  steps.given(
    "m_ox",
    "oxidiser that passes its injector before ignition",
    "mass",
    start.oxidiser.unburnt,
    "followed",
  );
  steps.given("m_fu", "fuel", "mass", start.fuel.unburnt, "followed");
  byFigures(steps, "m", "both", "m_ox + m_fu", "mass", value);
};

const shutdown: Maker = (steps, of, { name }, value) => {
  startMethod(steps, of);
  const runs = present(of.own.start.runs, "runs");
  const run = present(name.endsWith("abort") ? runs.abort : runs.stop, "stop");
  steps.given("t_ox", "oxidiser below a tenth", "time", present(run.oxidiser.falls, "fall"), "followed");
  steps.given("t_fu", "fuel below a tenth", "time", present(run.fuel.falls, "fall"), "followed");
  byFigures(steps, "t_order", "fuel after oxidiser", "t_fu - t_ox", "time", value);
};

const injector: Maker = (steps, of, { name }, value) => {
  const side = name.endsWith("the other side") ? "partner" : "own";
  startMethod(steps, of);
  chamberEstimate(steps, of);
  steps.part("Estimate by hand: the injector at the flow of the running engine");
  steps.field(
    "dp_i",
    `engine.${side}.injector_drop`,
    "drop of the injector at the flow of the running engine",
  );
  if (steps.has("p_c"))
    steps.step("share_i", "over the steady chamber pressure; less while throttled", "ratio", "dp_i / p_c");
  steps.part("The share");
  steps.given("x", "least drop over chamber pressure from ignition on", "ratio", value, "followed");
};

export const startMakers: Readonly<Record<string, Maker>> = {
  "fill-time": fill,
  "lead-at-injector": lead,
  "mixture-ratio-trace": box,
  "accumulated-unburnt-mass": unburnt,
  "shutdown-order": shutdown,
  "injector-pressure-drop-through-start": injector,
};
