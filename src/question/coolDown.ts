/** The cool-down in question 6: when its measure for the first turn is met, what that spends, what happens on the way. */
import type { CoolDownAnswer } from "../predict/index.js";
import type { Check, CheckDefinition } from "./check.js";
import type { Context } from "./context.js";
import { faultsAmong } from "./context.js";
import { coolDownFigures, coolDownTables, figureWords } from "./coolDownFigures.js";
import { failing, judgeOwn, type OwnJudging, waiting } from "./judgeOwn.js";
import type { Finding } from "./question.js";
import { rankOwnDrivers } from "./rankDrivers.js";
import { valueWords } from "./words.js";

const path = "valve.cold.cool_down";

const timeDefinition: CheckDefinition = {
  id: "cool-down-time",
  designChecks: ["cooldown"],
  failureModes: ["binding"],
  name: "Cool-down time",
  dimension: "time",
  equation:
    "last time at which ball, seats or body is warmer than T_s + near, they differ by more than `alike`, or a fit that follows parts binds; dE_i/dt = -Q_i + sum (T_j - T_i)/R_ij + (T_a - T_i)/R_i",
  source:
    "zuber-1959; berenson-1961; rohsenow-1952; dougall-rohsenow-1963, heat to the coolant; nist-cryogenics-2010, specific heat",
  assumptions: [
    "Each part has one temperature; the pool correlations are those of large flat walls in liquid at rest.",
    "Flow and pressure of the coolant stay as declared; the whole flow passes each wetted part.",
  ],
};

const propellantDefinition: CheckDefinition = {
  id: "cool-down-propellant",
  designChecks: ["cooldown"],
  failureModes: [],
  name: "Cool-down propellant",
  dimension: "mass",
  equation:
    "m = flow t_turn >= sum m_i int cp dT / (h_fg + f cp_v dT), f = 1 the least, f = 0 latent heat alone",
  source:
    "nist-cryogenics-2010, specific heat; latent heat by the equation of state; t_turn as cool-down-time",
  assumptions: [
    "What is let in counts as spent, boiled or not, until the declared measure for the first turn is met.",
  ],
};

const transitDefinition: CheckDefinition = {
  id: "seat-transit",
  designChecks: ["seat-interference", "differential-transient"],
  failureModes: ["binding"],
  name: "Seat interference while it cools",
  dimension: "length",
  equation: "max over cool-down of delta(T_body, T_ball, T_seat) <= delta_max",
  source: "nist-cryogenics-2010, integral contraction; loop derived in docs/theory/cold.md",
  assumptions: [
    "Each part of the loop has its temperature of the cool-down; the body holds the seat ring in its radius.",
  ],
};

/** What the cool-down adds to the answer. */
export interface CoolDownFinding extends Required<Omit<Finding, "verdict">> {
  /** The clearance while it cools of a fit that follows parts; undefined where its declared lag counts. */
  readonly transientOf: (definition: CheckDefinition, place: number, name: string) => Check | undefined;
}

/** Answers for the cool-down of the case. The sentence is empty where there is none. */
export function coolDownFinding(context: Context): CoolDownFinding {
  const answer = context.own.coolDown;
  const isCooled = answer.medium !== "dry" && answer.medium !== "not colder";
  const drivers = isKnown(answer, "turn")
    ? rankOwnDrivers(context, answer.chain.figures, "turn", "the cool-down time").slice(0, mostDrivers)
    : [];
  return {
    sentence: isKnown(answer, "turn") ? sentence(answer) : "",
    checks: isCooled
      ? [
          limited(context, answer, { definition: timeDefinition, figure: "turn", end: "within" }),
          limited(context, answer, {
            definition: propellantDefinition,
            figure: "spent",
            end: "largest_propellant",
          }),
          transit(context, answer),
        ]
      : [],
    figures: coolDownFigures(context, answer),
    tables: coolDownTables(context, answer),
    drivers,
    notices: answer.notices,
    transientOf: (definition, place, name) => transientOf(context, answer, definition, place, name),
  };
}

const mostDrivers = 4;

function needsOf({ medium, chain }: CoolDownAnswer, figure: string): readonly string[] {
  return [
    ...(medium === "no equation of state" ? ["a case whose fluid has an equation of state on file"] : []),
    ...(medium === "starts cold" ? [`${path}.start: a temperature above that of the liquid`] : []),
    ...(chain.unfit === undefined ? [] : [`a case whose cool-down can be followed: ${chain.unfit}`]),
    ...(chain.missing[figure] ?? []),
  ];
}

/** Whether a figure is answered: it may still be a time that does not come. */
function isKnown(answer: CoolDownAnswer, figure: string): boolean {
  return answer.medium === "cooled" && needsOf(answer, figure).length === 0;
}

function fieldsOf({ prediction }: Context) {
  return prediction.dossier.valve.valve?.cold;
}

function limited(
  context: Context,
  answer: CoolDownAnswer,
  {
    definition,
    figure,
    end,
  }: {
    readonly definition: CheckDefinition;
    readonly figure: "turn" | "spent";
    readonly end: "within" | "largest_propellant";
  },
): Check {
  const most = fieldsOf(context)?.cool_down?.[end]?.value;
  const words = `${path}.${end}`;
  const needs = [...needsOf(answer, figure), ...(most === undefined ? [words] : [])];
  if (needs.length > 0 || most === undefined) return waiting(definition, needs);
  const { wanted } = context;
  const limit = { most, words };
  const { nominal } = answer.chain.figures;
  if (Number.isNaN(nominal[figure] ?? Number.NaN))
    return failing(definition, neverWords(context, answer), { wanted, limit });
  return judgeOwn(definition, {
    figures: answer.chain.figures,
    figure,
    limit,
    wanted,
    assumptions: [
      ...(figure === "spent"
        ? [
            `No flow does it with less than ${figureWords(answer, "least", "mass")}, the vapour leaving as warm as the valve was; by latent heat alone it takes ${figureWords(answer, "latent", "mass")}.`,
          ]
        : []),
    ],
  });
}

/** Why the declared measure is never met. */
function neverWords(context: Context, { chain, parts, saturation, history }: CoolDownAnswer): string {
  const { near, alike } = fieldsOf(context)?.cool_down ?? {};
  const turning = parts.flatMap((part, j) =>
    part.kind === "ball" || part.kind === "seat" || part.kind === "body" ? [{ ...part, j }] : [],
  );
  const rests = turning.map(({ rest }) => rest);
  const warm = turning.filter(({ j }) => Number.isNaN(chain.figures.nominal[`cold:${j}`] ?? Number.NaN));
  const kelvin = (T: number) => valueWords(T, undefined, "temperature", "K");
  if (near !== undefined && warm.length > 0)
    return `${warm.map(({ name, rest }) => `${name} comes to rest at ${kelvin(rest)}`).join(", ")}, not within ${near.text} of the ${kelvin(saturation)} at which the coolant boils`;
  const apart = Math.max(...rests) - Math.min(...rests);
  if (alike !== undefined && apart > alike.value)
    return `ball, seats and body come to rest ${valueWords(apart, undefined, "temperature difference", "K")} apart, more than ${alike.text}`;
  const binding = (history?.clearances ?? [])
    .filter(({ value }) => (value.at(-1) ?? 0) < 0)
    .map(({ place }) => fieldsOf(context)?.fits?.[place]?.name ?? `fit ${place + 1}`);
  return `${binding.join(", ")} binds when all parts have come to rest`;
}

function transit(context: Context, answer: CoolDownAnswer): Check {
  const limitPath = "valve.cold.largest_interference";
  const most = fieldsOf(context)?.largest_interference?.value;
  const needs = [...needsOf(answer, "tightest"), ...(most === undefined ? [limitPath] : [])];
  if (needs.length > 0 || most === undefined) return waiting(transitDefinition, needs);
  return judgeOwn(transitDefinition, {
    figures: answer.chain.figures,
    figure: "tightest",
    limit: { most, words: limitPath },
    wanted: context.wanted,
    unit: "mm",
    assumptions: [leastWords(answer)],
  });
}

function leastWords(answer: CoolDownAnswer): string {
  const least = answer.chain.figures.nominal.loosest ?? Number.NaN;
  return least > 0
    ? `At the least ${figureWords(answer, "loosest", "length", "mm")} remain on the way.`
    : "On the way the seats come off the ball: it leaks while it cools.";
}

function transientOf(
  context: Context,
  answer: CoolDownAnswer,
  definition: CheckDefinition,
  place: number,
  name: string,
): Check | undefined {
  const fit = fieldsOf(context)?.fits?.[place];
  const fitPath = `valve.cold.fits[${place}]`;
  const entered = [`${fitPath}.hole_follows`, `${fitPath}.shaft_follows`];
  const follows =
    fit?.hole_follows !== undefined ||
    fit?.shaft_follows !== undefined ||
    faultsAmong(context, entered).length > 0;
  if (!follows || !answer.isDeclared || answer.medium === "dry" || answer.medium === "not colder")
    return undefined;
  const figure = `fit:${place}`;
  const needs = [...needsOf(answer, figure), ...faultsAmong(context, entered)];
  const ownDefinition = {
    ...definition,
    equation: "min over cool-down of d_hole (1 - c_hole(T_hole)) - d_shaft (1 - c_shaft(T_shaft)) >= 0",
    source: "nist-cryogenics-2010, integral contraction; temperatures as cool-down-time",
    assumptions: [
      `Outer part as ${fit?.hole_follows ?? "not known"}, inner part as ${fit?.shaft_follows ?? "not known"} of the cool-down, from its start until all parts are at rest.`,
    ],
  };
  if (needs.length > 0) return waiting(ownDefinition, needs, name);
  const judging: OwnJudging = {
    figures: answer.chain.figures,
    figure,
    limit: { least: 0, words: "no seizure" },
    wanted: context.wanted,
    of: name,
    unit: "mm",
  };
  return judgeOwn(ownDefinition, judging);
}

function sentence(answer: CoolDownAnswer): string {
  const { nominal } = answer.chain.figures;
  if (Number.isNaN(nominal.turn ?? Number.NaN))
    return "The cool-down does not come to where it may be turned.";
  return `The cool-down meets the declared measure for the first turn after ${figureWords(answer, "turn", "time")}, with ${figureWords(answer, "spent", "mass")} of propellant let in.`;
}
