/** Question 6: what shrinks, what cools, what the extension lets through. */
import { referenceTemperatures } from "../../dossier/index.js";
import { condensedAir } from "../../physics/heat/index.js";
import type { Temperature } from "../../quantity/index.js";
import { contractionValue, type Solid, solidIntegral, solidProperty } from "../../substance/index.js";
import { noteNumber } from "../number.js";
import { NoSuchSteps, type Steps } from "../steps.js";
import { type Maker, nominal, partOf, present, type Workings } from "../workings.js";

const fitted = "nist-cryogenics-2010, integral contraction";

/** Temperature of inspection. */
function inspection(steps: Steps, of: Workings): number {
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

function valveTemperature(steps: Steps, of: Workings): number {
  return steps.field("T", `${of.place}.valve_temperature`, "temperature of the valve");
}

/** Contraction of a solid between two temperatures. */
function contractionLine(
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

/** Extension: how it is solved. */
function extensionMethod(steps: Steps): void {
  steps.method(
    "(k A T')' + q_air(T) = 0 for tube and stem on one grid of cells, conductivity at each cell's temperature, solved by Newton's method to a steady state; from there the gearbox and the motor as two nodes over the time in the cold (docs/theory/heat.md).",
    [],
    ["valve.cold.extension"],
  );
}

const gearbox =
  (figure: "gearbox" | "motor" | "packing"): Maker =>
  (steps, of, _, value) => {
    const { profile, extension } = of.own.heat;
    extensionMethod(steps);
    const words = { gearbox: "gearbox", motor: "motor", packing: "stem at the packing" }[figure];
    steps.part("Bounds by hand: the answer lies between valve and air");
    valveTemperature(steps, of);
    const air = present(profile, "profile").ambient_K;
    steps.given("T_air", "temperature of the air", "temperature", air, {
      path: "valve.cold.extension.ambient_temperature",
      words: "as declared",
    });
    if (figure === "packing") {
      steps.field("x", "valve.cold.extension.packing.at", "place of the packing from the cold end");
      steps.field("L", "valve.cold.extension.length", "length of the extension");
      steps.given(
        "T_g",
        "gearbox, steady",
        "temperature",
        nominal(extension.figures, "steadyGearbox"),
        "solved",
      );
      steps.step(
        "T_line",
        "straight between valve and gearbox, without heat from the air",
        "temperature",
        "T + (T_g - T) * min(x / L, 1)",
      );
    } else if (profile?.coldFor_s !== undefined) {
      steps.given(
        "T_steady",
        `${words}, steady: no colder than this`,
        "temperature",
        nominal(extension.figures, figure === "gearbox" ? "steadyGearbox" : "steadyMotor"),
        "solved",
      );
    }
    steps.part("The temperature");
    steps.given(
      "T_x",
      words,
      "temperature",
      value,
      figure === "packing" ? "steady" : "when the stroke begins",
    );
  };

const leak: Maker = (steps, of, _, value) => {
  const path = "valve.cold.extension";
  const given = present(of.valve.valve?.cold?.extension, "extension");
  extensionMethod(steps);
  steps.part(
    "Estimate by hand: (A/L) int k dT of tube and stem from valve to air, no heat from the air on the way",
  );
  const T = valveTemperature(steps, of);
  const air = present(of.own.heat.profile, "profile").ambient_K;
  steps.given("T_air", "temperature of the air", "temperature", air, {
    path: `${path}.ambient_temperature`,
    words: "as declared",
  });
  steps.field("L", `${path}.length`, "length of the extension");
  steps.field("D_t", `${path}.tube_outer_diameter`, "outer diameter of the tube");
  steps.field("w_t", `${path}.tube_wall`, "its wall");
  steps.field("d_s", "valve.stem.diameter", "diameter of the stem");
  const integral = (symbol: string, part: string, conductivity: string, material: string | undefined) => {
    if (of.declares(conductivity)) {
      steps.field(`k_${symbol}`, conductivity, `conductivity of the ${part}`);
      steps.step(
        `I_${symbol}`,
        `its integral over the temperatures`,
        { unit: "W/m" },
        `k_${symbol} * (T_air - T)`,
      );
      return;
    }
    const solid = of.solid(material);
    const { value: sum } = solidIntegral(solid, "conductivity", T as Temperature, air as Temperature);
    steps.given(
      `I_${symbol}`,
      `integral of the conductivity of the ${part}`,
      { unit: "W/m" },
      Math.abs(sum),
      { words: `data/solids/${solid.id}.json`, source: "nist-cryogenics-2010, conductivity" },
    );
  };
  integral("t", "tube", `${path}.tube_conductivity`, given.tube_material);
  integral("s", "stem", `${path}.stem_conductivity`, given.stem_material);
  steps.step("A_t", "section of the tube", "area", "pi * (D_t - w_t) * w_t");
  steps.step("A_s", "section of the stem", "area", "pi / 4 * d_s^2");
  steps.step(
    "Q_0",
    "heat of both by conduction alone; heat from the air raises the true one at the cold end, the resistance to the gearbox lowers it",
    "power",
    "A_t / L * I_t + A_s / L * I_s",
  );
  steps.part("The leak");
  steps.given("Q", "heat at the cold end, steady", "power", value, "solved");
};

const frost: Maker = (steps, of, check, value) => {
  const { profile, extension } = of.own.heat;
  extensionMethod(steps);
  if (check.dimension === "temperature") {
    steps.given(
      "T_out",
      "outside of the tube at the cold end",
      "temperature",
      value,
      "solved: conduction through frost against heat of the air",
    );
    steps.given(
      "T_ox",
      "boiling point of oxygen at one atmosphere",
      "temperature",
      condensedAir.oxygenBoils,
      { words: "equation of state", source: "schmidt-wagner-1985" },
    );
    return;
  }
  const path = "valve.cold.extension";
  const dew = present(profile, "profile").dewPoint_K;
  steps.part("Dew point");
  steps.field("T_air", `${path}.ambient_temperature`, "temperature of the air");
  steps.field("phi", `${path}.relative_humidity`, "relative humidity over water");
  steps.step("t_C", "temperature of the air in degC", { unit: "degC" }, "T_air - 273.15");
  steps.step(
    "e",
    "vapour pressure over 6.112 hPa, its logarithm",
    "ratio",
    "ln(phi) + 17.62 * t_C / (243.12 + t_C)",
  );
  steps.step("T_water", "dew point over water", "temperature", "273.15 + 243.12 * e / (17.62 - e)");
  if (Math.abs(steps.at("T_water") - dew) < 1e-6)
    steps.step("T_dew", "dew point", "temperature", "T_water", dew);
  else
    steps.given("T_dew", "point at which moisture settles: below 0 degC that over ice", "temperature", dew, {
      words: "frost point of that dew point",
      source: "wmo-guide-8-2008, annex 4.B",
    });
  steps.part("The colder of both");
  steps.given(
    "T_g",
    "gearbox when the stroke begins",
    "temperature",
    nominal(extension.figures, "gearbox"),
    "solved",
  );
  steps.given(
    "T_m",
    "motor when the stroke begins",
    "temperature",
    nominal(extension.figures, "motor"),
    "solved",
  );
  steps.step("above", "above the dew point", "temperature difference", "min(T_g, T_m) - T_dew", value);
};

const misalignment: Maker = (steps, of, _, value) => {
  const given = present(of.valve.valve?.cold?.extension, "extension");
  extensionMethod(steps);
  const from = inspection(steps, of);
  steps.part("Estimate by hand: stem and tube at the mean of valve and gearbox");
  const T = valveTemperature(steps, of);
  const end = nominal(of.own.heat.extension.figures, "steadyGearbox");
  steps.given("T_g", "gearbox, steady", "temperature", end, "solved");
  steps.step("T_mean", "mean of valve and gearbox", "temperature", "(T + T_g) / 2");
  const middle = (T + end) / 2;
  contractionLine(steps, "c_stem", "the stem there", of.solid(given.stem_material), from, middle);
  contractionLine(steps, "c_tube", "the tube there", of.solid(given.tube_material), from, middle);
  steps.field("L", "valve.cold.extension.length", "length of the extension");
  steps.step("shift_0", "difference over the length, bracket left out", "length", "(c_stem - c_tube) * L");
  steps.part("The shift");
  steps.given(
    "shift",
    "shift of the stem out of its coupling",
    "length",
    value,
    "integrated over each cell's own temperature, bracket included",
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
  "gearbox-temperature": gearbox("gearbox"),
  "motor-temperature": gearbox("motor"),
  "packing-temperature": gearbox("packing"),
  "heat-leak": leak,
  frost,
  "stem-gearbox-misalignment": misalignment,
  "pipe-load": pipe,
  "polymer-state": polymer,
};
