/** Question 4: how finely the flow can be set, and what holds the ball without power. */
import { openings } from "../../predict/index.js";
import { noteNumber } from "../number.js";
import { NoSuchSteps, type Steps } from "../steps.js";
import { type Maker, present, type Workings } from "../workings.js";

/** Flow from which an opening counts as operating [kg/s]. */
function lowestFlow(of: Workings): number {
  const share = of.valve.duty?.throttle?.lowest?.value;
  const { sample } = of;
  const open = Math.abs(sample.massFlow[openings - 1] ?? 0);
  const wanted = sample.at(sample.plan.slots.massFlow);
  return share === undefined ? open : share * (wanted > 0 ? Math.min(wanted, open) : open);
}

/** Openings of the grid that pass at least the lowest flow. */
function operating(of: Workings): readonly number[] {
  // The wide-open point itself counts as operating whatever rounding does.
  const lowest = lowestFlow(of) * (1 - 2e-9);
  return Array.from({ length: openings }, (_, j) => j).filter((j) => {
    const flow = Math.abs(of.sample.massFlow[j] ?? 0);
    return flow > 0 && flow >= lowest;
  });
}

/** Where a figure of the openings is greatest. */
function greatest(places: readonly number[], figure: (j: number) => number): number {
  const worst = places.toSorted((a, b) => figure(b) - figure(a))[0];
  if (worst === undefined) throw new NoSuchSteps("an operating opening");
  return worst;
}

/** Slope of the flow between an opening of the grid and the one before it. */
function slopeLines(steps: Steps, of: Workings, j: number): void {
  const { sample } = of;
  const before = j - 1;
  const flow = (at: number) => Math.abs(sample.massFlow[at] ?? Number.NaN);
  const from = "installed flow at that opening, as in installed-flow";
  steps.given(
    "theta_0",
    "opening of the grid before it",
    "angle",
    sample.angles[before] ?? Number.NaN,
    "grid of 61 openings",
  );
  steps.given(
    "theta_1",
    "operating opening at which the answer is worst",
    "angle",
    sample.angles[j] ?? Number.NaN,
    "greatest over the operating openings",
  );
  steps.given("m_0", "flow at theta_0", "mass flow", flow(before), from);
  steps.given("m_1", "flow at theta_1", "mass flow", flow(j), from);
  steps.step(
    "slope",
    "change of the flow for each radian",
    { unit: "kg/(s rad)" },
    "abs(m_1 - m_0) / (theta_1 - theta_0)",
  );
}

/** Play of the stages brought to the stem, the sensor's step beside it. */
function backlashLines(steps: Steps, of: Workings, withCoupling: boolean): string {
  const stages = of.valve.drive?.stages ?? [];
  const terms = stages.map((_, j) => {
    const n = j + 1;
    steps.field(`beta_${n}`, `drive.stages[${j}].backlash`, `backlash of stage ${n}, at its output`);
    const behind = stages.slice(n).map((__, m) => {
      const k = n + m + 1;
      steps.field(`n_${k}`, `drive.stages[${k - 1}].ratio`, `ratio of stage ${k}`);
      return `n_${k}`;
    });
    return behind.length === 0 ? `beta_${n}` : `beta_${n} / (${behind.join(" * ")})`;
  });
  if (withCoupling) {
    steps.field("beta_c", "drive.coupling.backlash", "backlash of the coupling");
    terms.push("beta_c");
  }
  steps.step("beta", "play at the stem", "angle", terms.length === 0 ? "0" : terms.join(" + "));
  steps.field("s", "drive.position_sensor.resolution", "step of the position sensor");
  return "beta";
}

const controllability: Maker = (steps, of, _, value) => {
  const slope = (j: number) =>
    j < 1 ? -1 : Math.abs(Math.abs(of.sample.massFlow[j] ?? 0) - Math.abs(of.sample.massFlow[j - 1] ?? 0));
  slopeLines(steps, of, greatest(operating(of), slope));
  backlashLines(steps, of, false);
  steps.field("m_duty", "duty.mass_flow", "flow that the duty asks for");
  steps.step("step_m", "step of the flow over the duty's", "ratio", "slope * (beta + s) / m_duty", value);
};

/** Stiffness of the train at the stem. */
function stiffnessLines(steps: Steps, of: Workings): void {
  const stages = of.valve.drive?.stages ?? [];
  const terms = stages.map((_, j) => {
    const n = j + 1;
    steps.field(`k_${n}`, `drive.stages[${j}].stiffness`, `stiffness of stage ${n}, at its output`);
    const behind = stages.slice(n).map((__, m) => `n_${n + m + 1}`);
    return behind.length === 0 ? `1 / k_${n}` : `1 / (k_${n} * (${behind.join(" * ")})^2)`;
  });
  steps.field("k_c", "drive.coupling.stiffness", "stiffness of the coupling");
  steps.field("k_s", "valve.stem.stiffness", "stiffness of the stem");
  steps.step(
    "k",
    "stiffness of the train at the stem",
    { unit: "N m/rad" },
    `1 / (${[...terms, "1 / k_c", "1 / k_s"].join(" + ")})`,
  );
}

const accuracy: Maker = (steps, of, _, value) => {
  const { sample } = of;
  const places = operating(of);
  backlashLines(steps, of, true);
  stiffnessLines(steps, of);
  const position = (j: number) =>
    steps.at("beta") + (sample.breakaway[j] ?? 0) / steps.at("k") + steps.at("s");
  const flowChange = (j: number) =>
    j < 1
      ? -1
      : Math.abs(Math.abs(sample.massFlow[j] ?? 0) - Math.abs(sample.massFlow[j - 1] ?? 0)) * position(j);
  const j = greatest(places, flowChange);
  slopeLines(steps, of, j);
  steps.given(
    "F",
    "friction at rest at theta_1",
    "torque",
    sample.breakaway[j] ?? Number.NaN,
    "sum of seats, packing, collar, bearings and ice at rest, without dwell, as in break-torque",
  );
  steps.step("delta", "angle by which the ball may stand off", "angle", "beta + F / k + s");
  steps.field("m_duty", "duty.mass_flow", "flow that the duty asks for");
  steps.step("accuracy", "flow it stands for, over the duty's", "ratio", "slope * delta / m_duty", value);
};

/** What turns the ball over what holds it, at one opening. */
function turnedShare(steps: Steps, of: Workings, value: number, isHeld: boolean): void {
  const { sample, train } = of;
  const { loadShare, friction } = train.backward;
  if (!(loadShare > 0)) throw new NoSuchSteps("gears that can be driven backward");
  const hold = isHeld ? sample.running : sample.breakaway;
  const gears = friction / loadShare;
  const share = (j: number) => Math.abs(sample.fluidTorque[j] ?? 0) / ((hold[j] ?? 0) + gears);
  const places = isHeld ? operating(of) : Array.from({ length: openings - 2 }, (_, j) => j + 1);
  const j = isHeld ? greatest(places, share) : greatest(places, (at) => -share(at));
  steps.given(
    "theta",
    "opening that decides",
    "angle",
    sample.angles[j] ?? Number.NaN,
    isHeld ? "operating opening where the flow turns it most" : "opening where most holds it",
  );
  steps.given(
    "H",
    "torque of the flow there",
    "torque",
    Math.abs(sample.fluidTorque[j] ?? 0),
    "C_T dp d^3, as in run-torque",
  );
  steps.given(
    "F",
    isHeld ? "friction of the ball in motion" : "friction of the ball at rest",
    "torque",
    hold[j] ?? Number.NaN,
    "sum of seats, packing, collar, bearings and ice",
  );
  const stages = sample.stages();
  stages.forEach((stage, n) => {
    const name = n + 1;
    steps.given(`n_${name}`, `ratio of stage ${name}`, "ratio", stage.ratio, {
      path: `drive.stages[${n}].ratio`,
      words: "as declared",
    });
    steps.given(
      `eta_b${name}`,
      `efficiency of stage ${name} driven backward`,
      "ratio",
      stage.backEfficiency,
      { path: `drive.stages[${n}].back_efficiency`, words: "as declared, else 2 - 1/eta" },
    );
    steps.given(
      `T_${name}`,
      `torque that turns stage ${name} unloaded, at its input`,
      "torque",
      stage.noLoadTorque,
      { path: `drive.stages[${n}].no_load_torque`, words: "by its growth in the cold" },
    );
  });
  const all = stages.map((_, n) => n + 1);
  const passed = (to: number) => all.filter((n) => n < to).map((n) => `eta_b${n} / n_${n}`);
  steps.field("T_f", "drive.motor.friction_torque", "friction of the motor");
  steps.step(
    "c_b",
    "torque at the motor for each newton metre at the stem, driven backward",
    "ratio",
    all.length === 0 ? "1" : passed(all.length + 1).join(" * "),
    loadShare,
  );
  steps.step(
    "D_b",
    "friction of motor and stages, at the motor",
    "torque",
    ["T_f", ...all.map((n) => [`T_${n}`, ...passed(n)].join(" * "))].join(" + "),
    friction,
  );
  steps.step("share_H", "what turns the ball over what holds it", "ratio", "H / (F + D_b / c_b)", value);
}

const backDriving: Maker = (steps, of, _, value) =>
  turnedShare(steps, of, value, of.valve.duty?.power_loss?.state === "holds");

const powerLoss: Maker = (steps, of, check, value) => {
  if (check.dimension === "ratio") return turnedShare(steps, of, value, false);
  const { train } = of;
  const stroke = present(of.given.prediction.nominal.opening, "opening");
  steps.method(
    "I w' = -(b N w + D + c (F + H + B w)) without current, from eight instants of the nominal opening and of the closing, as (w^2/2)' over the angle by the classical Runge-Kutta method of fourth order (docs/theory/hold.md).",
    [["steps over the whole travel", "240"]],
    ["drive.motor", "drive.stages", "valve.seat", of.place],
  );
  steps.part("Estimate by hand: from the greatest speed, against the friction of motor and gears alone");
  steps.given(
    "w",
    "greatest speed of the stem in the opening",
    "angular speed",
    stroke.peakSpeed_rad_s,
    "integrated stroke",
  );
  steps.given(
    "I",
    "motor torque for each unit of acceleration of the stem",
    "inertia",
    train.forward.inertia,
    "rotor, stages and ball, through the gears",
  );
  steps.given(
    "D",
    "friction of motor and stages, at the motor",
    "torque",
    train.forward.friction,
    "as in break-torque",
  );
  steps.step(
    "theta_most",
    "way until that friction alone has used up the speed; friction of the ball shortens it, a flow that helps lengthens it",
    "angle",
    "I * w^2 / (2 * D)",
  );
  steps.part("The angle");
  steps.given("theta", "farthest run after a loss of power", "angle", value, "worst of sixteen instants");
  return undefined;
};

const loop: Maker = (steps, of, _, value) => {
  steps.method(
    "The compliant train under its sampled position and speed loops, integrated from the opening before the lowest flow to that opening; looked at from 1.0 to 1.5 s after (docs/theory/hold.md).",
    [["values", "nominal alone"]],
    ["drive.hold", "drive.motor", "drive.stages", "drive.coupling", "valve.stem"],
  );
  steps.part("Estimate by hand: what play and sensor alone leave open");
  backlashLines(steps, of, true);
  steps.step("open", "play and a step of the sensor", "angle", "beta + s");
  steps.part("The error");
  steps.given("e", "largest angle from the set point once settled", "angle", value, "integrated");
};

function schedule(which: "angle" | "flow"): Maker {
  return (steps, of, _, value) => {
    const { followed } = of.own.schedule;
    steps.method(
      "The rigid train under its cascaded loops follows the schedule row by row; the error is the largest over its time (docs/theory/schedule.md).",
      followed === undefined
        ? []
        : [
            ["rows", String(followed.schedule.angle.length)],
            ["time between them", `${noteNumber(followed.step_s)} s`],
            ["samples of the band that bound its speed", String(followed.limitSamples)],
          ],
      ["schedule", "drive.hold", "drive.motor"],
    );
    steps.given(
      "e",
      which === "angle"
        ? "largest angle behind the schedule"
        : "largest flow off the wanted one, over the duty's",
      which === "angle" ? "angle" : "ratio",
      value,
      "followed at the nominal values",
    );
  };
}

export const holdingMakers: Readonly<Record<string, Maker>> = {
  controllability,
  "position-accuracy": accuracy,
  "back-driving": backDriving,
  "power-loss": powerLoss,
  "holding-error": loop,
  "schedule-angle-error": schedule("angle"),
  "schedule-flow-error": schedule("flow"),
};
