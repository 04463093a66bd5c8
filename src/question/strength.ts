/** Strength of what carries the torque, in question 5: checks, sentence and drivers. */
import {
  capacityFigure,
  largestCurrentFigure,
  leastCurrentFigure,
  limitFaults,
  marginFigure,
  ownBand,
  ownProbability,
  type PathElement,
  roomFigure,
  type StrengthAnswer,
} from "../predict/index.js";
import { type Check, type CheckDefinition, marginTo, verdictOf } from "./check.js";
import { type Context, faultsAmong } from "./context.js";
import { failing, judgeOwn, waiting } from "./judgeOwn.js";
import type { Finding } from "./question.js";
import { rankOwnDrivers } from "./rankDrivers.js";
import { shockFigures } from "./shockFigures.js";
import {
  bearingDefinition,
  currentDefinition,
  jointDefinition,
  momentaryDefinition,
  ratedDefinition,
  repeatedDefinition,
  stopDefinition,
  torsionDefinition,
} from "./strengthDefinitions.js";
import { strengthFigures, strengthTables } from "./strengthFigures.js";
import { kindWords, loadWords, worstLoad } from "./strengthLoads.js";
import { everyOf, everySection, materialChecks, refusedParts, toughNeed } from "./strengthMaterials.js";
import { ampere, noWindow, windowOf } from "./strengthWindow.js";
import { bandWords, listWords, missingWords, percentWords, quantityWords, valueWords } from "./words.js";

/** One line stands for all joints that nobody has declared. */
const everyJoint = "valve.stem.joints: each joint from ball to gearbox";

/** What the strength adds to the answer. */
export function strengthFinding(context: Context): Required<Omit<Finding, "verdict">> {
  const answer = context.own.strength;
  const worst = weakest(answer);
  return {
    sentence: sentence(context, answer),
    checks: [
      ...torsions(context, answer),
      ...materialChecks(context, answer),
      ...joints(context, answer),
      ...gears(context, answer),
      ...ofKind(context, answer, "stop", stopDefinition),
      currentLimit(context, answer),
    ],
    figures: [...strengthFigures(context, answer), ...shockFigures(context.own.shock)],
    tables: strengthTables(context, answer),
    drivers:
      worst === undefined
        ? []
        : rankOwnDrivers(context, answer.figures, marginFigure(worst.id), `the margin of ${worst.name}`).map(
            (driver) => ({ ...driver, label: `${driver.label}, for the margin of ${worst.name}` }),
          ),
    notices: answer.notices,
  };
}

function torsions(context: Context, answer: StrengthAnswer): readonly Check[] {
  const sections = ofKind(context, answer, "section", torsionDefinition);
  return sections.length > 0 ? sections : [waiting(torsionDefinition, everySection(context))];
}

function joints(context: Context, answer: StrengthAnswer): readonly Check[] {
  if (answer.joints.length === 0)
    return [
      waiting(bearingDefinition, everyOf(context, "valve.stem.joints", everyJoint)),
      ...ofKind(context, answer, "coupling", jointDefinition),
    ];
  return [
    ...ofKind(context, answer, "bearing", bearingDefinition),
    ...ofKind(context, answer, "shear", jointDefinition),
    ...ofKind(context, answer, "coupling", jointDefinition),
  ];
}

/** A direct drive, whose list of stages is empty, has no gears to ask for. */
function gears(context: Context, answer: StrengthAnswer): readonly Check[] {
  const { drive } = context.prediction.dossier.valve;
  const kinds = [
    ["rated", ratedDefinition],
    ["peak", repeatedDefinition],
    ["momentary", momentaryDefinition],
  ] as const;
  return kinds.flatMap(([kind, definition]) =>
    drive?.stages === undefined
      ? [waiting(definition, ["drive.stages"])]
      : ofKind(context, answer, kind, definition),
  );
}

function ofKind(
  context: Context,
  answer: StrengthAnswer,
  kind: PathElement["kind"],
  definition: CheckDefinition,
): readonly Check[] {
  return answer.elements
    .filter((element) => element.kind === kind)
    .map((element) => elementCheck(context, answer, element, definition));
}

/** Loads whose torque in an element is not known, with what they need. */
function openLoads(
  context: Context,
  answer: StrengthAnswer,
  { carries, loads }: PathElement,
): readonly string[] {
  const needs = loads.flatMap((load) => answer.loadNeeds[load]);
  if (needs.length > 0 || carries !== "drive.stop") return needs;
  return context.own.shock.isStopSoft ? [] : ["drive.stop.stiffness"];
}

/** Parts of a section, or of a joint ("key, shaft"), whose metal is refused: nothing is counted as borne by them. */
function refusedIn(answer: StrengthAnswer, name: string): readonly string[] {
  return [...refusedParts(answer)].filter((part) => part === name || part.startsWith(`${name}, `));
}

function elementCheck(
  context: Context,
  answer: StrengthAnswer,
  element: PathElement,
  definition: CheckDefinition,
): Check {
  const of = element.kind === "stop" ? undefined : element.name;
  const open = openLoads(context, answer, element);
  const needs = [...unfit(answer), ...element.missing];
  const value = answer.figures.nominal[marginFigure(element.id)] ?? Number.NaN;
  needs.push(...refusedIn(answer, element.name).map(toughNeed));
  if (capacityOf(answer, element) <= 0)
    needs.push(`dimensions of ${element.name} that leave something to bear a torque`);
  if (needs.length > 0 || Number.isNaN(value)) return waiting(definition, [...needs, ...open], of);
  const check = judgeOwn(definition, {
    figures: answer.figures,
    figure: marginFigure(element.id),
    limit: { least: 0, words: limitWords(answer, element) },
    wanted: context.wanted,
    unit: "%",
    ...(of === undefined ? {} : { of }),
    assumptions: [
      worstWords(answer, element),
      ...declaredConcentration(context, element),
      ...(open.length > 0 ? [`Other loads are not known: they need ${open.join(", ")}.`] : []),
    ],
  });
  // What is overloaded by one load stays so, whatever the others are.
  return open.length > 0 && check.verdict !== "fails" ? waiting(definition, open, of) : check;
}

/** A keyway whose declared concentration stands for the published one. */
function declaredConcentration(context: Context, { kind, name }: PathElement): readonly string[] {
  if (kind !== "section") return [];
  const given = context.prediction.dossier.valve.valve?.stem?.sections?.find((one) => one.name === name);
  return given?.shape !== "keyed" || given.concentration === undefined
    ? []
    : [
        `The declared concentration, ${given.concentration.text}, stands for the published one of a keyway with its key, 3.0.`,
      ];
}

export function unfit({ unfit: why }: StrengthAnswer): readonly string[] {
  return why === undefined ? [] : [`a case within the data of its solids: ${why}`];
}

function limitWords({ factors }: StrengthAnswer, { kind, carries, loads }: PathElement): string {
  if (kind === "section") return `${factors.words}: FS_y ${factors.yield}, FS_u ${factors.ultimate}`;
  if (kind === "bearing" || kind === "shear") return `${factors.words}: FS_y ${factors.yield}`;
  if (kind === "peak") return `${carries}.peak_torque`;
  return `${carries}.${loads.includes("turning") ? "rated_torque" : "momentary_torque"}`;
}

function worstWords(answer: StrengthAnswer, element: PathElement): string {
  const worst = worstLoad(answer, element);
  const capacity = capacityOf(answer, element);
  if (worst === undefined) return "";
  return `Worst load of the nominal valve: ${loadWords[worst.load]}, ${torqueWords(worst.value * capacity)} of the ${torqueWords(capacity)} that it bears with its factors.`;
}

function capacityOf({ figures }: StrengthAnswer, { id }: PathElement): number {
  return figures.nominal[capacityFigure(id)] ?? Number.NaN;
}

function torqueWords(torque: number): string {
  return valueWords(torque, undefined, "torque", "N m");
}

/**
 * The element with the least margin, of those that a torque at the stem or in the gears can break and
 * whose margin counts: a refused metal and a section that is cut through have none.
 */
function weakest(answer: StrengthAnswer): PathElement | undefined {
  const marginOf = ({ id }: PathElement) => answer.figures.nominal[marginFigure(id)] ?? Number.NaN;
  const counts = (element: PathElement) =>
    !Number.isNaN(marginOf(element)) &&
    refusedIn(answer, element.name).length === 0 &&
    !(capacityOf(answer, element) <= 0);
  return answer.elements
    .filter((element) => !element.loads.includes("turning") && counts(element))
    .toSorted((a, b) => marginOf(a) - marginOf(b))[0];
}

function currentLimit(context: Context, answer: StrengthAnswer): Check {
  const { figures, currentLimit_A: limit } = answer;
  const { dossier } = context.prediction;
  const needs = [
    ...unfit(answer),
    ...(answer.missing.current ?? []),
    ...[...refusedParts(answer)].map(toughNeed),
    ...limitFaults(dossier, "opening"),
    ...limitFaults(dossier, "closing"),
  ];
  if (needs.length > 0 || limit === undefined) return waiting(currentDefinition, needs);
  const { wanted } = context;
  const window = windowOf(answer);
  const none = noWindow(window);
  if (none !== undefined) return failing(currentDefinition, none, { wanted });
  const { least, most, part } = window;
  const range = Number.isFinite(most)
    ? { least, most, words: `torque margin, and what ${part} bears` }
    : { least, words: "torque margin; all that the voltage allows is borne" };
  const room = figures.samples[roomFigure] ?? new Float64Array(0);
  const probability = ownBand(room) === undefined ? undefined : ownProbability(room, { least: 0 });
  const open = answer.loadNeeds.jammed;
  return {
    ...currentDefinition,
    assumptions: [
      ...currentDefinition.assumptions,
      ...(open.length > 0 ? ["Jam and strokes are not known: the locked rotor alone is in it."] : []),
      ...spreadWords(answer),
    ],
    unit: "A",
    standing: "judged",
    kind: "known",
    verdict: verdictOf(limit, range, probability, wanted),
    value: limit,
    band: undefined,
    ...(probability === undefined ? { isNominal: true } : {}),
    limit: range,
    margin: marginTo(limit, range),
    probability,
    wanted,
  };
}

/** Bands of both ends, since the limits themselves are uncertain. */
function spreadWords({ figures }: StrengthAnswer): readonly string[] {
  const ends = [
    ["The torque margin needs at least", leastCurrentFigure],
    ["Strength allows at most", largestCurrentFigure],
  ] as const;
  return ends.flatMap(([words, figure]) => {
    const band = ownBand(figures.samples[figure] ?? new Float64Array(0));
    if (band === undefined || !Number.isFinite(band.high)) return [];
    return [`${words} ${bandWords(band, "current", "A")} in ${percentWords(band.coverage)} of the samples.`];
  });
}

function sentence(context: Context, answer: StrengthAnswer): string {
  const worst = weakest(answer);
  if (!answer.isDeclared) {
    const open = [...everySection(context), ...everyOf(context, "valve.stem.joints", everyJoint)];
    return missingWords(open, faultsAmong(context, open));
  }
  const refused = refusedWords(answer);
  if (worst === undefined) {
    const needs = [...unfit(answer), ...answer.elements.flatMap(({ missing }) => missing)];
    const open = [...new Set(needs.length > 0 ? needs : answer.loadNeeds["locked rotor"])];
    return open.length === 0 && refused !== "" ? `Not known.${refused}` : `${missingWords(open)}${refused}`;
  }
  const figure = marginFigure(worst.id);
  const margin = answer.figures.nominal[figure] ?? Number.NaN;
  const band = ownBand(answer.figures.samples[figure] ?? new Float64Array(0));
  const within =
    band === undefined ? "" : `, ${percentWords(band.coverage)} ${bandWords(band, "ratio", "%")}`;
  const load = worstLoad(answer, worst);
  const against = load === undefined ? "" : ` against ${loadWords[load.load]}`;
  const open = [...new Set(answer.elements.flatMap((element) => openLoads(context, answer, element)))];
  const others = open.length === 0 ? "" : ` What jam, strokes and stop do is not known.`;
  const weakestWords = refused === "" ? "Weakest is" : "Weakest of those that count is";
  return `${weakestWords} ${worst.name}${kindWords[worst.kind]}: margin ${valueWords(margin, band, "ratio", "%")}${against} (${within === "" ? "" : `${within.slice(2)}; `}limit 0 %).${refused}${others} ${currentWords(answer)}`.trim();
}

/** Names the parts of a refused metal, which no margin speaks of. */
function refusedWords(answer: StrengthAnswer): string {
  const parts = [...refusedParts(answer)];
  if (parts.length === 0) return "";
  return parts.length === 1
    ? ` The metal of ${parts[0]} is refused, as it may break without yielding: its margin does not count.`
    : ` The metals of ${listWords(parts)} are refused, as they may break without yielding: their margins do not count.`;
}

/** The interval in which margin and strength hold together. */
function currentWords(answer: StrengthAnswer): string {
  const { currentLimit_A: limit } = answer;
  const isOpen = (answer.missing.current ?? []).length > 0 || refusedParts(answer).size > 0;
  if (isOpen || limit === undefined || answer.unfit !== undefined) return "";
  const window = windowOf(answer);
  const none = noWindow(window);
  if (none !== undefined) return `${none.charAt(0).toUpperCase()}${none.slice(1)}.`;
  const { least, most } = window;
  const range = Number.isFinite(most)
    ? `between ${ampere(least)} and ${ampere(most)}`
    : `from ${ampere(least)} on`;
  return `Torque margin and strength hold together with a current limit ${range}; it is ${quantityWords(limit, "current", "A")}.`;
}
