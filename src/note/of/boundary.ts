/** Question 5, what keeps the pressure in: expected pressure, walls, bolts, shoulder of the stem. */
import { referenceTemperatures } from "../../dossier/index.js";
import type { Temperature } from "../../quantity/index.js";
import type { Check } from "../../question/index.js";
import { type Solid, solidProperty } from "../../substance/index.js";
import type { Steps } from "../steps.js";
import { type Maker, nominal, partOf, present, type Workings } from "../workings.js";
import { coldBolt } from "./cold.js";

const base = "valve.boundary";

/** The expected pressure, over the atmosphere, and that of proof. */
function pressureLines(steps: Steps, of: Workings, isProof: boolean): void {
  const answer = of.own.boundary;
  const supply = present(of.conditions.supply_pressure, "supply pressure").value;
  const shut = answer.pressures
    .filter((one) => one.of !== "supply and surge")
    .map(({ pressure_Pa }) => pressure_Pa);
  steps.field("p_s", `${of.place}.supply_pressure`, "supply pressure");
  if (of.declares(`${base}.surge`)) steps.field("dp_surge", `${base}.surge`, "surge, declared");
  else {
    const both = present(
      answer.pressures.find((one) => one.of === "supply and surge"),
      "surge",
    ).pressure_Pa;
    steps.given(
      "dp_surge",
      "surge that question 9 finds",
      "pressure difference",
      both - supply,
      "waves along the line, nominal",
    );
  }
  steps.given(
    "p_shut",
    "highest pressure of what can be shut in",
    "pressure",
    Math.max(0, ...shut),
    "question 7, with what relieves it; upper end of its band",
  );
  steps.step(
    "p_expected",
    "maximum expected pressure",
    "pressure",
    "max(p_s + dp_surge, p_shut)",
    nominal(answer.pressure.figures, "expected"),
  );
  steps.field("p_a", "duty.ambient_pressure", "pressure outside");
  steps.step("p", "expected pressure over that outside", "pressure difference", "p_expected - p_a");
  if (!isProof) return;
  steps.given(
    "f_proof",
    "proof factor",
    "ratio",
    present(answer.rule.proof, "proof factor"),
    answer.rule.name === undefined
      ? { path: `${base}.proof_factor`, words: "as declared" }
      : `${answer.rule.name}, ${answer.rule.from}`,
  );
  steps.step("p_proof", "proof pressure over that outside", "pressure difference", "f_proof * p");
}

function wallAt(of: Workings, check: Check): number {
  return of.placeNamed(`${base}.walls`, partOf(check), "wall");
}

/** What is left of a wall. */
function leftLines(steps: Steps, path: string, used: number): void {
  steps.field("t_drawn", `${path}.thickness`, "wall as drawn");
  steps.field("tol", `${path}.tolerance`, "share that may be lacking");
  steps.field("allowance", `${path}.allowance`, "taken off: corrosion, threads, grooves");
  steps.step("t_left", "wall that is there for certain", "length", "t_drawn * (1 - tol) - allowance", used);
}

const ambient = referenceTemperatures.ambient_K as Temperature;

function ambientYield(steps: Steps, material: Solid): void {
  const { value } = solidProperty(material, "yield_strength", ambient);
  steps.given("s_y", "yield strength at ambient", "stress", value, `data/solids/${material.id}.json`);
}

const wall: Maker = (steps, of, check, value) => {
  const j = wallAt(of, check);
  const path = `${base}.walls[${j}]`;
  const fields = present(of.valve.valve?.boundary?.walls?.[j], "wall");
  const { figures } = present(of.own.boundary.walls[j], "wall");
  pressureLines(steps, of, false);
  leftLines(steps, path, nominal(figures, "left"));
  steps.field("E_q", `${path}.quality`, "quality of cast or weld");
  if (of.declares(`${path}.allowed_stress`)) steps.field("S", `${path}.allowed_stress`, "stress allowed");
  else {
    const material = of.solid(fields.material);
    steps.given(
      "s_y",
      "yield strength at ambient, lower end",
      "stress",
      solidProperty(material, "yield_strength", ambient).low,
      `data/solids/${material.id}.json`,
    );
    steps.given(
      "s_u",
      "ultimate strength at ambient, lower end",
      "stress",
      solidProperty(material, "ultimate_strength", ambient).low,
      `data/solids/${material.id}.json`,
    );
    steps.step("S", "stress allowed", "stress", "min(2 / 3 * s_y, s_u / 3)", nominal(figures, "allowed"));
  }
  if (fields.shape === "cover") {
    steps.field("d", `${path}.held_diameter`, "diameter on which it is held");
    steps.field("C_h", `${path}.held_factor`, "how it is held");
    steps.step(
      "t",
      "thickness that pressure needs",
      "length",
      "d * sqrt(C_h * p / (S * E_q))",
      nominal(figures, "needed"),
    );
  } else {
    steps.field("D", `${path}.outer_diameter`, "outer diameter");
    const isThin = steps.at("t_drawn") < steps.at("D") / 6;
    if (isThin)
      steps.given("Y", "coefficient of a thin wall, t < D/6", "ratio", 0.4, {
        words: "ductile metals",
        source: "asme-b31.3-2016, table 304.1.1",
      });
    else {
      steps.step(
        "d_c",
        "inside diameter and twice the allowance",
        "length",
        "D - 2 * t_drawn + 2 * allowance",
      );
      steps.step("Y", "coefficient of a thick wall", "ratio", "d_c / (D + d_c)");
    }
    steps.step(
      "t",
      "wall that pressure needs",
      "length",
      "p * D / (2 * (S * E_q + p * Y))",
      nominal(figures, "needed"),
    );
  }
  steps.step("share_t", "needed over what is left", "ratio", "t / t_left", value);
};

const proofStress: Maker = (steps, of, check, value) => {
  const j = wallAt(of, check);
  const path = `${base}.walls[${j}]`;
  const fields = present(of.valve.valve?.boundary?.walls?.[j], "wall");
  const { figures } = present(of.own.boundary.walls[j], "wall");
  pressureLines(steps, of, true);
  leftLines(steps, path, nominal(figures, "left"));
  ambientYield(steps, of.solid(fields.material));
  if (fields.shape === "cover") {
    steps.field("d", `${path}.held_diameter`, "diameter on which it is held");
    steps.field("C_h", `${path}.held_factor`, "how it is held");
    steps.step("s", "bending stress at proof", "stress", "C_h * p_proof * (d / t_left)^2");
  } else {
    steps.field("D", `${path}.outer_diameter`, "outer diameter");
    steps.step("r_o", "outer radius", "length", "D / 2");
    steps.step("r_i", "inner radius of what is left", "length", "r_o - t_left");
    steps.step(
      "s_hoop",
      "hoop stress at the bore at proof",
      "stress",
      "p_proof * (r_o^2 + r_i^2) / (r_o^2 - r_i^2)",
    );
    steps.step(
      "s",
      "equivalent stress there, closed ends",
      "stress",
      "sqrt(3) * p_proof * r_o^2 / (r_o^2 - r_i^2)",
    );
  }
  steps.step("share_s", "stress over yield", "ratio", "s / s_y", value);
};

const end: Maker = (steps, of) => pressureLines(steps, of, false);

function tested(which: "proof" | "burst"): Maker {
  return (steps, of, _, value) => {
    pressureLines(steps, of, false);
    steps.field("p_test", `${base}.${which}_test.pressure`, `pressure of the ${which} test`);
    steps.step(
      "f",
      "test over expected pressure, both over that outside",
      "ratio",
      "(p_test - p_a) / p",
      value,
    );
  };
}

/** Load that pressure puts on one bolt. */
function endLoad(steps: Steps, of: Workings, isProof: boolean): void {
  const bolts = present(of.valve.valve?.boundary?.bolts, "bolts");
  pressureLines(steps, of, isProof);
  steps.field("d", `${base}.bolts.sealed_diameter`, "diameter on which the gasket seals");
  steps.given("z", "bolts", "ratio", present(bolts.count, "count"), {
    path: `${base}.bolts.count`,
    words: "as declared",
  });
  steps.step(
    "F_A",
    "pressure end load of one bolt",
    "force",
    `${isProof ? "p_proof" : "p"} * pi * d^2 / 4 / z`,
  );
  steps.field(
    "s_k",
    "valve.cold.bolts.stiffness_ratio",
    "stiffness of the clamped parts over that of the bolt",
  );
}

const boltAtProof: Maker = (steps, of, _, value) => {
  endLoad(steps, of, true);
  steps.field("F_0", "valve.cold.bolts.preload", "preload of a bolt");
  steps.step("F_clamp", "what still clamps", "force", "F_0 - F_A * s_k / (1 + s_k)");
  const isShut = steps.at("F_clamp") > 0;
  steps.step(
    "F_bolt",
    isShut ? "force of the bolt" : "force of the bolt: the joint is open",
    "force",
    isShut ? "F_0 + F_A / (1 + s_k)" : "F_A",
  );
  steps.field("A_s", "valve.cold.bolts.stress_area", "stress area");
  if (of.declares(`${base}.bolts.yield_stress`))
    steps.field("s_y", `${base}.bolts.yield_stress`, "yield strength at ambient");
  else ambientYield(steps, of.solid(of.valve.valve?.cold?.bolts?.material));
  steps.step("share_s", "stress over yield", "ratio", "F_bolt / A_s / s_y", value);
};

const gap: Maker = (steps, of, check, value) => {
  const isProof = partOf(check) === "at proof";
  endLoad(steps, of, isProof);
  if (isProof) steps.field("F_0", "valve.cold.bolts.preload", "preload of a bolt");
  else coldBolt(steps, of);
  steps.step(
    "F_clamp",
    "what still clamps one bolt",
    "force",
    `${isProof ? "F_0" : "F_T"} - F_A * s_k / (1 + s_k)`,
    value,
  );
};

const retention: Maker = (steps, of, _, value) => {
  const path = `${base}.retention`;
  pressureLines(steps, of, true);
  steps.field(
    "d",
    of.declares(`${path}.sealed_diameter`) ? `${path}.sealed_diameter` : "valve.stem.diameter",
    "diameter on which the packing seals",
  );
  steps.field("d_shoulder", `${path}.shoulder_diameter`, "diameter of the shoulder");
  steps.field("h", `${path}.shoulder_height`, "its height");
  steps.field("d_bore", `${path}.bonnet_bore`, "bore of the bonnet");
  ambientYield(steps, of.solid(of.valve.valve?.boundary?.retention?.material));
  steps.step("F", "force that drives the stem out at proof", "force", "p_proof * pi * d^2 / 4");
  steps.step("tau", "shear of the shoulder", "stress", "F / (pi * d_bore * h)");
  steps.step(
    "p_ring",
    "pressure on the ring between shoulder and bore",
    "stress",
    "F / (pi / 4 * (d_shoulder^2 - d_bore^2))",
  );
  steps.step(
    "share_F",
    "the worse of both over what yields",
    "ratio",
    "max(tau / (s_y / sqrt(3)), p_ring / s_y)",
    value,
  );
};

export const boundaryMakers: Readonly<Record<string, Maker>> = {
  wall,
  "proof-stress": proofStress,
  "end-rating": end,
  proof: tested("proof"),
  burst: tested("burst"),
  "bolt-at-proof": boltAtProof,
  "bolt-gap": gap,
  "stem-retention": retention,
};
