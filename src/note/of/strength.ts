/** Question 5, what carries the torque: what each part bears, against the worst torque in it. */
import { ultimateInTorsion } from "../../physics/strength/index.js";
import { capacityFigure } from "../../predict/index.js";
import { type Maker, nominal } from "../workings.js";
import { fatigue, flaw } from "./fatigue.js";
import { bearing, shearLines } from "./joints.js";
import { elementOf, type Kind, worstLoad } from "./loads.js";
import { factorLine } from "./pathStrength.js";
import { sectionAt, sectionLines, sectionStrength } from "./sections.js";

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
