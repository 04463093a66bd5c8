/** Joints of the stem: what their faces bear, and what is sheared in them. */
import { capacityFigure, type PathElement } from "../../predict/index.js";
import { NoSuchSteps, type Steps } from "../steps.js";
import { type Maker, nominal, present, type Workings } from "../workings.js";
import { elementOf, worstLoad } from "./loads.js";
import { factorLine, materialAt, strengthLine } from "./pathStrength.js";

/** Capacity as the program has it, where its form is one of many; then the margin. */
export const bearing: Maker = (steps, of, check, value) => {
  const element = elementOf(of, check, ["bearing"]);
  const answer = of.own.strength;
  const j = of.placeNamed("valve.stem.joints", element.name, "joint");
  const fields = present(of.valve.valve?.stem?.joints?.[j], "joint");
  const path = `valve.stem.joints[${j}]`;
  steps.part("What the faces bear");
  const yieldOf = (part: "shaft" | "hub") => {
    const { material, T } = materialAt(answer, `${element.name}, ${part}`);
    return strengthLine(steps, of, part === "shaft" ? "s_shaft" : "s_hub", {
      material,
      quantity: "yield_strength",
      certificate: `${path}.${part}_yield`,
      T,
      words: `yield strength of the ${part} at temperature`,
    });
  };
  yieldOf("shaft");
  yieldOf("hub");
  factorLine(steps, answer, "FS_y", "yield");
  const capacity = nominal(answer.figures, capacityFigure(element.id));
  const borne = "torque that the faces bear";
  switch (fields.kind) {
    case "tongue":
    case "square": {
      steps.field(
        "b",
        `${path}.width`,
        fields.kind === "tongue" ? "length of the tongue across the stem" : "side of the square",
      );
      steps.field("L_j", `${path}.length`, "length that bears");
      steps.step(
        "B",
        "resistance: torque over the greatest pressure",
        "volume",
        `L_j * b^2 / ${fields.kind === "tongue" ? 6 : 3}`,
      );
      steps.step("T_borne", borne, "torque", "min(s_shaft, s_hub) * B / FS_y", capacity);
      break;
    }
    case "two flats": {
      steps.field("d", `${path}.diameter`, "diameter");
      steps.field("h", `${path}.flat_depth`, "depth of each flat");
      steps.field("L_j", `${path}.length`, "length that bears");
      steps.step("b", "width of a flat", "length", "2 * sqrt(h * (d - h))");
      steps.step("B", "resistance: torque over the greatest pressure", "volume", "L_j * b^2 / 6");
      steps.step("T_borne", borne, "torque", "min(s_shaft, s_hub) * B / FS_y", capacity);
      break;
    }
    default: {
      const { material, T } = materialAt(answer, `${element.name}, ${fields.kind}`);
      strengthLine(steps, of, "s_k", {
        material,
        quantity: "yield_strength",
        certificate: `${path}.yield_strength`,
        T,
        words: `yield strength of the ${fields.kind} at temperature`,
      });
      if (fields.kind !== "key") throw new NoSuchSteps("a joint whose form is written out");
      steps.field("d", `${path}.diameter`, "diameter of the shaft");
      steps.field("h", `${path}.height`, "height of the key");
      steps.field("L_j", `${path}.length`, "length that bears");
      keyDepth(steps, of, j);
      steps.given(
        "n_k",
        "keys that count, each of several as three quarters",
        "ratio",
        keysThatCount(countOf(of, path)),
        { words: `${countOf(of, path)} declared`, source: "din-6892-2012" },
      );
      steps.step("B_shaft", "resistance in the shaft", "volume", "n_k * d * t * L_j / 2");
      steps.step("B_hub", "resistance in the hub", "volume", "n_k * d * (h - t) * L_j / 2");
      steps.step(
        "T_borne",
        borne,
        "torque",
        "min(min(s_shaft, s_k) * B_shaft, min(s_hub, s_k) * B_hub) / FS_y",
        capacity,
      );
    }
  }
  worstLoad(steps, of, element);
  steps.step("MS", "margin of safety", "ratio", "T_borne / T - 1", value);
};

function countOf(of: Workings, path: string): number {
  return of.value(`${path}.count`) ?? 1;
}

function keysThatCount(count: number): number {
  return count > 1 ? 0.75 * count : count;
}

/** How deep a key sits in its shaft. */
function keyDepth(steps: Steps, of: Workings, j: number): void {
  const found = of.keywayDepth(j);
  if (found === undefined)
    steps.step(
      "t",
      "depth of the key in its shaft: half of its height, as no depth is declared",
      "length",
      "h / 2",
    );
  else steps.field("t", found, "depth of the key in its shaft");
}

export function shearLines(steps: Steps, of: Workings, element: PathElement): void {
  const answer = of.own.strength;
  const j = of.placeNamed("valve.stem.joints", element.name, "joint");
  const fields = present(of.valve.valve?.stem?.joints?.[j], "joint");
  const path = `valve.stem.joints[${j}]`;
  const capacity = nominal(answer.figures, capacityFigure(element.id));
  factorLine(steps, answer, "FS_y", "yield");
  const yields = (part: string, certificate: string) => {
    const { material, T } = materialAt(answer, `${element.name}, ${part}`);
    strengthLine(steps, of, "s_y", {
      material,
      quantity: "yield_strength",
      certificate: `${path}.${certificate}`,
      T,
      words: `yield strength of the ${part} at temperature`,
    });
    steps.step("tau", "shear that it may have", "stress", "s_y / (sqrt(3) * FS_y)");
  };
  switch (fields.kind) {
    case "key":
      yields("key", "yield_strength");
      steps.field("d", `${path}.diameter`, "diameter of the shaft");
      steps.field("w", `${path}.width`, "width of the key");
      steps.field("L_j", `${path}.length`, "length that bears");
      steps.given(
        "n_k",
        "keys that count, each of several as three quarters",
        "ratio",
        keysThatCount(countOf(of, path)),
        { words: `${countOf(of, path)} declared`, source: "din-6892-2012" },
      );
      steps.step(
        "T_borne",
        "torque that it bears in shear",
        "torque",
        "tau * n_k * d * w * L_j / 2",
        capacity,
      );
      return;
    case "pin":
      yields("pin", "yield_strength");
      steps.field("a", `${path}.pin_diameter`, "diameter of the pin");
      steps.field("d", `${path}.diameter`, "diameter of the shaft");
      steps.step("T_borne", "torque that it bears in shear", "torque", "tau * pi * a^2 * d / 4", capacity);
      return;
    default:
      steps.given("T_borne", "torque that it bears", "torque", capacity, {
        path,
        words: "by its kind, as the check's equation says",
      });
  }
}
