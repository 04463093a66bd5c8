/** Question 1, and the steps of the flow in question 4. */
import { criticalPressureRatioFactor, installedFlow } from "../../physics/flow/index.js";
import { openings } from "../../predict/index.js";
import type { FlowCoefficient } from "../../quantity/index.js";
import type { Steps } from "../steps.js";
import { type Maker, present, type Workings } from "../workings.js";

const resistance = { unit: "Pa s2/kg2" } as const;
const stateOf = "equation of state at the inlet (data/fluids)";

/** Density, and the pressures of boiling, of the liquid as it comes to the valve. */
export function liquidLines(steps: Steps, of: Workings): void {
  const liquid = present(of.sample.liquid, "liquid");
  if (!steps.has("rho"))
    steps.given("rho", "density of the liquid at the inlet", "density", liquid.density, stateOf);
  if (!steps.has("p_v"))
    steps.given("p_v", "vapour pressure of the liquid", "pressure", liquid.vapourPressure, stateOf);
  if (!steps.has("p_c"))
    steps.given("p_c", "critical pressure of the fluid", "pressure", liquid.criticalPressure, stateOf);
}

/** A side of the line as one resistance: its declared drop over the square of its flow. */
function lineResistance(
  steps: Steps,
  of: Workings,
  symbol: "R_1" | "R_2",
  side: "upstream" | "downstream",
  used: number,
): void {
  const path = `${of.place === "duty" ? "" : `${of.place}.`}line.${side}`;
  const n = symbol.slice(2);
  steps.field(`dp_l${n}`, `${path}.drop`, `drop of the line ${side} of the valve`);
  steps.field(`m_l${n}`, `${path}.at`, "flow at which it has it");
  steps.step(symbol, `resistance of the line ${side} of the valve`, resistance, `dp_l${n} / m_l${n}^2`, used);
}

/** Flow wide open by both closed forms, the smaller one rules. */
export function openFlow(steps: Steps, of: Workings): void {
  const { sample } = of;
  const system = present(sample.runningSystem, "line");
  const last = openings - 1;
  const isForward = system.supplyPressure >= system.backPressure;
  const [high, low] = isForward ? ["ahead of", "behind"] : ["behind", "ahead of"];
  liquidLines(steps, of);
  steps.given(
    "C",
    "flow coefficient wide open, Q = C sqrt(dp/rho); Kv/3600 sqrt(999/1e5)",
    "flow coefficient",
    sample.coefficient[last] ?? Number.NaN,
    of.valve.valve?.characteristic === undefined
      ? { path: "valve.flow_coefficient", words: "wide open, the declared coefficient" }
      : { path: "valve.characteristic", words: "last row of the declared table" },
  );
  steps.given("F_L", "pressure recovery factor wide open", "ratio", sample.recovery[last] ?? Number.NaN, {
    path: "valve.recovery",
    words: "straight between the rows of its table",
  });
  const [p1, p2] = isForward
    ? [system.supplyPressure, system.backPressure]
    : [system.backPressure, system.supplyPressure];
  const [r1, r2] = isForward ? [system.upstream, system.downstream] : [system.downstream, system.upstream];
  steps.given(
    "p_1",
    `pressure of the line ${high} the valve, weight of the liquid included`,
    "pressure",
    p1,
    {
      path: `${of.place}.${isForward ? "supply_pressure" : "back_pressure"}`,
      words: "as declared, at the level of the valve",
    },
  );
  steps.given("p_2", `pressure of the line ${low} the valve`, "pressure", p2, {
    path: `${of.place}.${isForward ? "back_pressure" : "supply_pressure"}`,
    words: "as declared, at the level of the valve",
  });
  lineResistance(steps, of, "R_1", isForward ? "upstream" : "downstream", r1);
  lineResistance(steps, of, "R_2", isForward ? "downstream" : "upstream", r2);
  steps.step("g", "square of the flow through the valve for each pascal", { unit: "kg m" }, "rho * C^2");
  steps.step("m_free", "flow without choking", "mass flow", "sqrt(g * (p_1 - p_2) / (1 + g * (R_1 + R_2)))");
  steps.step("F_F", "critical pressure ratio factor of the liquid", "ratio", "0.96 - 0.28 * sqrt(p_v / p_c)");
  steps.step(
    "m_choked",
    "flow of the choked valve",
    "mass flow",
    "sqrt(g * F_L^2 * (p_1 - F_F * p_v) / (1 + g * F_L^2 * R_1))",
  );
  const flow = of.row("mass-flow");
  steps.step("m", "flow wide open, the smaller one", "mass flow", "min(m_free, m_choked)", Math.abs(flow));
}

const installed: Maker = (steps, of) => {
  openFlow(steps, of);
  steps.step("dp_1", "drop of the line ahead of the valve", "pressure difference", "R_1 * m^2");
  steps.step("dp_2", "drop of the line behind the valve", "pressure difference", "R_2 * m^2");
  const drop = Math.abs(of.row("valve-drop"));
  const what = "drop across the valve";
  // The difference of large numbers would leave few digits where the valve takes little.
  if (steps.at("m_free") <= steps.at("m_choked"))
    steps.step("dp_valve", what, "pressure difference", "m^2 / g", drop);
  else
    steps.step(
      "dp_valve",
      `${what}: what the line leaves`,
      "pressure difference",
      "p_1 - p_2 - dp_1 - dp_2",
      drop,
    );
};

const capacity: Maker = (steps, of, _, value) => {
  liquidLines(steps, of);
  steps.given(
    "C",
    "flow coefficient wide open",
    "flow coefficient",
    of.sample.coefficient[openings - 1] ?? Number.NaN,
    {
      path: "valve.flow_coefficient",
      words: "wide open",
    },
  );
  steps.field("m_duty", "duty.mass_flow", "flow that the duty asks for");
  steps.field("dp_budget", "duty.largest_valve_drop", "largest drop across the valve");
  steps.step(
    "C_required",
    "coefficient that passes the flow with that drop",
    "flow coefficient",
    "m_duty / sqrt(rho * dp_budget)",
  );
  steps.step("margin_C", "margin of the capacity", "ratio", "C / C_required - 1", value);
};

/** Inlet, drop and recovery factor at the worst operating opening. */
function worstOpening(steps: Steps, of: Workings, angle: number): void {
  const { sample } = of;
  const system = present(sample.system, "line");
  const { coefficient, recovery } = sample.openingAt(angle);
  const C = (coefficient[0] ?? Number.NaN) as FlowCoefficient;
  const FL = recovery[0] ?? Number.NaN;
  const at = installedFlow(system, C, FL);
  liquidLines(steps, of);
  const where = "installed flow at that opening, as in installed-flow";
  steps.given(
    "theta",
    "opening at which the ratio is worst",
    "angle",
    angle,
    "worst of the operating openings",
  );
  steps.given("F_L", "pressure recovery factor there", "ratio", FL, {
    path: "valve.recovery",
    words: "straight between the rows of its table",
  });
  steps.given("p_1", "pressure at the inlet of the valve", "pressure", at.inletPressure, where);
  steps.given("dp", "drop across the valve", "pressure difference", Math.abs(at.valveDrop), where);
}

/** A drop beyond what there is before the liquid boils has no ratio. */
const most = 1e5;

const choke: Maker = (steps, of, _, value) => {
  const flow = present(of.given.prediction.nominal.flow, "flow");
  worstOpening(steps, of, flow.worst.choke_rad);
  const liquid = present(of.sample.liquid, "liquid");
  const FF = criticalPressureRatioFactor(liquid.vapourPressure, liquid.criticalPressure);
  steps.step(
    "F_F",
    "critical pressure ratio factor of the liquid",
    "ratio",
    "0.96 - 0.28 * sqrt(p_v / p_c)",
    FF,
  );
  steps.step("dp_choked", "drop at which flow chokes", "pressure difference", "F_L^2 * (p_1 - F_F * p_v)");
  if (value < most) steps.step("ratio", "drop over the choking drop", "ratio", "dp / dp_choked", value);
};

const cavitation: Maker = (steps, of, _, value) => {
  const flow = present(of.given.prediction.nominal.flow, "flow");
  worstOpening(steps, of, flow.worst.cavitation_rad);
  steps.field("x_Fz", "valve.cavitation_onset", "ratio at which cavitation begins");
  steps.step("x_F", "differential pressure ratio", "ratio", "dp / (p_1 - p_v)");
  if (value < most) steps.step("index", "cavitation index", "ratio", "x_F / x_Fz", value);
};

const velocity: Maker = (steps, of, _, value) => {
  liquidLines(steps, of);
  steps.given("m", "flow wide open", "mass flow", Math.abs(of.row("mass-flow")), "installed-flow");
  steps.field("d", "valve.bore", "bore");
  steps.step("A", "area of the bore", "area", "pi * d^2 / 4");
  steps.step("v", "mean velocity", "speed", "m / (rho * A)", value);
};

export const flowMakers: Readonly<Record<string, Maker>> = {
  "installed-flow": installed,
  "flow-capacity": capacity,
  choke,
  cavitation,
  "velocity-body": velocity,
};
