/** Life of the stem, and a flaw in it. */
import {
  enduranceRatio,
  sectionShape,
  sizeFactor,
  surfaceFactor,
  surfaces,
} from "../../physics/strength/index.js";
import { capacityFigure, type LoadId, useFigure } from "../../predict/index.js";
import type { Length, Stress } from "../../quantity/index.js";
import type { Steps } from "../steps.js";
import { type Maker, nominal, present, type Workings } from "../workings.js";
import { compliant, worstLoad } from "./loads.js";
import { factorLine, materialAt, strengthLine } from "./pathStrength.js";
import { sectionLines, sectionStrength } from "./sections.js";

/** Torques of opening and closing in the stem. */
function strokeTorques(steps: Steps, of: Workings): readonly [number, number] {
  const peak = (load: LoadId) => {
    const element = present(
      of.own.strength.elements.find(({ carries }) => carries === "valve.stem"),
      "stem",
    );
    const { figures } = of.own.strength;
    return nominal(figures, useFigure(element.id, load)) * nominal(figures, capacityFigure(element.id));
  };
  return [
    steps.given("T_o", "greatest torque of an opening in the stem", "torque", peak("opening"), compliant),
    steps.given(
      "T_c",
      "greatest torque of a closing in the stem, in the other sense",
      "torque",
      peak("closing"),
      compliant,
    ),
  ];
}

export const fatigue: Maker = (steps, of, _, value) => {
  const answer = of.own.strength;
  const lives = answer.sections.map((__, j) => nominal(answer.figures, `fatigue of section ${j}`));
  const j = lives.indexOf(Math.min(...lives));
  const section = present(answer.sections[j], "section");
  const fields = present(of.valve.valve?.stem?.sections?.[j], "section");
  steps.part(`The section with the least factor: ${section.name}`);
  sectionLines(steps, of, j);
  const S_ut = sectionStrength(steps, of, j, section.name, "ultimate_strength") as Stress;
  strokeTorques(steps, of);
  steps.step("tau_o", "shear at the notch in opening", "stress", "T_o / W_n");
  steps.step("tau_c", "and in closing", "stress", "T_c / W_n");
  steps.step("s_a", "equivalent amplitude", "stress", "sqrt(3) / 2 * (tau_o + tau_c)");
  steps.step("s_m", "equivalent mean", "stress", "sqrt(3) / 2 * abs(tau_o - tau_c)");
  const surface = present(of.valve.valve?.strength?.surface, "surface");
  const { a, b } = surfaces[surface];
  steps.given("k_a", "factor of the surface's finish", "ratio", surfaceFactor(surface, S_ut), {
    path: "valve.strength.surface",
    words: `${surface}: min(${a} (S_ut in MPa)^${b}, 1)`,
    source: "budynas-nisbett-2011, table 6-2",
  });
  const shape = sectionShape(present(fields.shape, "shape"));
  const sizes = shape.of.map(
    (size) => present(of.value(`valve.stem.sections[${j}].${size}`), size) as Length,
  );
  steps.given("k_b", "factor of the size", "ratio", sizeFactor(shape.across(...sizes)), {
    words: "min((largest across / 7.62 mm)^-0.107, 1)",
    source: "budynas-nisbett-2011, eq. 6-20",
  });
  if (of.declares("valve.strength.endurance_ratio"))
    steps.field(
      "e",
      "valve.strength.endurance_ratio",
      "endurance limit of a polished bar over the ultimate strength",
    );
  else
    steps.given(
      "e",
      "endurance limit of a polished bar over the ultimate strength",
      "ratio",
      enduranceRatio.mode,
      { words: "of austenitic and nickel alloys", source: "budynas-nisbett-2011, eq. 6-8" },
    );
  steps.step("S_e", "endurance limit of the part", "stress", "k_a * k_b * e * s_u");
  steps.field("n_life", "valve.strength.life_cycles", "cycles of the life");
  factorLine(steps, answer, "f_life", "life");
  const N = steps.step("N_f", "cycles that it is judged at", { unit: "" }, "f_life * n_life");
  if (N <= 1e3)
    steps.step(
      "S_f",
      "amplitude borne so often, up to a thousand cycles",
      "stress",
      "s_u * N_f^(log10(0.9) / 3)",
    );
  else if (N >= 1e6)
    steps.step("S_f", "amplitude borne so often, beyond a million cycles", "stress", "min(S_e, 0.9 * s_u)");
  else
    steps.step(
      "S_f",
      "amplitude borne so often",
      "stress",
      "(0.9 * s_u)^2 / S_e * N_f^(-log10(0.9 * s_u / S_e) / 3)",
    );
  steps.step("n_G", "factor on Goodman's line", "ratio", "1 / (s_a / S_f + s_m / s_u)", value);
};

export const flaw: Maker = (steps, of, _, value) => {
  const answer = of.own.strength;
  const all = answer.sections.map((__, j) => nominal(answer.figures, `flaw of section ${j}`));
  const j = all.indexOf(Math.min(...all));
  const section = present(answer.sections[j], "section");
  steps.part(`The section with the least factor: ${section.name}`);
  sectionLines(steps, of, j);
  const { material, T } = materialAt(answer, section.name);
  strengthLine(steps, of, "K_c", {
    material,
    quantity: "fracture_toughness",
    certificate: `valve.stem.sections[${j}].fracture_toughness`,
    T,
    words: "toughness at temperature",
  });
  const element = present(
    answer.elements.find(({ id }) => id === section.id),
    section.id,
  );
  worstLoad(steps, of, element);
  steps.part("The flaw");
  steps.step("sigma", "tension at 45 degrees, equal to the shear at the notch", "stress", "T / W_n");
  steps.field("a_f", "valve.strength.flaw.depth", "depth of the flaw");
  if (of.declares("valve.strength.flaw.length")) {
    steps.field("l_f", "valve.strength.flaw.length", "length of the flaw along the surface");
    steps.step("Q", "shape of the flaw", "ratio", "1 + 1.464 * min(2 * a_f / l_f, 1)^1.65");
  } else {
    steps.given("Q", "shape of the flaw: it runs on", "ratio", 1, "no length declared");
  }
  steps.step(
    "K",
    "stress intensity at its deepest place",
    { unit: "Pa m^0.5" },
    "1.12 * sigma * sqrt(pi * a_f / Q)",
  );
  factorLine(steps, answer, "FS_u", "ultimate");
  steps.step("n_K", "toughness over stress intensity and factor", "ratio", "K_c / (FS_u * K)", value);
};
