/** Question 1: does it pass the flow? */

import { operatingFaults } from "../predict/index.js";
import { backwardShare, backwardWords, forwardNeeds } from "./backwards.js";
import type { Check, CheckDefinition } from "./check.js";
import { bandFor, type Context, chanceOf, faultsAmong, hasFlow, nominalValue } from "./context.js";
import { flashing, flashingWords, isFlashingOpen } from "./flashing.js";
import { flowFigures } from "./flowFigures.js";
import { judge, missingOf } from "./judge.js";
import { noticesFor } from "./notices.js";
import type { Finding, Question } from "./question.js";
import { rankDrivers } from "./rankDrivers.js";
import {
  bandWords,
  missingWords,
  percentWords,
  probabilityWords,
  quantityWords,
  valueWords,
} from "./words.js";

/** Question 1. */
export const flow: Question = {
  id: "flow",
  number: 1,
  words: "Does it pass the flow?",
  answer: (context): Finding => ({
    sentence: sentence(context),
    checks: [
      installedFlow(context),
      capacity(context),
      choke(context),
      cavitation(context),
      velocity(context),
    ],
    figures: flowFigures(context),
    drivers: rankDrivers(context, "mass-flow", "the mass flow wide open"),
    notices: [...noticesFor(context, "flow"), ...flashing(context)],
  }),
};

const noLiquid = "a case in which liquid flows";

/** Operating openings, for the checks that look at more than wide open. */
function operating({ duty, prediction }: Context): readonly string[] {
  const lowest = duty.throttle?.lowest;
  if (operatingFaults(prediction.dossier).length > 0) return [];
  return [
    lowest === undefined
      ? "No throttling is declared: wide open is the only operating opening; the passage while it opens is not judged."
      : `Operating openings are those that pass at least ${percentWords(lowest.value)} of the duty's flow; the passage below it is not judged.`,
  ];
}

/** The opening that decides. */
function worstAt({ prediction }: Context, which: "choke_rad" | "cavitation_rad"): readonly string[] {
  const { flow } = prediction.nominal;
  if (flow === undefined || Number.isNaN(flow.worst[which])) return [];
  return [
    `Worst operating opening of the nominal valve: ${quantityWords(flow.worst[which], "angle", "deg")} from closed.`,
  ];
}

const installedDefinition: CheckDefinition = {
  id: "installed-flow",
  designChecks: ["flow-capacity"],
  failureModes: [],
  name: "Mass flow wide open",
  dimension: "mass flow",
  equation: "m(dp_upstream(m) + dp_valve(m) + dp_downstream(m) = p_supply - p_back) >= m_duty",
  source: "iec60534-2-1, liquid flow, choked or not; mass balance along the line",
  assumptions: [
    "Steady flow with the line full; supply and back pressure as declared, line drops growing with the square of the flow.",
  ],
};

/** Line and valve together; flow that would run backwards is below any wanted flow. */
function installedFlow(context: Context): Check {
  const wanted = context.duty.mass_flow?.value;
  return judge(context, installedDefinition, {
    column: "mass-flow",
    limit: wanted === undefined ? undefined : { least: wanted, words: "duty.mass_flow" },
    matter: "flow",
    needs: missingOf({ "duty.mass_flow": context.duty.mass_flow }),
    absent: noLiquid,
    unit: "kg/s",
  });
}

const capacityDefinition: CheckDefinition = {
  id: "flow-capacity",
  designChecks: ["flow-capacity"],
  failureModes: [],
  name: "Flow capacity",
  dimension: "ratio",
  equation: "C_installed / C_required - 1, C_required = m / sqrt(rho dp_budget)",
  source: "iec60534-2-1, liquid flow without choking; margin of 10 to 20 %: common practice, no source",
  assumptions: ["The budget is the drop across the valve alone at the duty's flow and this case's density."],
};

function capacity(context: Context): Check {
  const { duty } = context;
  const margin = duty.capacity_margin?.value;
  const check = judge(context, capacityDefinition, {
    column: "capacity-margin",
    limit: margin === undefined ? undefined : { least: margin, words: "duty.capacity_margin" },
    matter: "flow",
    needs: missingOf({
      "duty.mass_flow": duty.mass_flow,
      "duty.largest_valve_drop": duty.largest_valve_drop,
      "duty.capacity_margin": duty.capacity_margin,
    }),
    absent: noLiquid,
    unit: "%",
  });
  const backwards = backwardWords(context);
  return backwards === undefined ? check : failedWith(check, backwards);
}

/** A check that has a number which means nothing here: the finding stands in its place. */
function failedWith(check: Check, finding: string): Check {
  if (check.kind !== "known") return check;
  const { value: _, band: __, margin: ___, ...frame } = check;
  // Its probability is that of the number, which means nothing here either.
  return { ...frame, kind: "failed", verdict: "fails", finding, probability: undefined };
}

const chokeDefinition: CheckDefinition = {
  id: "choke",
  designChecks: ["choke"],
  failureModes: ["cav-erosion"],
  name: "Choking margin",
  dimension: "ratio",
  equation: "dp / (F_L^2 (p1 - F_F p_v)), F_F = 0.96 - 0.28 sqrt(p_v / p_c)",
  source: "iec60534-2-1, choked flow of liquids",
  assumptions: [
    "The vapour pressure is that of the fluid at the valve inlet; the line's heat is in its declared temperature.",
  ],
};

function choke(context: Context): Check {
  return judge(context, chokeDefinition, {
    column: "choke-ratio",
    limit: { most: 1, words: "the drop at which the flow chokes" },
    matter: "flow",
    needs: [...operatingFaults(context.prediction.dossier), ...forwardNeeds(context)],
    absent: noLiquid,
    assumptions: [...operating(context), ...worstAt(context, "choke_rad"), ...flashingWords(context)],
    unit: "",
  });
}

const cavitationDefinition: CheckDefinition = {
  id: "cavitation",
  designChecks: ["cavitation"],
  failureModes: ["cav-erosion"],
  name: "Cavitation index",
  dimension: "ratio",
  equation: "x_F / x_Fz, x_F = dp / (p1 - p_v)",
  source: "iec60534-8-4, differential pressure ratio",
  assumptions: [
    "Beyond the onset cavitation is heard and in time erodes; a short passage while it opens is accepted.",
  ],
};

function cavitation(context: Context): Check {
  const check = judge(context, cavitationDefinition, {
    column: "cavitation-ratio",
    limit: { most: 1, words: "valve.cavitation_onset" },
    matter: "flow",
    needs: [...operatingFaults(context.prediction.dossier), ...forwardNeeds(context)],
    absent: hasFlow(context) ? "valve.cavitation_onset" : noLiquid,
    assumptions: [...operating(context), ...worstAt(context, "cavitation_rad")],
    unit: "",
  });
  const boiling = boilingAhead(context);
  return boiling === undefined ? check : failedWith(check, boiling);
}

/** Liquid that boils ahead of the valve has no cavitation index: its inlet is below the vapour pressure. */
function boilingAhead({ prediction }: Context): string | undefined {
  const { flow } = prediction.nominal;
  if (flow === undefined) return undefined;
  const j = flow.inlet_Pa.findIndex(
    (inlet, k) => (flow.massFlow_kg_s[k] ?? 0) > 0 && inlet <= flow.vapourPressure_Pa,
  );
  if (j < 0) return undefined;
  const inlet = quantityWords(flow.inlet_Pa[j] ?? 0, "pressure");
  const boils = quantityWords(flow.vapourPressure_Pa, "pressure");
  const angle = quantityWords(flow.angle_rad[j] ?? 0, "angle", "deg");
  return `the liquid boils ahead of the valve: at ${angle} its inlet is at ${inlet}, the vapour pressure is ${boils}`;
}

const velocityDefinition: CheckDefinition = {
  id: "velocity-body",
  designChecks: ["velocity-body"],
  failureModes: [],
  name: "Velocity through the bore",
  dimension: "speed",
  equation: "v = |m| / (rho pi d^2 / 4)",
  source: "common practice, no source",
  assumptions: ["Mean velocity of the liquid in the full bore, wide open, whichever way it runs."],
};

function velocity(context: Context): Check {
  const largest = context.duty.largest_bore_velocity?.value;
  return judge(context, velocityDefinition, {
    column: "bore-velocity",
    limit: largest === undefined ? undefined : { most: largest, words: "duty.largest_bore_velocity" },
    matter: "flow",
    needs: missingOf({
      "duty.largest_bore_velocity": context.duty.largest_bore_velocity,
      "valve.bore": context.prediction.dossier.valve.valve?.bore,
    }),
    absent: noLiquid,
    unit: "m/s",
  });
}

function sentence(context: Context): string {
  const massFlow = nominalValue(context, "mass-flow");
  const drop = nominalValue(context, "valve-drop");
  if (massFlow === undefined || drop === undefined) return unanswered(context);
  const wanted = context.duty.mass_flow?.value;
  const band = bandFor(context, "mass-flow");
  const flowed = valueWords(massFlow, band, "mass flow", "kg/s");
  const within =
    band === undefined ? "" : `${percentWords(band.coverage)} ${bandWords(band, "mass flow", "kg/s")}`;
  const asked = wanted === undefined ? "" : `wanted ${quantityWords(wanted, "mass flow", "kg/s")}`;
  const brackets = [within, asked].filter((part) => part !== "").join("; ");
  const across = valueWords(drop, bandFor(context, "valve-drop"), "pressure difference");
  const chance = wanted === undefined ? undefined : chanceOf(context, "mass-flow", { least: wanted });
  const reached =
    chance === undefined || wanted === undefined
      ? ""
      : `; the probability that line and valve together pass the wanted flow is ${probabilityWords(chance)}`;
  const backwards = backwardWords(context);
  if (backwards !== undefined)
    return `It does not pass the flow: ${backwards}, ${quantityWords(Math.abs(massFlow), "mass flow", "kg/s")} wide open.`;
  const back = backwardShare(context);
  const boils = isFlashingOpen(context) ? " Behind it the liquid boils." : "";
  return `Wide open it passes ${flowed}${brackets === "" ? "" : ` (${brackets})`} with a drop of ${across} across the valve${reached}${back === undefined ? "" : `; ${back}`}.${boils}`;
}

function unanswered(context: Context): string {
  const { prediction, conditions } = context;
  const missing = prediction.missing.flow;
  if (missing.length > 0) return missingWords(missing, faultsAmong(context, missing));
  if (conditions.fluid === "none") return "Not known from this case: the valve is dry in it.";
  return "Not known from this case: its outlet is blocked and no liquid flows.";
}
