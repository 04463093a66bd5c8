/** Checks of the stem's life, flaw and materials, in question 5. */
import { materialNamed } from "../dossier/index.js";
import {
  crackId,
  fatigueId,
  flawFigure,
  leastFlawFigure,
  leastLifeFigure,
  lifeFigure,
  type PathMaterial,
  type StrengthAnswer,
} from "../predict/index.js";
import type { Check, CheckDefinition } from "./check.js";
import { type Context, faultsAmong } from "./context.js";
import { failing, judgeOwn, waiting } from "./judgeOwn.js";
import {
  brittleDefinition,
  fatigueDefinition,
  flawDefinition,
  toughnessDefinition,
} from "./strengthDefinitions.js";
import { quantityWords } from "./words.js";

/** One line for all items of a list that nobody has declared; the list itself where it has a fault. */
export function everyOf(context: Context, path: string, line: string): readonly string[] {
  return faultsAmong(context, [path]).length > 0 ? [path] : [line];
}

export function everySection(context: Context): readonly string[] {
  return everyOf(
    context,
    "valve.stem.sections",
    "valve.stem.sections: each section from ball to gearbox, where it is weakest",
  );
}

/** Life, flaw, toughness and brittleness. */
export function materialChecks(context: Context, answer: StrengthAnswer): readonly Check[] {
  return [
    ofSections(context, answer, fatigueDefinition, leastLifeFigure, lifeFigure, fatigueId, [
      "opening",
      "closing",
    ]),
    ofSections(context, answer, flawDefinition, leastFlawFigure, flawFigure, crackId, [
      "locked rotor",
      "jammed",
      "opening",
      "closing",
    ]),
    ...toughness(context, answer),
    brittleness(context, answer),
  ];
}

function ofSections(
  context: Context,
  answer: StrengthAnswer,
  definition: CheckDefinition,
  least: string,
  figureOf: (j: number) => string,
  idOf: (j: number) => string,
  loads: readonly ("locked rotor" | "jammed" | "opening" | "closing")[],
): Check {
  const { sections, figures, missing, loadNeeds, unfit } = answer;
  if (sections.length === 0) return waiting(definition, everySection(context));
  const refused = refusedParts(answer);
  const needs = [
    ...(unfit === undefined ? [] : [`a case within the data of its solids: ${unfit}`]),
    ...sections.flatMap((_, j) => missing[idOf(j)] ?? []),
    ...loads.flatMap((load) => loadNeeds[load]),
    ...sections.flatMap(({ name }) => (refused.has(name) ? [toughNeed(name)] : [])),
  ];
  if (needs.length > 0) return waiting(definition, needs);
  const worst = sections
    .map(({ name }, j) => ({ name, value: figures.nominal[figureOf(j)] ?? Number.NaN }))
    .toSorted((a, b) => a.value - b.value)[0];
  return judgeOwn(definition, {
    figures,
    figure: least,
    limit: { least: 1, words: limitOf(context, answer, definition) },
    wanted: context.wanted,
    unit: "",
    assumptions: [`Least of all sections: ${worst?.name}.`],
  });
}

function limitOf(context: Context, { factors }: StrengthAnswer, definition: CheckDefinition): string {
  const given = context.prediction.dossier.valve.valve?.strength;
  return definition === fatigueDefinition
    ? `${factors.life} times ${given?.life_cycles?.value} cycles, ${factors.words}`
    : `FS_u ${factors.ultimate}, ${factors.words}`;
}

/** Least lateral expansion of high-alloy steels [m] [asme-b31.3-2016, 323.3.5, from memory]. */
const usualExpansion = 0.38e-3;

/** Each metal of the path once, at the coldest of its parts. */
function metals({ materials }: StrengthAnswer): readonly PathMaterial[] {
  const byId = new Map<string, PathMaterial>();
  for (const one of materials) {
    if (one.material.kind !== "metal") continue;
    const known = byId.get(one.material.id);
    // A part whose temperature is not known may be the coldest.
    if (known === undefined || Number.isNaN(one.temperature_K) || one.temperature_K < known.temperature_K)
      byId.set(one.material.id, one);
  }
  return [...byId.values()];
}

function toughness(context: Context, answer: StrengthAnswer): readonly Check[] {
  const { valve } = context.prediction.dossier;
  const given = valve.valve?.strength;
  const leastPath = "valve.strength.least_lateral_expansion";
  const least = given?.least_lateral_expansion?.value ?? usualExpansion;
  const all = metals(answer);
  if (all.length === 0) return [waiting(toughnessDefinition, everySection(context))];
  return all.map(({ material, temperature_K, needs: open }) => {
    const of = material.name;
    if (Number.isNaN(temperature_K)) return waiting(toughnessDefinition, open, of);
    const T = quantityWords(temperature_K, "temperature", "K");
    const tests = (given?.impact_tests ?? []).filter(
      ({ material: name, temperature }) =>
        materialNamed(valve, name)?.id === material.id &&
        temperature !== undefined &&
        temperature.value <= temperature_K,
    );
    const found = tests.flatMap(({ lateral_expansion: one }) => (one === undefined ? [] : [one.value]));
    const needs = [
      ...(found.length === 0 ? [`valve.strength.impact_tests: a Charpy test of ${of} at or below ${T}`] : []),
      ...faultsAmong(context, [leastPath]),
    ];
    if (needs.length > 0) return waiting(toughnessDefinition, needs, of);
    const certificates = tests.flatMap(({ certificate }) => (certificate === undefined ? [] : [certificate]));
    return judgeOwn(toughnessDefinition, {
      figures: constant("expansion", Math.min(...found)),
      figure: "expansion",
      limit: {
        least,
        words: given?.least_lateral_expansion === undefined ? "asme-b31.3-2016, 323.3.5" : leastPath,
      },
      wanted: context.wanted,
      of,
      unit: "mm",
      assumptions: certificates.length === 0 ? [] : [`Shown by: ${certificates.join("; ")}.`],
    });
  });
}

/** Figures of one number that nothing uncertain enters. */
function constant(figure: string, value: number) {
  return { nominal: { [figure]: value }, samples: {}, paths: [], points: new Float64Array(0), count: 0 };
}

/** Why a metal may be brittle at its temperature, or undefined where it stays tough. */
function risk({ material, temperature_K: T }: PathMaterial): string | undefined {
  const { file } = material;
  if (Number.isNaN(T)) return undefined;
  if (file.brittle_below !== undefined)
    return T <= file.brittle_below.T_K
      ? `${material.name} at ${quantityWords(T, "temperature", "K")}, ${file.structure}, may break without yielding below ${file.brittle_below.T_K} K, ${file.brittle_below.limit}`
      : undefined;
  if (file.structure.startsWith(tough)) return undefined;
  return `${material.name} at ${quantityWords(T, "temperature", "K")}, ${file.structure}, has no transition on file`;
}

const tough = "face-centred cubic";

/** Whether its data tell nothing of how it breaks. */
function isUnstated({ file }: PathMaterial["material"]): boolean {
  return file.structure === "not stated" && file.brittle_below === undefined;
}

/** Parts whose metal may be brittle and that nobody has accepted: their strength says nothing of how they break. */
export function refusedParts({ materials }: StrengthAnswer): ReadonlySet<string> {
  return new Set(
    materials
      .filter(
        (one) =>
          one.material.kind === "metal" &&
          one.justification === undefined &&
          !isUnstated(one.material) &&
          risk(one) !== undefined,
      )
      .map(({ part }) => part),
  );
}

/** What a check of a refused part waits for. */
export function toughNeed(part: string): string {
  return `a metal of ${part} that stays tough at its temperature, or the justification of this one`;
}

function brittleness(context: Context, answer: StrengthAnswer): Check {
  const parts = answer.materials.filter(({ material }) => material.kind === "metal");
  if (parts.length === 0) return waiting(brittleDefinition, everySection(context));
  const unnamed = answer.elements.flatMap(({ missing }) =>
    missing.filter((path) => path.endsWith("material")),
  );
  const open = parts.flatMap(({ material, temperature_K, needs }) => {
    if (material.file.structure.startsWith(tough)) return [];
    if (isUnstated(material)) return [`structure of ${material.name} in its data file`];
    return Number.isNaN(temperature_K) ? needs : [];
  });
  const risks = parts.flatMap((one) => {
    const why = isUnstated(one.material) ? undefined : risk(one);
    return why === undefined ? [] : [{ ...one, why }];
  });
  const refused = risks.filter(({ justification }) => justification === undefined);
  const limit = { most: 0, words: "parts that may be brittle and that nobody has accepted" };
  if (refused.length > 0)
    return failing(
      brittleDefinition,
      `refused: ${refused.map(({ part, why }) => `${part}, ${why}`).join("; ")}`,
      { wanted: context.wanted, limit, unit: "parts" },
    );
  if (unnamed.length + open.length > 0) return waiting(brittleDefinition, [...unnamed, ...open]);
  return judgeOwn(brittleDefinition, {
    figures: constant("brittle", 0),
    figure: "brittle",
    limit,
    wanted: context.wanted,
    unit: "parts",
    assumptions: [
      `${parts.length} parts have a declared material on file.`,
      ...risks.map(
        ({ part, why, justification }) => `${part}: ${why}. Accepted by this word: ${justification}.`,
      ),
    ],
  });
}
