/** Question 10: how does the engine start? Both valves, both propellants, and the chamber that they light. */

import { ownBand, type StartAnswer } from "../predict/index.js";
import { abortCheck } from "./abort.js";
import type { Driver } from "./answer.js";
import type { Check, CheckDefinition } from "./check.js";
import type { Context } from "./context.js";
import { failing, judgeOwn, waiting } from "./judgeOwn.js";
import type { Finding, Question } from "./question.js";
import { rankOwnDrivers } from "./rankDrivers.js";
import { startFigures } from "./startFigures.js";
import { startTables } from "./startTables.js";
import {
  bandWords,
  missingWords,
  percentWords,
  probabilityWords,
  quantityWords,
  valueWords,
} from "./words.js";

/** What every one of these checks rests on. */
const bothValves =
  "This valve moves as question 3 has it, under the drop of the running engine; the other's ball turns at an even speed.";
const quasiSteady =
  "Flow follows opening and pressures at once; the inertia of the liquid and its waves are in question 9.";
const wayOfFilling =
  "The liquid does not flash in what it fills, the gas ahead of it leaves freely, and no liquid passes the injector before all is full.";
const burning =
  "The chamber burns both propellants as they come, with the characteristic velocity of the table, held beyond its ends; nothing flows back.";

const fillDefinition: CheckDefinition = {
  id: "fill-time",
  designChecks: ["priming"],
  failureModes: [],
  name: "Fill time",
  dimension: "time",
  equation: "rho V dx/dt = W, p_T - p_c = (R_u + 1/(rho C^2) + x R_p) W^2, from first flow to x = 1",
  source: "nasa-sp-125, start; nasa-sp-8123, line priming; from memory",
  assumptions: [bothValves, wayOfFilling, quasiSteady],
};

const leadDefinition: CheckDefinition = {
  id: "lead-at-injector",
  designChecks: ["lead-lag"],
  failureModes: [],
  name: "Lead at the injector",
  dimension: "time",
  equation: "t_oxidiser - t_fuel, each when liquid comes to its injector",
  source: "nasa-sp-8123, line priming; the limits are those of the engine",
  assumptions: [bothValves, wayOfFilling],
};

const boxDefinition: CheckDefinition = {
  id: "mixture-ratio-trace",
  designChecks: ["mr-transient"],
  failureModes: [],
  name: "Mixture ratio trace",
  dimension: "ratio",
  equation: "min(r_min / r_least, r_most / r_max) - 1 >= 0, r = W_oxidiser / W_fuel from ignition on",
  source: "nasa-sp-125, start; the box is that of the engine",
  assumptions: [bothValves, quasiSteady, burning],
};

const unburntDefinition: CheckDefinition = {
  id: "accumulated-unburnt-mass",
  designChecks: ["accumulated"],
  failureModes: [],
  name: "Accumulated unburnt mass",
  dimension: "mass",
  equation: "integral of W_oxidiser + W_fuel at the injectors, up to ignition",
  source: "nasa-sp-125, start; the limit is that of the engine",
  assumptions: [
    bothValves,
    wayOfFilling,
    "All that passes the injectors before ignition stays in the chamber: an upper bound of what the start itself brings; what leaked in before it is not in it.",
  ],
};

const stopDefinition: CheckDefinition = {
  id: "shutdown-order",
  designChecks: ["shutdown"],
  failureModes: [],
  name: "Shutdown order",
  dimension: "time",
  equation: "t_fuel - t_oxidiser >= 0, each when its flow falls below a tenth",
  source: "common practice, no source",
  assumptions: [
    bothValves,
    "What stands behind the shut valves still runs out; its mass stands in the table.",
  ],
};

const injectorDefinition: CheckDefinition = {
  id: "injector-pressure-drop-through-start",
  designChecks: ["injector-dp"],
  failureModes: [],
  name: "Injector pressure drop through the start",
  dimension: "ratio",
  equation: "min of R_i W^2 / p_c from ignition on >= least share; 10 to 20 % is usual",
  source: "nasa-sp-125, injector pressure drop; from memory",
  assumptions: [bothValves, quasiSteady, burning],
};

/** Question 10. */
export const start: Question = {
  id: "start",
  number: 10,
  words: "How does the engine start?",
  answer: (context): Finding => {
    const answer = context.own.start;
    const { box } = context.prediction.dossier.valve.engine ?? {};
    const shown = injectorNeeds(answer).length > 0 ? { ...answer, runs: undefined } : answer;
    return {
      sentence: sentence(answer),
      checks: checksOf(context, answer),
      figures: startFigures(shown, { least: box?.least?.value, most: box?.most?.value }),
      tables: startTables(shown, context.own.surge),
      drivers: driversOf(context, answer),
    };
  },
};

function needsOf({ unfit, missing }: StartAnswer): readonly string[] {
  return unfit === undefined ? missing : [unfit];
}

/** What a run lacks of the injectors; a stop and the filling of the other side hold without it. */
function injectorNeeds({ missingOf }: StartAnswer): readonly string[] {
  return [...missingOf.own, ...missingOf.partner];
}

function checksOf(context: Context, answer: StartAnswer): readonly Check[] {
  const engine = context.prediction.dossier.valve.engine ?? {};
  const needs = needsOf(answer);
  const injectors = answer.unfit === undefined ? injectorNeeds(answer) : [];
  const partOf = (part: keyof StartAnswer["missingOf"]) =>
    answer.unfit === undefined ? answer.missingOf[part] : [];
  const judge = (
    definition: CheckDefinition,
    figure: string,
    how: {
      readonly least?: number | undefined;
      readonly most?: number | undefined;
      readonly words: string;
      readonly lacks?: readonly string[];
      /** What it lacks of the parts of a run; left out: both injectors. */
      readonly parts?: readonly string[];
      readonly unit?: string;
      readonly of?: string;
    },
  ): Check => {
    const all = [...needs, ...(how.parts ?? injectors), ...(how.lacks ?? [])];
    if (all.length > 0) return waiting(definition, all, how.of);
    const finding = findingOf(answer, figure);
    if (finding !== undefined)
      return failing(definition, finding, {
        wanted: context.wanted,
        ...(how.of === undefined ? {} : { of: how.of }),
      });
    return judgeOwn(definition, {
      figures: answer.figures,
      figure,
      limit: {
        words: how.words,
        ...(how.least === undefined ? {} : { least: how.least }),
        ...(how.most === undefined ? {} : { most: how.most }),
      },
      wanted: context.wanted,
      ...(how.unit === undefined ? {} : { unit: how.unit }),
      ...(how.of === undefined ? {} : { of: how.of }),
      assumptions: definition.assumptions.includes(burning) ? [tableWords(engine.velocity_source)] : [],
    });
  };
  const lackOf = (value: unknown, path: string) => (value === undefined ? [path] : []);
  const sides = [
    ["own", "this valve's side"],
    ["partner", "the other side"],
  ] as const;
  return [
    abortCheck(context),
    ...sides.map(([id, of]) =>
      judge(fillDefinition, `fill:${id}`, {
        most: engine.fill_within?.value,
        words: "engine.fill_within",
        parts: partOf(id),
        lacks: lackOf(engine.fill_within, "engine.fill_within"),
        unit: "ms",
        of,
      }),
    ),
    judge(leadDefinition, "lead", {
      least: engine.lead?.least?.value,
      most: engine.lead?.most?.value,
      words: "engine.lead",
      lacks: [
        ...lackOf(engine.lead?.least, "engine.lead.least"),
        ...lackOf(engine.lead?.most, "engine.lead.most"),
      ],
      unit: "ms",
    }),
    judge(boxDefinition, "box", {
      least: 0,
      words: "engine.box",
      lacks: [
        ...lackOf(engine.box?.least, "engine.box.least"),
        ...lackOf(engine.box?.most, "engine.box.most"),
      ],
      unit: "%",
    }),
    judge(unburntDefinition, "unburnt", {
      most: engine.largest_unburnt?.value,
      words: "engine.largest_unburnt",
      lacks: lackOf(engine.largest_unburnt, "engine.largest_unburnt"),
      unit: "g",
    }),
    judge(stopDefinition, "stop", {
      least: 0,
      words: "the oxidiser falls first",
      parts: partOf("stop"),
      unit: "ms",
    }),
    judge(stopDefinition, "abort", {
      least: 0,
      words: "the oxidiser falls first",
      parts: partOf("abort"),
      unit: "ms",
      of: "abort",
    }),
    ...sides.map(([id, of]) =>
      judge(injectorDefinition, `injector:${id}`, {
        least: engine.least_injector_share?.value,
        words: "engine.least_injector_share",
        lacks: lackOf(engine.least_injector_share, "engine.least_injector_share"),
        unit: "%",
        of,
      }),
    ),
  ];
}

/** Where the characteristic velocities are from. */
function tableWords(source: string | undefined): string {
  return source === undefined
    ? "Nobody said where the table of characteristic velocities is from."
    : `The table of characteristic velocities is from: ${source}.`;
}

/** What becomes of a figure that has no number at the nominal values; undefined where it has one. */
function findingOf({ figures, runs }: StartAnswer, figure: string): string | undefined {
  if (runs === undefined) return undefined;
  const { start: run } = runs;
  const isLit = run.ignites !== undefined;
  if (!isLit && figure === "unburnt")
    return "does not light within the time that was followed: all that comes stays unburnt";
  if (!isLit && (figure === "box" || figure.startsWith("injector:")))
    return "does not light within the time that was followed";
  const value = figures.nominal[figure];
  if (value === undefined || Number.isFinite(value)) return undefined;
  if (figure === "stop") return "a flow does not fall below a tenth within the time that was followed";
  return "liquid does not come to the injector within the time that was followed";
}

function sentence(answer: StartAnswer): string {
  const { figures, missing, unfit, runs } = answer;
  if (unfit !== undefined) return `Not known: how the engine starts needs ${unfit}.`;
  const lacking = [...missing, ...injectorNeeds(answer)];
  if (lacking.length > 0 || runs === undefined) return missingWords(lacking);
  const { start: run } = runs;
  const of = (figure: string, dimension: "time" | "mass" | "pressure", unit: string) => {
    // What never lights has no such number: the band is that of the samples which do.
    const band = ownBand((figures.samples[figure] ?? new Float64Array(0)).filter(Number.isFinite));
    const value = figures.nominal[figure] ?? Number.NaN;
    const words = valueWords(value, band, dimension, unit);
    return band !== undefined
      ? `${words} (${percentWords(band.coverage)} ${bandWords(band, dimension, unit)})`
      : words;
  };
  const { oxidiser, fuel } = runs.unlit;
  const unlit =
    run.oxidiser.flow > 0 && run.fuel.flow > 0
      ? [
          `Wide open without ignition oxidiser flows at ${(oxidiser.flow / run.oxidiser.flow).toPrecision(3)} times, fuel at ${(fuel.flow / run.fuel.flow).toPrecision(3)} times the lit flow.`,
        ]
      : [];
  const never = neverWords(answer);
  if (run.ignites === undefined)
    return `At the nominal values it does not light within the time that was followed; ${quantityWords(run.unburnt, "mass", "g")} pass the injectors unburnt.${never.map((words) => ` ${words}`).join("")}`;
  const lead = figures.nominal.lead ?? Number.NaN;
  const order = lead < 0 ? "before" : "after";
  return [
    `Oxidiser comes to the injector ${quantityWords(Math.abs(lead), "time", "ms")} ${order} the fuel.`,
    `It lights ${of("ignites", "time", "ms")} after the first command, with ${of("unburnt", "mass", "g")} of propellant unburnt;`,
    `if all of that were still in the chamber and burnt at once, its pressure would reach at most ${of("burnt", "pressure", "bar(a)")}.`,
    ...never,
    `While it burns the mixture ratio lies between ${run.leastRatio.toPrecision(3)} and ${run.mostRatio.toPrecision(3)}.`,
    ...unlit,
    ...triedWords(answer),
    "A later ignition, a longer lead, a slower valve and propellant that leaked in before raise the danger of a hard start.",
  ].join(" ");
}

/** How many samples do not fill or do not light; nothing where all do. */
function neverWords({ figures: { samples, count } }: StartAnswer): readonly string[] {
  const among = (ids: readonly string[]) =>
    Array.from({ length: count }, (_, k) => k).filter((k) =>
      ids.some((id) => !Number.isFinite(samples[id]?.[k] ?? Number.NaN)),
    ).length;
  const unlit = among(["ignites"]);
  if (unlit === 0) return [];
  const told = (some: number) => `${some} of ${count} samples (${percentWords(some / count)})`;
  const unfilled = among(["fill:own", "fill:partner"]);
  return [
    `In ${told(unlit)} it does not light within the time that was followed${
      unfilled > 0
        ? `, in ${unfilled === unlit ? "all of them" : told(unfilled)} because a side does not fill`
        : ""
    }; the bands are those of the samples that do.`,
  ];
}

/** The commands that keep most samples inside, where they do better than the declared ones. */
function triedWords({ offsets, led }: StartAnswer): readonly string[] {
  const declared = offsets[(offsets.length - 1) / 2];
  if (declared === undefined) return [];
  const now = `As declared, lead, mixture ratio and unburnt mass are kept in ${probabilityWords(declared.inside)} of the samples`;
  const best = [...offsets, ...led].reduce(
    (one, other) => (other.inside.estimate > one.inside.estimate ? other : one),
    declared,
  );
  if (best === declared) return [`${now}; no other command that was tried keeps them more often.`];
  const told =
    best.inside.low > declared.inside.high ? "" : "; so few samples do not tell the two apart for certain";
  const command = `the other commanded ${quantityWords(Math.abs(best.offset_s), "time", "ms")} ${best.offset_s < 0 ? "before" : "after"} this one`;
  return [
    `${now}; of the commands tried most often with ${best.words}, ${command}: ${probabilityWords(best.inside)}${told}.`,
  ];
}

function driversOf(context: Context, answer: StartAnswer): readonly Driver[] {
  if (needsOf(answer).length > 0 || injectorNeeds(answer).length > 0) return [];
  const of = (figure: string, words: string) =>
    rankOwnDrivers(context, answer.figures, figure, words).map((driver) => ({
      ...driver,
      label: `${driver.label}, for ${words}`,
    }));
  return [
    ...of("lead", "the lead at the injector"),
    ...of("box", "the mixture ratio against its box"),
    ...of("unburnt", "the unburnt mass"),
  ].toSorted((a, b) => b.share - a.share);
}
