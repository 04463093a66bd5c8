/** Question 5, what carries the torque: what each part bears, and the worst torque in it. */
import {
  enduranceRatio,
  holeConcentration,
  holedShare,
  keywayConcentration,
  roundSection,
  sectionShape,
  shoulderConcentration,
  sizeFactor,
  splineConcentration,
  surfaceFactor,
  surfaces,
  ultimateInTorsion,
} from "../../physics/strength/index.js";
import {
  capacityFigure,
  type LoadId,
  type PathElement,
  type StrengthAnswer,
  useFigure,
} from "../../predict/index.js";
import type { Length, Stress, Temperature } from "../../quantity/index.js";
import type { Check } from "../../question/index.js";
import { type Solid, type SolidQuantity, solidProperty } from "../../substance/index.js";
import { NoSuchSteps, type Steps } from "../steps.js";
import { type Maker, nominal, present, type Workings } from "../workings.js";
import { gearLines, motorLines } from "./drive.js";

type Kind = PathElement["kind"];

/** The part of the path that a check is of. */
function elementOf(of: Workings, check: Check, kinds: readonly Kind[]): PathElement {
  const found = of.own.strength.elements.find(
    ({ kind, name }) => kinds.includes(kind) && (kind === "stop" || check.name.endsWith(`, ${name}`)),
  );
  return present(found, check.name);
}

/** A strength of a metal as the path takes it: of a certificate, or the middle of what is published at its temperature. */
function strengthLine(
  steps: Steps,
  of: Workings,
  symbol: string,
  how: {
    readonly material: Solid;
    readonly quantity: SolidQuantity;
    readonly certificate: string;
    readonly T: number;
    readonly words: string;
  },
): number {
  const { material, quantity, certificate, T, words } = how;
  const dimension = quantity === "fracture_toughness" ? "fracture toughness" : "stress";
  if (of.declares(certificate)) return steps.field(symbol, certificate, words);
  const { low, high } = solidProperty(material, quantity, T as Temperature);
  const source = {
    words: `data/solids/${material.id}.json at ${T.toPrecision(5)} K: middle of ${low.toExponential(4)} and ${high.toExponential(4)}`,
  };
  return steps.given(symbol, words, dimension, low + 0.5 * (high - low), source);
}

/** Temperature and material of a section or joint as the program has them. */
function materialAt(answer: StrengthAnswer, part: string): { readonly material: Solid; readonly T: number } {
  const found = present(
    answer.materials.find((one) => one.part === part),
    part,
  );
  return { material: found.material, T: found.temperature_K };
}

/** The load that uses the part most, and its torque. */
function worstLoad(steps: Steps, of: Workings, element: PathElement, isSymbolT = true): void {
  const { figures } = of.own.strength;
  const uses = element.loads.flatMap((load) => {
    const use = figures.nominal[useFigure(element.id, load)] ?? Number.NaN;
    return Number.isNaN(use) ? [] : [{ load, use }];
  });
  const worst = present(uses.toSorted((a, b) => b.use - a.use)[0], "load");
  const torque = worst.use * nominal(figures, capacityFigure(element.id));
  steps.part(`The worst torque: ${loadWords[worst.load]}`);
  if (worst.load === "locked rotor" && isSymbolT) lockedRotor(steps, of, element, torque);
  else steps.given("T", "greatest torque in the part", "torque", torque, loadOrigin[worst.load]);
}

const loadWords: Readonly<Record<LoadId, string>> = {
  "locked rotor": "locked rotor",
  jammed: "ball jammed in motion",
  opening: "opening",
  closing: "closing",
  turning: "greatest slow torque of a stroke",
};

const compliant = "peak of the compliant train, integrated step by step (docs/theory/compliant.md)";
const loadOrigin: Readonly<Record<LoadId, string>> = {
  "locked rotor": "motor torque through the gears",
  jammed: compliant,
  opening: compliant,
  closing: compliant,
  turning: "running friction and flow, brought through the stages after it",
};

/** Torque of the locked rotor in a part: no friction helps it. */
function lockedRotor(steps: Steps, of: Workings, { carries }: PathElement, used: number): void {
  motorLines(steps, of);
  gearLines(steps, of, false);
  const isLimited = Number.isFinite(of.train.currentLimit);
  if (isLimited) steps.field("i_lim", "drive.driver.current_limit", "current limit of the driver");
  steps.step("i", "current of the locked rotor", "current", isLimited ? "min(V / R, i_lim)" : "V / R");
  const last = /^drive\.stages\[(\d+)\]$/.exec(carries)?.[1];
  const stages = of.sample.stages();
  const count = last === undefined ? stages.length : Number(last) + 1;
  const through = stages.slice(0, count).map((_, j) => `n_${j + 1} * eta_${j + 1}`);
  steps.step("T", "torque in the part", "torque", ["k * i", ...through].join(" * "), used);
}

/** Resistance of a section and of its notch. */
function sectionLines(steps: Steps, of: Workings, j: number): void {
  const fields = present(of.valve.valve?.stem?.sections?.[j], "section");
  const path = `valve.stem.sections[${j}]`;
  const { shape: name } = fields;
  const shape = sectionShape(present(name, "shape"));
  const symbols: Readonly<Record<string, readonly [string, string]>> = {
    diameter: ["d", "diameter"],
    inner_diameter: ["d_i", "inner diameter"],
    width: ["b", "width"],
    thickness: ["a", "thickness"],
    flat_depth: ["h", "depth of the flat"],
    keyway_width: ["w_k", "width of the keyway"],
    keyway_depth: ["h_k", "depth of the keyway"],
  };
  const sizes = shape.of.map((size) => {
    const [symbol, words] = symbols[size] ?? [size, size];
    return steps.field(symbol, `${path}.${size}`, words) as Length;
  });
  const { resistance } = shape.section(...sizes);
  const volume = "volume" as const;
  const W = "resistance of the section: torque over its greatest shear";
  switch (name) {
    case "round":
    case "splined":
      steps.step("W", W, volume, "pi * d^3 / 16", resistance);
      break;
    case "tube":
      steps.step("W", W, volume, "pi * (d^4 - d_i^4) / (16 * d)", resistance);
      break;
    case "square":
      steps.step("W", W, volume, "0.208 * b^3", resistance);
      break;
    case "keyed":
      steps.step(
        "W",
        `${W}, by a test to yielding`,
        volume,
        "pi * d^3 / 16 * (1 - 0.2 * w_k / d - 1.1 * h_k / d)",
        resistance,
      );
      break;
    case "rectangle": {
      const [long, short] = (sizes[0] ?? 0) >= (sizes[1] ?? 0) ? ["b", "a"] : ["a", "b"];
      const alpha = resistance / (Math.max(...sizes) * Math.min(...sizes) ** 2);
      steps.given("alpha", "coefficient of a rectangle by the ratio of its sides", "ratio", alpha, {
        words: "straight between the rows of its table",
        source: "roark-2002, table 10.1",
      });
      steps.step("W", W, volume, `alpha * ${long} * ${short}^2`, resistance);
      break;
    }
    default: {
      const B = (0.5 * (sizes[0] ?? 0)) ** 3 / resistance;
      steps.given("B", "polynomial of a round with flats, of 2 h / d", "ratio", B, {
        words: "as published",
        source: "roark-2002, table 10.1",
      });
      steps.step("W", W, volume, "(d / 2)^3 / B", resistance);
    }
  }
  notchLines(steps, of, j, sizes[0] ?? (Number.NaN as Length));
}

/** W_n, with the notch. */
function notchLines(steps: Steps, of: Workings, j: number, round: Length): void {
  const fields = present(of.valve.valve?.stem?.sections?.[j], "section");
  const path = `valve.stem.sections[${j}]`;
  const volume = "volume" as const;
  const W = "resistance with the notch";
  const K = "concentration of the notch";
  const published = (value: number, source: string) =>
    steps.given("K_ts", K, "ratio", value, { words: "as published", source });
  if (fields.concentration !== undefined) {
    steps.field("K_ts", `${path}.concentration`, K);
    steps.step("W_n", W, volume, "W / K_ts");
  } else if (fields.shape === "keyed") {
    published(keywayConcentration, "pilkey-2008, keyseat in torsion");
    steps.given(
      "W_0",
      "resistance of the whole round",
      volume,
      roundSection(round).resistance,
      "pi d^3 / 16",
    );
    steps.step("W_n", `${W}: of the whole round, at most that of the test`, volume, "min(W, W_0 / K_ts)");
  } else if (fields.shape === "splined") {
    published(splineConcentration, "dudley-1957");
    steps.step("W_n", W, volume, "W / K_ts");
  } else if (fields.notch === "shoulder") {
    const D = steps.field("D", `${path}.shoulder.diameter`, "diameter of the shoulder") as Length;
    const r = steps.field("r_f", `${path}.shoulder.fillet`, "radius of its fillet") as Length;
    published(
      shoulderConcentration(round, D, r),
      "pilkey-2008, shoulder fillet in torsion; roark-2002, table 17.1",
    );
    steps.step("W_n", W, volume, "W / K_ts");
  } else if (fields.notch === "hole") {
    const hole = steps.field("a_h", `${path}.hole`, "diameter of the hole") as Length;
    steps.given(
      "q_h",
      "share of the resistance that the hole leaves",
      "ratio",
      holedShare(round, hole),
      "1 - (8/(3 pi)) (a/d) (1 + (a/d)^2)",
    );
    published(holeConcentration, "timoshenko-goodier-1970, art. 35");
    steps.step("W_n", W, volume, "W * q_h / K_ts");
  } else {
    steps.step("W_n", "resistance: no notch", volume, "W");
  }
}

function sectionAt(of: Workings, name: string): number {
  return of.placeNamed("valve.stem.sections", name, "section");
}

/** Strengths of a section in tension. */
function sectionStrength(
  steps: Steps,
  of: Workings,
  j: number,
  name: string,
  quantity: "yield_strength" | "ultimate_strength",
): number {
  const { material, T } = materialAt(of.own.strength, name);
  const isYield = quantity === "yield_strength";
  return strengthLine(steps, of, isYield ? "s_y" : "s_u", {
    material,
    quantity,
    certificate: `valve.stem.sections[${j}].${quantity}`,
    T,
    words: isYield ? "yield strength at temperature" : "ultimate strength at temperature",
  });
}

const torsion: Maker = (steps, of, check, value) => {
  const element = elementOf(of, check, ["section"]);
  const answer = of.own.strength;
  const j = sectionAt(of, element.name);
  steps.part("What the section bears");
  sectionLines(steps, of, j);
  sectionStrength(steps, of, j, element.name, "yield_strength");
  sectionStrength(steps, of, j, element.name, "ultimate_strength");
  steps.given("k_u", "ultimate strength in torsion over that in tension", "ratio", ultimateInTorsion.mode, {
    words: "middle of what is published",
    source: "budynas-nisbett-2011, eq. 6-54",
  });
  factorLine(steps, answer, "FS_y", "yield");
  factorLine(steps, answer, "FS_u", "ultimate");
  steps.step(
    "tau_allowed",
    "shear that it may have with both factors",
    "stress",
    "min(s_y / (sqrt(3) * FS_y), k_u * s_u / FS_u)",
  );
  const capacity = nominal(answer.figures, capacityFigure(element.id));
  const notched = steps.at("tau_allowed") * steps.at("W_n");
  const counts = Math.abs(notched / capacity - 1) < 1e-9;
  steps.step(
    "T_borne",
    counts
      ? "torque that it bears, the notch counted"
      : "torque that it bears; the notch of a ductile metal is not counted",
    "torque",
    counts ? "tau_allowed * W_n" : "tau_allowed * W",
    capacity,
  );
  worstLoad(steps, of, element);
  steps.step("MS", "margin of safety", "ratio", "T_borne / T - 1", value);
};

function factorLine(
  steps: Steps,
  { factors }: StrengthAnswer,
  symbol: string,
  which: "yield" | "ultimate" | "life",
): void {
  const words = {
    yield: "factor against yield",
    ultimate: "factor against rupture",
    life: "factor on the life",
  }[which];
  steps.given(symbol, words, "ratio", factors[which] ?? Number.NaN, factors.words);
}

/** Capacity as the program has it, where its form is one of many; then the margin. */
const bearing: Maker = (steps, of, check, value) => {
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

/** Parts that are rated, and the key, pin, set screw and spline in shear. */
function rated(kinds: readonly Kind[]): Maker {
  return (steps, of, check, value) => {
    const element = elementOf(of, check, kinds);
    const field =
      element.kind === "peak"
        ? "peak_torque"
        : element.loads.includes("turning")
          ? "rated_torque"
          : "momentary_torque";
    steps.part("What it bears");
    if (element.kind === "shear") shearLines(steps, of, element);
    else steps.field("T_borne", `${element.carries}.${field}`, "torque that it is rated for");
    worstLoad(steps, of, element);
    steps.step("MS", "margin", "ratio", "T_borne / T - 1", value);
  };
}

function shearLines(steps: Steps, of: Workings, element: PathElement): void {
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

const stop: Maker = (steps, of, check, value) => {
  const element = elementOf(of, check, ["stop"]);
  const { train } = of;
  steps.method(
    "The compliant train, rotor, stages, coupling, stem and ball with their springs and play, integrated through the hit at the stop (docs/theory/compliant.md).",
    [],
    ["drive.stop", "drive.stages", "drive.coupling", "drive.motor"],
  );
  steps.part("What it bears");
  steps.field("T_borne", "drive.stop.momentary_torque", "torque that the stop is rated for");
  worstLoad(steps, of, element, false);
  steps.step("MS", "margin of the stop", "ratio", "T_borne / T - 1", value);
  steps.part(
    "Estimate by hand: all inertia hits the stop's own spring, which is stiffer than train and stop together",
  );
  steps.field("k_stop", "drive.stop.stiffness", "stiffness of the stop");
  steps.given(
    "J",
    "inertia of rotor, stages and ball at the stem",
    "inertia",
    train.lossless.inertia / train.lossless.loadShare,
    "through the gears without loss",
  );
  const speeds = [of.given.prediction.nominal.opening, of.given.prediction.nominal.closing].map(
    (one) => one?.impactSpeed_rad_s ?? 0,
  );
  steps.given(
    "w_hit",
    "speed of the stem at the stop, of the rigid train",
    "angular speed",
    Math.max(...speeds),
    "integrated strokes",
  );
  steps.given(
    "T_s",
    "torque of the drive at standstill, which pushes on",
    "torque",
    of.row("standstill-torque"),
    "as in break-torque",
  );
  steps.step(
    "T_energy",
    "torque by energy: a bound for a spring this stiff, without damping",
    "torque",
    "T_s + sqrt(T_s^2 + k_stop * J * w_hit^2)",
  );
};

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

const fatigue: Maker = (steps, of, _, value) => {
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

const flaw: Maker = (steps, of, _, value) => {
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

const current: Maker = (steps, of, _, value) => {
  const { figures } = of.own.strength;
  steps.method(
    "Least current: the root of the torque margin against the current limit, all else kept. Largest: the least of what each part bears over its torque for each ampere, rotor locked; where jam and strokes overload a part at the declared limit, six halvings of that limit.",
    [["share of the whole range to which a current is found", "1e-6"]],
    ["drive.driver", "valve.stem"],
  );
  steps.given(
    "i_least",
    "least current limit with a torque margin of 0",
    "current",
    nominal(figures, "least current"),
    "root of torque-margin or motorisation",
  );
  const most = figures.nominal["largest current"] ?? Number.NaN;
  if (Number.isFinite(most))
    steps.given(
      "i_most",
      "largest at which the locked rotor overloads nothing",
      "current",
      most,
      "least of T_borne over torque for each ampere",
    );
  steps.given("i_limit", "declared current limit", "current", value, {
    path: "drive.driver.current_limit",
    words: "as declared",
  });
};

export const strengthMakers: Readonly<Record<string, Maker>> = {
  "stem-shear": torsion,
  "stem-fatigue": fatigue,
  "stem-flaw": flaw,
  "tang-bearing": bearing,
  coupling: rated(["coupling", "shear"]),
  "gear-rated": rated(["rated"]),
  "gear-repeated": rated(["peak"]),
  "gear-peak": rated(["momentary"]),
  "stop-impact": stop,
  "current-limit": current,
};
