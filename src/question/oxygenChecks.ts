import type { Check, CheckDefinition } from "./check.js";
import { type Context, faultsAmong } from "./context.js";
import { failing, judgeOwn, waiting } from "./judgeOwn.js";
import { counted, everyPart, noData } from "./oxygenCounts.js";
import {
  configurationOf,
  configurationQuestions,
  needsOf,
  oxygenFieldsOf,
  type Part,
  partsOf,
} from "./oxygenFacts.js";
import { PartFacts } from "./oxygenPartFacts.js";
import { heatOfCombustion, latestWord, rubbingOf, type ScreenRow } from "./oxygenScreen.js";
import { velocityChecks } from "./oxygenVelocity.js";
import { unsigned } from "./signed.js";
import { quantityWords } from "./words.js";

const screenDefinition: CheckDefinition = {
  id: "ignition-screen",
  designChecks: ["ign-screen"],
  failureModes: [
    "particle-ign",
    "compress-ign",
    "friction-ign",
    "mech-impact-ign",
    "promoted-ign",
    "contam-ign",
    "resonance-ign",
  ],
  name: "Ignition mechanism screen",
  dimension: "number",
  equation: "for each part and mechanism: credible only if all conditions are present at once",
  source: "astm-g88-2021; astm-mnl-36-2007, mechanisms and their conditions, from memory",
  assumptions: [
    "It counts credible pairs of part and mechanism that no specialist has accepted. It clears no part.",
    "Particles are always taken as present. A condition that nobody answered with name and day is open.",
  ],
};

const compressionDefinition: CheckDefinition = {
  id: "compression-temperature",
  designChecks: ["compression-temp"],
  failureModes: ["compress-ign"],
  name: "Compression temperature",
  dimension: "temperature",
  equation: "s(p2, T2) = s(p1, T1); T2 <= T_autoignition - margin",
  source: "astm-g88-2021, pneumatic impact; schmidt-wagner-1985, equation of state",
  assumptions: [
    "Real gas, no heat lost to the wall. The autoignition temperature is of a test at this pressure or a higher one; it ranks, and another lot has another.",
  ],
};

const noneCompressedDefinition: CheckDefinition = {
  ...compressionDefinition,
  name: "Compression temperature, non-metals that compressed gas reaches",
  dimension: "number",
  equation: "number of them = 0",
};

const standingDefinition: CheckDefinition = {
  id: "material-standing",
  designChecks: ["material-standing"],
  failureModes: ["promoted-ign"],
  name: "Nonmetal and metal standing",
  dimension: "number",
  equation: "number of parts of a restricted material without a stated reason",
  source: "astm-g63-2015; astm-g94-2005, standing as in data/oxygen, from memory",
  assumptions: [
    "Each part has a material on file with amount, and of a non-metal autoignition temperature and heat of combustion. Acceptance is the specialist's, whose review is asked for.",
  ],
};

const rubbingDefinition: CheckDefinition = {
  id: "metal-friction-pv",
  designChecks: ["pv-friction"],
  failureModes: ["friction-ign", "seize"],
  name: "Metal friction p v",
  dimension: "number",
  equation: "number of metals that burn and rub on a metal that burns; P v = (F / A) omega r of each",
  source: "astm-g94-2005, friction, from memory",
  assumptions: [
    "P v takes the pressure of the shut valve at the fastest point of the nominal strokes: what the ball reaches as it breaks away, driven by the wound-up train, where the train is declared; else that of stiff parts, which it can exceed several times.",
  ],
};

/** All of them. */
export function partChecks(context: Context, screen: readonly ScreenRow[]): readonly Check[] {
  const parts = partsOf(context);
  return [
    screenCheck(context, screen),
    ...velocityChecks(context, parts),
    ...compressionChecks(context, parts),
    standingCheck(context, parts),
    rubbingCheck(context, parts),
  ];
}

function screenCheck(context: Context, screen: readonly ScreenRow[]): Check {
  if (screen.length === 0) return waiting(screenDefinition, [everyPart]);
  const { specialist, consequence } = oxygenFieldsOf(context) ?? {};
  const credible = screen.filter(({ outcome }) => outcome.kind === "credible");
  const open = screen.flatMap(({ outcome }) => (outcome.kind === "open" ? outcome.needs : []));
  const asked = configurationQuestions.flatMap(({ id }) => {
    const said = configurationOf(context, id);
    return "needs" in said ? said.needs : [];
  });
  const filter = configurationOf(context, "particle_filter");
  const rated = oxygenFieldsOf(context)?.configuration?.particle_filter?.rating;
  const rating =
    "answer" in filter && filter.answer === "yes" && rated === undefined
      ? ["oxygen.configuration.particle_filter.rating"]
      : [];
  const unrated = (["people", "equipment", "test", "because"] as const).flatMap((key) =>
    consequence?.[key] === undefined ? [`oxygen.consequence.${key}`] : [],
  );
  const reviewed = credible.length === 0 ? [] : reviewNeeds(context);
  const needs = [
    ...open,
    ...asked,
    ...rating,
    ...unrated,
    ...unsigned(context, "oxygen.consequence", consequence),
    ...reviewed,
  ];
  if (specialist?.finding === "not accepted")
    return failing(
      screenDefinition,
      `the review by ${specialist.who ?? "a specialist"}${specialist.when === undefined ? "" : ` on ${specialist.when}`} did not accept it: ${specialist.document ?? "no document named"}`,
      { wanted: context.wanted },
    );
  if (needs.length > 0) return waiting(screenDefinition, needs);
  return counted(
    context,
    screenDefinition,
    0,
    { most: 0, words: "credible pairs that no specialist has accepted" },
    [
      `${credible.length} of ${screen.length} pairs are credible${credible.length === 0 ? "" : `, accepted by ${specialist?.who} on ${specialist?.when}: ${specialist?.document}`}.`,
    ],
    "pairs",
  );
}

/** What a review by a specialist lacks; one that is older than what it reviews counts for nothing. */
function reviewNeeds(context: Context): readonly string[] {
  const { specialist = {} } = oxygenFieldsOf(context) ?? {};
  const latest = latestWord(context);
  return [
    ...unsigned(context, "oxygen.specialist", specialist),
    ...(specialist.finding === undefined ? ["oxygen.specialist.finding"] : []),
    ...(specialist.finding === "not accepted"
      ? ["oxygen.specialist: a review that accepts what the last one did not"]
      : []),
    ...(specialist.document === undefined ? ["oxygen.specialist.document"] : []),
    ...(specialist.when !== undefined && latest !== undefined && specialist.when < latest
      ? [`oxygen.specialist.when: a review after ${latest}, when the section last changed`]
      : []),
  ];
}

function compressionChecks(context: Context, parts: readonly Part[]): readonly Check[] {
  if (parts.length === 0) return [waiting(compressionDefinition, [everyPart])];
  const missing = noData(context);
  if (missing.length > 0) return [waiting(compressionDefinition, missing)];
  const reached = parts.flatMap((part) => {
    const facts = new PartFacts(context, part, parts);
    const { isNonMetal, isReached, shutIn } = facts;
    return [isNonMetal, isReached, shutIn].some(({ state }) => state === "absent") ? [] : [{ part, facts }];
  });
  if (reached.length === 0)
    return [
      counted(context, noneCompressedDefinition, 0, { most: 0, words: "none is reached" }, [
        "As the table of mechanisms says of each part, and on whose word.",
      ]),
    ];
  const { compression } = context.own.oxygen;
  const margin = oxygenFieldsOf(context)?.ignition_margin?.value;
  return reached.map(({ part, facts }) => {
    const ignition = facts.autoignition;
    const unclear = [facts.isNonMetal, facts.isReached, facts.shutIn].flatMap((fact) =>
      fact.state === "open" ? fact.needs : [],
    );
    const needs = [
      ...unclear,
      ...needsOf(compression, "compressed"),
      ...(margin === undefined ? ["oxygen.ignition_margin"] : []),
      ...(typeof ignition === "number" ? [] : ignition),
    ];
    if (needs.length > 0 || margin === undefined || typeof ignition !== "number")
      return waiting(compressionDefinition, needs, part.name);
    return judgeOwn(compressionDefinition, {
      figures: compression.figures,
      figure: "compressed",
      limit: { most: ignition - margin, words: "autoignition temperature less oxygen.ignition_margin" },
      wanted: context.wanted,
      of: part.name,
      unit: "K",
      assumptions: [
        ...compressionWords(context),
        `Autoignition ${quantityWords(ignition, "temperature", "K")}, margin ${quantityWords(margin, "temperature difference", "K")}.`,
      ],
    });
  });
}

/** From what to what the gas is compressed. */
function compressionWords(context: Context): readonly string[] {
  const { compression, jets } = context.own.oxygen;
  const {
    initial_pressure: p1,
    initial_temperature: T1,
    final_pressure,
  } = oxygenFieldsOf(context)?.compression ?? {};
  const p2 = compression.figures.nominal.final ?? Number.NaN;
  if (p1 === undefined || T1 === undefined) return [];
  const supply = jets.figures.nominal.pressure ?? Number.NaN;
  const isBelow = final_pressure !== undefined && final_pressure.value < supply;
  return [
    `Compressed from ${quantityWords(p1.value, "pressure")} at ${quantityWords(T1.value, "temperature", "degC")} to ${quantityWords(p2, "pressure")}${
      isBelow
        ? `, as declared: below the highest supply pressure of duty and cases, ${quantityWords(supply, "pressure")}`
        : ""
    }.`,
  ];
}

function standingCheck(context: Context, parts: readonly Part[]): Check {
  if (parts.length === 0) return waiting(standingDefinition, [everyPart]);
  const missing = noData(context);
  if (missing.length > 0) return waiting(standingDefinition, missing);
  const restricted = parts.filter(
    ({ standing, fields }) => standing?.standing === "restricted" && fields.justification === undefined,
  );
  if (restricted.length > 0)
    return failing(
      standingDefinition,
      `of a restricted material and without a reason: ${restricted.map(({ name, standing }) => `${name}, ${standing?.name}`).join("; ")}`,
      { wanted: context.wanted, limit: { most: 0, words: "none" }, unit: "parts" },
    );
  const needs = [...parts.flatMap((part) => standingNeeds(context, part, parts)), ...reviewNeeds(context)];
  if (needs.length > 0) return waiting(standingDefinition, needs);
  const reasons = parts.flatMap(({ name, standing, fields }) =>
    standing?.standing === "restricted" ? [`${name}: ${fields.justification}`] : [],
  );
  return counted(
    context,
    standingDefinition,
    0,
    { most: 0, words: "none" },
    reasons.length === 0 ? [] : [`Restricted, with the reason given for it: ${reasons.join("; ")}.`],
  );
}

function standingNeeds(context: Context, part: Part, parts: readonly Part[]): readonly string[] {
  const { path, fields, standing } = part;
  const { kind } = fields;
  if (kind === undefined) return [`${path}.kind`];
  const facts = new PartFacts(context, part, parts);
  const ignition = kind === "metal" || isDryFilm(part) ? 0 : facts.autoignition;
  return [
    ...(standing === undefined ? [facts.noStanding] : []),
    ...(fields.mass === undefined ? [`${path}.mass`] : []),
    ...(kind === "metal" && fields.thickness === undefined ? [`${path}.thickness`] : []),
    ...(kind !== "metal" && fields.beside === undefined ? [`${path}.beside`] : []),
    ...(typeof ignition === "number" ? [] : ignition),
    ...(kind === "metal" || isDryFilm(part) || heatOfCombustion(context, part) !== undefined
      ? []
      : [`${path}.heat_of_combustion`]),
    ...unsigned(context, path, fields),
  ];
}

/** A mineral film has neither an autoignition temperature nor a heat of combustion on file, and needs none. */
function isDryFilm({ standing }: Part): boolean {
  return standing?.isMineral === true;
}

function rubbingCheck(context: Context, parts: readonly Part[]): Check {
  if (parts.length === 0) return waiting(rubbingDefinition, [everyPart]);
  const missing = noData(context);
  if (missing.length > 0) return waiting(rubbingDefinition, missing);
  const found = parts.map((part) => {
    const facts = new PartFacts(context, part, parts);
    return { part, of: [facts.rubs, facts.rubsMetalOnMetal, facts.bothBurn] };
  });
  const rubbing = found.filter(({ of }) => of.every(({ state }) => state === "present"));
  if (rubbing.length > 0)
    return failing(
      rubbingDefinition,
      `metal that burns rubs on another that does: ${rubbing.map(({ part }) => rubbingWords(context, part)).join("; ")}`,
      {
        wanted: context.wanted,
        limit: { most: 0, words: "no metal that burns rubs on another" },
        unit: "parts",
      },
    );
  const needs = found.flatMap(({ of }) =>
    of.some(({ state }) => state === "absent")
      ? []
      : of.flatMap((fact) => (fact.state === "open" ? fact.needs : [])),
  );
  const faults = faultsAmong(
    context,
    parts.map(({ path }) => `${path}.rubs`),
  );
  if (needs.length + faults.length > 0) return waiting(rubbingDefinition, [...needs, ...faults]);
  return counted(
    context,
    rubbingDefinition,
    0,
    { most: 0, words: "no metal that burns rubs on another" },
    parts
      .filter(({ fields }) => fields.contact !== undefined)
      .map((part) => `${rubbingWords(context, part)}.`),
  );
}

function rubbingWords(context: Context, part: Part): string {
  const found = rubbingOf(context, part);
  return `${part.name}, P v ${"needs" in found ? "not known" : quantityWords(found.value, "heat flux")}`;
}
