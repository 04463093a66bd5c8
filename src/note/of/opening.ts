/** Question 3: times of an integration with bounds that a calculator gives, winding and voltage. */
import { standstillCurrent, windingGrowth } from "../../physics/drive/index.js";
import type { StrokeHistory } from "../../predict/index.js";
import type { Power, Resistance, Temperature } from "../../quantity/index.js";
import { noteNumber } from "../number.js";
import type { Steps } from "../steps.js";
import { type Maker, present, type Workings } from "../workings.js";
import { gearLines, motorLines } from "./drive.js";

/** How a stroke is integrated, and what its energy ledger leaves. */
function strokeMethod(
  steps: Steps,
  of: Workings,
  stroke: StrokeHistory,
  extra: readonly (readonly [string, string])[],
): void {
  const { ledger } = stroke;
  const { numericalUncertainty: change } = of.given.prediction.nominal;
  const joule = (value: number) => `${noteNumber(value)} J`;
  steps.method(
    "J dw/dt = T_drive - T_demand of the rigid train, with exact stick and slip: at rest the ball stays until the drive exceeds breakaway at that angle; in motion the Rosenbrock method RODAS, and the instants of stop, stall, current limit and change of gear regime as roots of the step's continuous path (docs/theory/motion.md).",
    [
      ["tolerance of a step, relative", "1e-6"],
      ...extra,
      ...(change === undefined
        ? []
        : [["change of the time from a tolerance of a band to this one", noteNumber(change)] as const]),
      ...Object.entries(ledger.entries).map(([entry, value]) => [`energy, ${entry}`, joule(value)] as const),
      ["energy that the ledger leaves, over what was put in", noteNumber(ledger.relativeResidual)],
    ],
    [
      "drive.motor",
      "drive.stages",
      "drive.supply",
      "drive.driver",
      "valve.seat",
      "valve.packing",
      "valve.stem",
      of.place,
    ],
  );
}

/** No motion is faster than the no-load speed lets it be. */
function fastestByHand(steps: Steps, of: Workings): void {
  const { train } = of;
  steps.part("Estimate by hand: no motion is faster than the motor without load");
  motorLines(steps, of);
  gearLines(steps, of, false);
  steps.given("travel", "travel of the ball", "angle", train.travel, {
    path: "valve.travel",
    words: "as declared",
  });
  steps.field("t_dead", "drive.driver.dead_time", "dead time of the driver");
  steps.step(
    "w_0",
    "speed of the stem at which the voltage leaves no current",
    "angular speed",
    "V / (k * N)",
  );
  steps.step("t_least", "dead time, and the whole travel at that speed", "time", "t_dead + travel / w_0");
}

function timeOf(sense: "opening" | "closing"): Maker {
  return (steps, of, _, value) => {
    const { nominal } = of.given.prediction;
    const stroke = present(nominal[sense], sense);
    strokeMethod(steps, of, stroke, [
      ["outcome", stroke.outcome],
      ["greatest current", `${noteNumber(stroke.peakCurrent_A)} A`],
      ["greatest speed of the stem", `${noteNumber(stroke.peakSpeed_rad_s)} rad/s`],
    ]);
    fastestByHand(steps, of);
    const end = stroke.times_s["command-to-end"];
    if (end !== undefined) {
      steps.given("t_end", "from command to end of travel", "time", end, "end of the integration");
      steps.step(
        "w_mean",
        "mean speed that this asks for, at most that without load",
        "angular speed",
        "travel / (t_end - t_dead)",
      );
      steps.step("share_w", "of the speed without load", "ratio", "w_mean / w_0");
    }
    const { ceilings } = nominal;
    if (sense === "opening" && ceilings !== undefined) {
      steps.part("Ceilings: the same integration with other friction");
      if (ceilings.fastest !== undefined)
        steps.given(
          "t_free",
          "without any friction: no opening is faster",
          "time",
          ceilings.fastest,
          "integrated",
        );
      if (ceilings.slowest !== undefined)
        steps.given(
          "t_stall",
          "just before friction stalls the drive: no finite opening is slower",
          "time",
          ceilings.slowest,
          "integrated",
        );
      if (ceilings.stallFactor !== undefined)
        steps.given(
          "f_stall",
          "factor on all friction of the valve at which it stalls",
          "ratio",
          ceilings.stallFactor,
          "found by halving",
        );
    }
    steps.part("The time");
    steps.given(
      "t",
      "time by the definition of the limit",
      "time",
      value,
      "instants of both events on the integrated path",
    );
  };
}

const thermal: Maker = (steps, of, _, value) => {
  const { train, sample } = of;
  const { opening, closing } = of.given.prediction.nominal;
  const start = sample.at(sample.plan.slots.motorTemperature) as Temperature;
  const current = standstillCurrent(
    train.openCircuitVoltage,
    (train.resistance + train.supplyResistance) as Resistance,
    train.currentLimit,
  );
  const loss = (train.resistance * current * current) as Power;
  const copper = Math.max(opening?.ledger.entries.copper ?? 0, closing?.ledger.entries.copper ?? 0);
  steps.method(
    "Two nodes, winding and case, followed over the duty in closed form between strokes: each stroke brings the copper loss of the hotter one of the nominal opening and closing, each hold the loss at standstill; the resistance of the winding grows with its temperature where the load or the current limit sets the current (docs/theory/drive.md).",
    [
      ["growth of the loss at the start", `${noteNumber(windingGrowth(start))} 1/K`],
      ["copper loss of a stroke, as integrated", `${noteNumber(copper)} J`],
    ],
    ["duty.cycles", "drive.motor"],
  );
  steps.part("Estimate by hand: all heat of the duty stays in the winding, at the loss of its start");
  motorLines(steps, of);
  const isLimited = Number.isFinite(train.currentLimit);
  if (isLimited) steps.field("i_lim", "drive.driver.current_limit", "current limit of the driver");
  steps.step(
    "i_held",
    "current at standstill",
    "current",
    isLimited ? "min(V / R, i_lim)" : "V / R",
    current,
  );
  steps.step("P_held", "loss at standstill", "power", "R_w * i_held^2", loss);
  steps.field("t_held", "duty.cycles.stall_hold", "hold against the stop in each cycle");
  steps.given(
    "E_stroke",
    "copper loss of a stroke, the hotter one",
    "energy",
    copper,
    "energy ledger of the nominal strokes",
  );
  steps.field("n", "duty.cycles.count", "cycles");
  steps.field("C_w", "drive.motor.winding_heat_capacity", "heat capacity of the winding");
  steps.field("C_c", "drive.motor.case_heat_capacity", "heat capacity of the case");
  steps.step("E", "heat of one cycle", "energy", "E_stroke + P_held * t_held");
  steps.step(
    "dT_one",
    "rise by one cycle, none of it going on to the case",
    "temperature difference",
    "E / C_w",
  );
  steps.step(
    "dT_all",
    "rise by all cycles, spread over winding and case, none going off",
    "temperature difference",
    "n * E / (C_w + C_c)",
  );
  steps.part("The temperature");
  steps.given("T_max", "highest temperature of the winding over the duty", "temperature", value, "two nodes");
};

const sag: Maker = (steps, of, _, value) => {
  const { train } = of;
  const { opening, closing } = of.given.prediction.nominal;
  motorLines(steps, of);
  const isLimited = Number.isFinite(train.currentLimit);
  if (isLimited) steps.field("i_lim", "drive.driver.current_limit", "current limit of the driver");
  steps.step(
    "i",
    "current at the hold against the stop",
    "current",
    isLimited ? "min(V / R, i_lim)" : "V / R",
  );
  steps.step(
    "R_s",
    "resistance of battery and cable",
    "resistance",
    "R_bat + R_cable",
    train.supplyResistance,
  );
  steps.step("P", "power that the winding takes", "power", "R_w * i^2");
  steps.step(
    "i_bat",
    "current of the battery: it gives that power, at most the current of the winding",
    "current",
    "min(2 * P / (V + sqrt(max(V^2 - 4 * R_s * P, 0))), i)",
  );
  steps.step("V_held", "voltage at the driver while it holds", "voltage", "V - R_s * i_bat");
  const strokes = [opening, closing].flatMap((stroke) =>
    stroke === undefined ? [] : [stroke.lowestSupplyVoltage_V],
  );
  const lowest = Math.min(...strokes);
  steps.given("V_strokes", "lowest voltage of opening and closing", "voltage", lowest, "integrated strokes");
  const what = "lowest voltage at the driver";
  if (steps.at("V_held") < lowest) steps.step("V_low", what, "voltage", "min(V_held, V_strokes)", value);
  else
    steps.given(
      "V_low",
      what,
      "voltage",
      value,
      "strokes as the band integrates them, with a coarser tolerance",
    );
};

export const openingMakers: Readonly<Record<string, Maker>> = {
  "opening-time": timeOf("opening"),
  "closing-time": timeOf("closing"),
  "motor-thermal": thermal,
  "supply-sag": sag,
};
