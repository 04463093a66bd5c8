/** Question 8: jets, compressed gas, and what people have recorded. */

import { conditionsOf } from "../../dossier/index.js";
import type { Pressure, Temperature } from "../../quantity/index.js";
import {
  fluid,
  isentropicExpansion,
  isFluidName,
  saturationAtPressure,
  stateAtPressureEntropy,
  stateAtPressureTemperature,
} from "../../substance/index.js";
import { NoSuchSteps } from "../steps.js";
import { type Maker, nominal, present, type Workings } from "../workings.js";

/** The oxidiser and the case in which its jets are fastest. */
function service(of: Workings) {
  const { service: found } = of.own.oxygen;
  if (found.kind !== "oxidiser" || !isFluidName(found.name)) throw new NoSuchSteps("an oxidiser");
  const { caseId } = found;
  const index = (of.valve.cases ?? []).findIndex(({ id }) => id === caseId);
  return {
    named: fluid(found.name),
    caseId,
    place: index < 0 ? "duty" : `cases[${index}]`,
    conditions: conditionsOf(of.dossier, caseId),
  };
}

const jet: Maker = (steps, of, check, value) => {
  const { jets } = of.own.oxygen;
  if (check.dimension !== "speed") {
    if (check.dimension === "ratio") {
      steps.given("x", "share of gas in the jet", "ratio", value, "as the check's assumptions say");
      return;
    }
    const { nominal: found } = jets.figures;
    const isSupply = value === found.gauge;
    const p = present(isSupply ? found.pressure : found.boiling, "pressure");
    const what = isSupply
      ? "highest supply pressure of duty and cases"
      : "pressure at which the liquid boils";
    steps.given("p", what, "pressure", p, isSupply ? "as declared" : "equation of state");
    steps.field("p_a", "duty.ambient_pressure", "pressure of the atmosphere");
    steps.step(
      "p_over",
      "pressure over the atmosphere, against that of the exemption",
      "pressure difference",
      "p - p_a",
      value,
    );
    return;
  }
  const { named, place, conditions, caseId } = service(of);
  const isGas = Math.abs(value - (jets.figures.nominal.gas ?? Number.NaN)) < 1e-9 * value;
  const behindPath = `${place}.${conditions.back_pressure_at_start === undefined ? "back_pressure" : "back_pressure_at_start"}`;
  const p1 = steps.field(
    "p_1",
    `${place}.supply_pressure`,
    `pressure ahead of the valve, ${caseId}`,
  ) as Pressure;
  const p2 = steps.field("p_2", behindPath, "pressure behind it as it opens") as Pressure;
  const T1 = steps.field(
    "T_1",
    isGas ? "oxygen.start_gas.temperature" : `${place}.fluid_temperature`,
    isGas ? "gas before the ball" : "liquid",
  ) as Temperature;
  const at = stateAtPressureTemperature(named, p1, T1);
  const from = isGas && at.phase === "liquid" ? saturationAtPressure(named, p1).vapour : at;
  const { state } = isentropicExpansion(named, from, p2);
  const origin = { words: `equation of state of ${named.id}`, source: "schmidt-wagner-1985" };
  steps.given(
    "s_1",
    "entropy ahead of the valve, kept by the loss-free jet",
    { unit: "J/(kg K)" },
    from.s,
    origin,
  );
  steps.given("h_1", "enthalpy ahead of the valve, at rest", { unit: "J/kg" }, from.h, origin);
  steps.given(
    "T_2",
    "temperature of the jet, where its entropy at p_2 is s_1",
    "temperature",
    state.T,
    origin,
  );
  steps.given("h_2", "enthalpy of the jet", { unit: "J/kg" }, state.h, origin);
  steps.step("v", "speed of the loss-free jet", "speed", "sqrt(2 * (h_1 - h_2))", value);
  if (!isGas) return;
  steps.part("Estimate by hand: ideal gas of constant heat capacities");
  steps.given("k", "ratio of heat capacities of a warm gas of two atoms", "ratio", 1.4, "textbook value");
  steps.given("R_s", "specific gas constant", { unit: "J/(kg K)" }, named.specificGasConstant, origin);
  steps.given("T_g", "gas before the ball", "temperature", from.T, "as T_1, at most its boiling point");
  steps.step(
    "v_ideal",
    "speed",
    "speed",
    "sqrt(2 * k / (k - 1) * R_s * T_g * (1 - (p_2 / p_1)^((k - 1) / k)))",
  );
};

const compression: Maker = (steps, of, check, value) => {
  if (check.dimension !== "temperature") {
    steps.given(
      "n",
      "non-metals that compressed gas reaches",
      { unit: "" },
      value,
      "the table of mechanisms",
    );
    return;
  }
  const { named } = service(of);
  const path = "oxygen.compression";
  const p1 = steps.field("p_1", `${path}.initial_pressure`, "pressure before") as Pressure;
  const T1 = steps.field("T_1", `${path}.initial_temperature`, "temperature before") as Temperature;
  const p2 = steps.given(
    "p_2",
    "pressure after",
    "pressure",
    nominal(of.own.oxygen.compression.figures, "final"),
    of.declares(`${path}.final_pressure`)
      ? { path: `${path}.final_pressure`, words: "as declared" }
      : "highest supply pressure of duty and cases with an oxidiser",
  ) as Pressure;
  steps.method(
    "The state at p_2 whose entropy is that at p_1 and T_1: a root in the equation of state; no heat goes to the walls.",
    [],
    [path],
  );
  const origin = { words: `equation of state of ${named.id}`, source: "schmidt-wagner-1985" };
  const { s } = stateAtPressureTemperature(named, p1, T1);
  steps.given("s_1", "entropy before", { unit: "J/(kg K)" }, s, origin);
  steps.given(
    "s_2",
    "entropy at p_2 and the temperature found",
    { unit: "J/(kg K)" },
    stateAtPressureTemperature(named, p2, value as Temperature).s,
    origin,
  );
  steps.part(
    "Estimate by hand: ideal gas of constant heat capacities, as published tables have it; above the real gas when hot",
  );
  steps.given("k", "ratio of heat capacities of a warm gas of two atoms", "ratio", 1.4, {
    words: "textbook value",
    source: "astm-g88-2021, table of final temperatures",
  });
  steps.step("T_ideal", "temperature after", "temperature", "T_1 * (p_2 / p_1)^((k - 1) / k)");
  steps.part("The temperature");
  steps.given("T_2", "temperature after, of the real gas", "temperature", value, {
    words: `s(p_2, T_2) = s(p_1, T_1); again ${stateAtPressureEntropy(named, p2, s).T.toPrecision(7)} K`,
    source: "schmidt-wagner-1985",
  });
};

const rubbing: Maker = (steps, of, _, value) => {
  const { opening, closing } = of.given.prediction.nominal;
  const fastest = Math.max(opening?.peakSpeed_rad_s ?? 0, closing?.peakSpeed_rad_s ?? 0);
  const parts = of.valve.oxygen?.parts ?? [];
  parts.forEach((part, j) => {
    const contact = of.own.oxygen.contacts[j];
    if (
      part.contact === undefined ||
      contact === undefined ||
      contact.missing.length > 0 ||
      !(contact.pressure_Pa > 0)
    )
      return;
    const n = j + 1;
    steps.part(`${part.name ?? `part ${n}`}: ${part.contact}`);
    steps.given(`P_${n}`, "pressure of the contact, valve shut", "stress", contact.pressure_Pa, {
      path: `oxygen.parts[${j}].contact`,
      words: "load of the shut valve over the contact, or as declared",
    });
    steps.given(`r_${n}`, "radius about the stem", "length", contact.radius_m, "of the part");
    steps.given(
      `w_${n}`,
      "greatest speed of the strokes of stiff parts; the wound-up train may throw the ball off faster",
      "angular speed",
      fastest,
      "integrated strokes",
    );
    steps.step(
      `Pv_${n}`,
      "pressure times sliding speed, for stiff parts",
      { unit: "W/m2" },
      `P_${n} * w_${n} * r_${n}`,
    );
  });
  steps.part("The count");
  steps.given(
    "n",
    "metals that burn and rub on a metal that burns",
    { unit: "" },
    value,
    "the parts as declared",
  );
};

const cleanliness: Maker = (steps) => {
  steps.field("d_found", "oxygen.cleaning.largest_particle", "largest particle found");
  steps.field("d_most", "oxygen.cleanliness.largest_particle", "largest particle allowed");
  steps.field("m_found", "oxygen.cleaning.residue", "residue found");
  steps.field("m_most", "oxygen.cleanliness.residue", "residue allowed");
};

const continuity: Maker = (steps, _, __, value) => {
  steps.field("R_ball", "oxygen.continuity.ball_to_body", "resistance between ball and body");
  steps.field("R_stem", "oxygen.continuity.stem_to_body", "resistance between stem and body");
  steps.step("R", "the larger", "resistance", "max(R_ball, R_stem)", value);
};

const counted =
  (words: string): Maker =>
  (steps, _, __, value) => {
    steps.given("n", words, { unit: "" }, value, "records and answers of the valve file");
  };

const drive: Maker = (steps, _, check, value) => {
  steps.given(
    "x",
    "the larger share of oxygen, at packing and gearbox",
    check.dimension,
    present(value, "share"),
    { path: "oxygen.drive_space", words: "as measured and declared" },
  );
};

export const oxygenMakers: Readonly<Record<string, Maker>> = {
  "gas-velocity": jet,
  "compression-temperature": compression,
  "metal-friction-pv": rubbing,
  cleanliness,
  "electrical-continuity": continuity,
  "ignition-screen": counted("credible pairs of part and mechanism that no specialist has accepted"),
  "material-standing": counted("parts of a restricted material without a stated reason"),
  lubricant: counted("lubricants that are restricted or stiff at their temperature"),
  "oxygen-at-drive": drive,
};
