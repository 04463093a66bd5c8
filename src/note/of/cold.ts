/** Question 6: what shrinks, what cools, what the extension lets through. */
import { referenceTemperatures } from "../../dossier/index.js";
import type { Temperature } from "../../quantity/index.js";
import { contractionValue, type Solid, solidProperty } from "../../substance/index.js";
import { noteNumber } from "../number.js";
import { NoSuchSteps, type Steps } from "../steps.js";
import { type Maker, nominal, partOf, present, type Workings } from "../workings.js";

const fitted = "nist-cryogenics-2010, integral contraction";

/** Temperature of inspection. */
export function inspection(steps: Steps, of: Workings): number {
  if (of.declares("valve.cold.inspected_at"))
    return steps.field("T_0", "valve.cold.inspected_at", "temperature of inspection");
  return steps.has("T_0")
    ? steps.at("T_0")
    : steps.given(
        "T_0",
        "temperature of inspection",
        "temperature",
        referenceTemperatures.ambient_K,
        "none declared: the reference of the data",
      );
}

export function valveTemperature(steps: Steps, of: Workings): number {
  return steps.field("T", `${of.place}.valve_temperature`, "temperature of the valve");
}

/** Contraction of a solid between two temperatures. */
export function contractionLine(
  steps: Steps,
  symbol: string,
  part: string,
  material: Solid,
  from: number,
  to: number,
): void {
  steps.given(
    symbol,
    `contraction of ${part}`,
    "ratio",
    contractionValue(material, from as Temperature, to as Temperature),
    {
      words: `data/solids/${material.id}.json, (L(T_0) - L(T)) / L(293 K)`,
      source: fitted,
    },
  );
}

const interference: Maker = (steps, of, _, value) => {
  const cold = present(of.valve.valve?.cold, "cold");
  const from = inspection(steps, of);
  const T = valveTemperature(steps, of);
  contractionLine(steps, "c_body", "the body", of.solid(cold.body_material), from, T);
  contractionLine(steps, "c_ball", "the ball", of.solid(cold.ball_material), from, T);
  contractionLine(steps, "c_seat", "the seats", of.solid(cold.seat_material), from, T);
  steps.field("delta_0", "valve.cold.interference", "interference of both seats at inspection");
  steps.field("h", "valve.cold.seat_height", "height of one seat");
  steps.field("D_b", "valve.ball_diameter", "diameter of the ball");
  steps.field("D_c", "valve.seat_contact_diameter", "diameter of the contact circle");
  steps.step(
    "L_ball",
    "2 R cos g: what the ball fills between the contact circles",
    "length",
    "sqrt(D_b^2 - D_c^2)",
  );
  steps.step(
    "delta",
    "interference that remains",
    "length",
    "delta_0 - 2 * h * c_seat - L_ball * c_ball + (2 * h + L_ball - delta_0) * c_body",
    value,
  );
};

const clearance: Maker = (steps, of, check, value) => {
  const j = of.placeNamed("valve.cold.fits", partOf(check), "fit");
  const path = `valve.cold.fits[${j}]`;
  const fit = present(of.valve.valve?.cold?.fits?.[j], "fit");
  const from = inspection(steps, of);
  const T = of.declares(`${path}.temperature`)
    ? steps.field("T", `${path}.temperature`, "temperature of the fit")
    : valveTemperature(steps, of);
  contractionLine(steps, "c_hole", "the outer part", of.solid(fit.hole_material), from, T);
  contractionLine(steps, "c_shaft", "the inner part", of.solid(fit.shaft_material), from, T);
  steps.field("d", `${path}.diameter`, "diameter of the fit");
  steps.field("gap_0", `${path}.clearance`, "clearance at inspection");
  steps.step("gap_T", "clearance at temperature", "length", "gap_0 - d * (c_hole - c_shaft)", value);
};

const transient: Maker = (steps, of, check, value) => {
  const j = of.placeNamed("valve.cold.fits", partOf(check), "fit");
  const path = `valve.cold.fits[${j}]`;
  const fit = present(of.valve.valve?.cold?.fits?.[j], "fit");
  const follows = fit.hole_follows !== undefined || fit.shaft_follows !== undefined;
  steps.method(
    follows
      ? "Least clearance over the cool-down, each part at the temperature of the part that it follows."
      : "Least clearance over eight temperatures between inspection and cold, with either part ahead of the other by the lag.",
    [],
    [path, ...(follows ? ["valve.cold.cool_down"] : [])],
  );
  const from = inspection(steps, of);
  const T = valveTemperature(steps, of);
  steps.part(
    "Estimate by hand: one part as cold as the valve, the other not cooled at all, the worst there can be",
  );
  contractionLine(steps, "c_hole", "the outer part", of.solid(fit.hole_material), from, T);
  contractionLine(steps, "c_shaft", "the inner part", of.solid(fit.shaft_material), from, T);
  steps.field("d", `${path}.diameter`, "diameter of the fit");
  steps.field("gap_0", `${path}.clearance`, "clearance at inspection");
  steps.step(
    "gap_least",
    "with the outer part cold and the inner one warm, or the reverse",
    "length",
    "gap_0 - d * max(c_hole, -c_shaft)",
  );
  steps.part("The clearance");
  steps.given("gap_t", "least clearance on the way", "length", value, "followed");
};

/** Force of a bolt at temperature. */
export function coldBolt(steps: Steps, of: Workings): void {
  const bolts = present(of.valve.valve?.cold?.bolts, "bolts");
  const path = "valve.cold.bolts";
  const from = inspection(steps, of);
  const T = valveTemperature(steps, of);
  const bolt = of.solid(bolts.material);
  const modulus = (at: number) => solidProperty(bolt, "youngs_modulus", at as Temperature).value;
  const data = `data/solids/${bolt.id}.json`;
  steps.field("F_0", `${path}.preload`, "preload at assembly");
  steps.field("A_s", `${path}.stress_area`, "stress area of a bolt");
  steps.field("s_k", `${path}.stiffness_ratio`, "stiffness of the clamped parts over that of the bolt");
  steps.given("E_T", "Young's modulus of the bolt at temperature", "stress", modulus(T), data);
  steps.given("E_0", "and at inspection", "stress", modulus(from), data);
  contractionLine(steps, "c_bolt", "the bolt", bolt, from, T);
  contractionLine(steps, "c_clamped", "what it clamps", of.solid(bolts.clamped_material), from, T);
  steps.step(
    "F_T",
    "force of a bolt at temperature, not below zero",
    "force",
    "max(F_0 * E_T / E_0 + (c_bolt - c_clamped) * E_T * A_s * s_k / (1 + s_k), 0)",
  );
}

const boltForce: Maker = (steps, of, _, value) => {
  coldBolt(steps, of);
  steps.step("F", "preload at temperature", "force", "F_T", value);
};

const boltStress: Maker = (steps, of, _, value) => {
  coldBolt(steps, of);
  const bolt = of.solid(of.valve.valve?.cold?.bolts?.material);
  const T = steps.at("T") as Temperature;
  steps.given(
    "s_y",
    "yield strength of the bolt at temperature",
    "stress",
    solidProperty(bolt, "yield_strength", T).value,
    `data/solids/${bolt.id}.json`,
  );
  steps.step("share_s", "stress over yield", "ratio", "F_T / A_s / s_y", value);
};

const contact: Maker = (steps, of, _, value) => {
  const { seat } = of.own.cold;
  valveTemperature(steps, of);
  steps.field("F_0", "valve.seat.preload", "preload of a seat, warm");
  steps.field("q", "valve.seat.preload_cold_ratio", "preload cold over warm");
  steps.given("T_warm", "warm", "temperature", referenceTemperatures.ambient_K, "reference of cold ratios");
  steps.given("T_cold", "cold", "temperature", referenceTemperatures.cold_K, "reference of cold ratios");
  steps.step(
    "F",
    "preload at temperature, straight between warm and cold",
    "force",
    "F_0 * max(1 + (q - 1) * (T_warm - T) / (T_warm - T_cold), 0)",
  );
  steps.field("D_b", "valve.ball_diameter", "diameter of the ball");
  steps.field("D_c", "valve.seat_contact_diameter", "diameter of the contact circle");
  steps.field("w", "valve.cold.contact_width", "width of the contact");
  steps.step("cos_g", "cosine of the contact angle", "ratio", "sqrt(1 - (D_c / D_b)^2)");
  steps.step(
    "s_warm",
    "contact stress, warm",
    "stress",
    "F_0 / (cos_g * pi * D_c * w)",
    nominal(seat.figures, "warmStress"),
  );
  steps.step("s_cold", "contact stress at temperature", "stress", "F / (cos_g * pi * D_c * w)", value);
};

/** Parts of the cool-down: how they are followed. */
function coolDownMethod(steps: Steps): void {
  steps.method(
    'Lumps of one temperature each: dE_i/dt = -Q_i + sum (T_j - T_i)/R_ij + (T_a - T_i)/R_i, with the boiling of pools and the convection of vapour at the walls; the step follows its own error (docs/theory/cold.md, "Cool-down").',
    [
      ["error that a step may make, nominal", "1 K"],
      ["error that a step may make, samples", "2 K"],
    ],
    ["valve.cold.cool_down"],
  );
}

/** Heat that the parts give up, and what it boils. */
function heatOfParts(steps: Steps, of: Workings): void {
  const { parts } = of.own.coolDown;
  parts.forEach(({ name, heat }, n) => {
    if (Number.isFinite(heat))
      steps.given(`Q_${n + 1}`, `heat of ${name} from start to rest`, "energy", heat, {
        words: "mass times the integral of its specific heat",
        source: "nist-cryogenics-2010, specific heat",
      });
  });
  const known = parts.flatMap(({ heat }, n) => (Number.isFinite(heat) ? [`Q_${n + 1}`] : []));
  if (known.length === 0) throw new NoSuchSteps("heat of the parts");
  steps.step("Q", "heat of all parts", "energy", known.join(" + "));
}

const coolDownTime: Maker = (steps, of, _, value) => {
  coolDownMethod(steps);
  steps.part(
    "Estimate by hand: the flow takes up no more than its latent heat and that of vapour as warm as the start",
  );
  heatOfParts(steps, of);
  steps.field("flow", "valve.cold.cool_down.flow", "flow let through");
  const least = nominal(of.own.coolDown.chain.figures, "least");
  steps.given(
    "m_least",
    "least propellant that any flow needs",
    "mass",
    least,
    "sum m_i int cp dT / (h_fg + cp_v dT), vapour leaving as warm as the valve was",
  );
  steps.step(
    "t_least",
    "time in which that is let in: no cool-down to rest is faster",
    "time",
    "m_least / flow",
  );
  steps.part("The time");
  steps.given("t", "time to the declared measure for the first turn", "time", value, "followed");
};

const propellant: Maker = (steps, of, _, value) => {
  coolDownMethod(steps);
  const { figures } = of.own.coolDown.chain;
  steps.part("Bounds by hand");
  heatOfParts(steps, of);
  steps.given(
    "m_least",
    "least, the vapour leaving as warm as the valve was",
    "mass",
    nominal(figures, "least"),
    "sum m_i int cp dT / (h_fg + cp_v dT)",
  );
  steps.given(
    "m_latent",
    "by latent heat alone",
    "mass",
    nominal(figures, "latent"),
    "sum m_i int cp dT / h_fg",
  );
  steps.step("h_fg", "latent heat that this takes", "specific energy", "Q / m_latent");
  steps.part("The propellant");
  steps.field("flow", "valve.cold.cool_down.flow", "flow let through");
  steps.given(
    "t_turn",
    "time to the declared measure for the first turn",
    "time",
    nominal(figures, "turn"),
    "as cool-down-time",
  );
  steps.step("m_spent", "what is let in until then, boiled or not", "mass", "flow * t_turn", value);
};

const transit: Maker = (steps, _, __, value) => {
  coolDownMethod(steps);
  steps.given(
    "delta_max",
    "greatest interference on the way",
    "length",
    value,
    "the loop of seat-interference, each part at its temperature of the cool-down",
  );
};

const pipe: Maker = (steps, of, _, value) => {
  const from = inspection(steps, of);
  const T = valveTemperature(steps, of);
  contractionLine(steps, "c", "the pipe", of.solid(of.valve.valve?.cold?.pipe?.material), from, T);
  steps.field("L", "valve.cold.pipe.length", "length of the pipe");
  steps.field("k", "valve.cold.pipe.stiffness", "stiffness of what gives way");
  steps.step("F", "pull at the end of the valve", "force", "c * L * k", value);
};

const polymer: Maker = (steps, of) => {
  valveTemperature(steps, of);
  const glass = of.solid(of.valve.valve?.cold?.seat_material).file.glass_transition;
  if (glass !== undefined)
    steps.given(
      "T_glass",
      "upper end of the glass-like transition of the seat",
      "temperature",
      glass.high_K,
      `data: ${noteNumber(glass.low_K)} to ${noteNumber(glass.high_K)} K, ${glass.sources.join(", ")}`,
    );
  if (of.declares("valve.cold.seat_tested_at"))
    steps.field("T_test", "valve.cold.seat_tested_at", "temperature of a test of the seats");
};

export const coldMakers: Readonly<Record<string, Maker>> = {
  "seat-interference": interference,
  "stem-clearance": clearance,
  "bearing-clearance": clearance,
  "differential-transient": transient,
  "bolt-preload-cold": boltForce,
  "bolt-stress-cold": boltStress,
  "polymer-strength": contact,
  "cool-down-time": coolDownTime,
  "cool-down-propellant": propellant,
  "seat-transit": transit,
  "pipe-load": pipe,
  "polymer-state": polymer,
};
