/** Checks of question 8 on records: cleaning, lubricants, continuity, oxygen where the drive stands. */
import { isFaulty, oxygenLimits } from "../dossier/index.js";
import type { OwnFigures } from "../predict/index.js";
import type { Check, CheckDefinition } from "./check.js";
import type { Context } from "./context.js";
import { failing, judgeOwn, waiting } from "./judgeOwn.js";
import { counted } from "./oxygenCounts.js";
import { cleaningOf, continuityOf, driveSpaceOf } from "./oxygenEvidence.js";
import { configurationOf, oxygenFieldsOf, type Part, partsOf } from "./oxygenFacts.js";
import { unsigned } from "./signed.js";
import { quantityWords } from "./words.js";

const cleanDefinition: CheckDefinition = {
  id: "cleanliness",
  designChecks: ["clean"],
  failureModes: ["contam-ign", "mech-impact-ign", "contam-jam"],
  name: "Cleanliness level with record",
  dimension: "length",
  equation: "particle found <= particle allowed, residue found <= residue allowed, every field of the record",
  source: "astm-g93-2019; eiga-33-2018, fields of a record, from memory",
  assumptions: [
    "The record is of this valve as assembled, and nothing was opened since.",
    "Limits are those that bind the stand: documents ask from 10 to 500 mg/m2.",
  ],
};

const lubricantDefinition: CheckDefinition = {
  id: "lubricant",
  designChecks: ["lube"],
  failureModes: ["contam-ign", "grease"],
  name: "Lubricant listed and quantity",
  dimension: "number",
  equation: "number of lubricants that are restricted or stiff at their temperature",
  source: "astm-g63-2015; astm-mnl-36-2007, lubricants, from memory",
  assumptions: ["Each lubricant is listed with batch, amount and the test of that batch in oxygen."],
};

const continuityDefinition: CheckDefinition = {
  id: "electrical-continuity",
  designChecks: ["ground"],
  failureModes: [],
  name: "Electrical continuity",
  dimension: "resistance",
  equation: "max(R_ball-body, R_stem-body) <= 10 ohm",
  source: "iso-17292-2015, antistatic device, from memory",
  assumptions: ["Measured dry and assembled, as declared."],
};

const driveDefinition: CheckDefinition = {
  id: "oxygen-at-drive",
  designChecks: ["leak-oxygen"],
  failureModes: ["stem-leak"],
  name: "Oxygen at packing and gearbox",
  dimension: "ratio",
  equation: "max(x_packing, x_gearbox) <= 23.5 %, and the space purged",
  source: "eiga-04-2018, oxygen enrichment, from memory",
  assumptions: ["Measured as declared, with the valve under pressure; a packing that wears leaks more."],
};

/** All of them. */
export function recordChecks(context: Context): readonly Check[] {
  return [cleanCheck(context), lubricantCheck(context), continuityCheck(context), driveCheck(context)];
}

function cleanCheck(context: Context): Check {
  const record = cleaningOf(context);
  const { cleaning = {}, cleanliness = {} } = oxygenFieldsOf(context) ?? {};
  const found = cleaning.largest_particle?.value;
  const most = cleanliness.largest_particle?.value;
  if (record.fault !== undefined) return failing(cleanDefinition, record.fault, { wanted: context.wanted });
  if (record.missing.length > 0 || found === undefined || most === undefined)
    return waiting(cleanDefinition, record.missing);
  const residue = (value: number | undefined) => quantityWords(value ?? Number.NaN, "mass per area", "mg/m2");
  return judgeOwn(cleanDefinition, {
    figures: single(found),
    figure: "value",
    limit: { most, words: "oxygen.cleanliness.largest_particle" },
    wanted: context.wanted,
    unit: "um",
    assumptions: [
      `Residue ${residue(cleaning.residue?.value)}, allowed ${residue(cleanliness.residue?.value)}; ${record.word}, until ${cleaning.expires}.`,
    ],
  });
}

function single(value: number): OwnFigures {
  return { nominal: { value }, samples: {}, paths: [], points: new Float64Array(0), count: 0 };
}

function lubricantCheck(context: Context): Check {
  const said = configurationOf(context, "lubricated");
  const lubricants = partsOf(context).filter(({ fields }) => fields.kind === "lubricant");
  if ("needs" in said) return waiting(lubricantDefinition, said.needs);
  const limit = { most: 0, words: "none" };
  if (said.answer === "no") {
    return lubricants.length === 0
      ? counted(context, lubricantDefinition, 0, limit, [`No lubricant: ${said.word}.`])
      : failing(
          lubricantDefinition,
          `oxygen.configuration.lubricated says no, and the parts list ${lubricants.map(({ name }) => name).join(", ")}`,
          { wanted: context.wanted },
        );
  }
  if (lubricants.length === 0)
    return waiting(lubricantDefinition, ["oxygen.parts: each lubricant, as there is one"]);
  const bad = lubricants.flatMap((part) => againstLubricant(context, part));
  if (bad.length > 0)
    return failing(lubricantDefinition, bad.join("; "), { wanted: context.wanted, limit, unit: "parts" });
  const needs = lubricants.flatMap((part) => lubricantNeeds(context, part));
  if (needs.length > 0) return waiting(lubricantDefinition, needs);
  return counted(
    context,
    lubricantDefinition,
    0,
    limit,
    lubricants.map(
      ({ name, fields }) =>
        `${name}: batch ${fields.batch}, ${quantityWords(fields.mass?.value ?? Number.NaN, "mass")}, ${fields.tested}.`,
    ),
  );
}

function againstLubricant(context: Context, part: Part): readonly string[] {
  const { name, standing } = part;
  const T = temperatureOf(context, part)?.value;
  const stiff = standing?.stiffBelow;
  return [
    ...(standing?.standing === "restricted" ? [`${name} is a ${standing.name}: not in oxygen`] : []),
    ...(T !== undefined && stiff !== undefined && T < stiff
      ? [
          `${name} is stiff at ${quantityWords(T, "temperature", "K")}: such lubricants may be below ${quantityWords(stiff, "temperature", "K")}`,
        ]
      : []),
  ];
}

/** Temperature of a lubricated place; that of the valve where it is left out. */
function temperatureOf({ conditions, prediction: { dossier } }: Context, { fields, path }: Part) {
  if (fields.temperature !== undefined) return fields.temperature;
  return isFaulty(dossier, `${path}.temperature`) ? undefined : conditions.valve_temperature;
}

function lubricantNeeds(context: Context, part: Part): readonly string[] {
  const { path, fields, standing } = part;
  return [
    ...(standing === undefined ? [`${path}.material: a lubricant on file in data/oxygen`] : []),
    ...(fields.batch === undefined ? [`${path}.batch`] : []),
    ...(fields.mass === undefined ? [`${path}.mass`] : []),
    ...(fields.tested === undefined ? [`${path}.tested`] : []),
    ...(temperatureOf(context, part) === undefined ? [`${path}.temperature`] : []),
    ...unsigned(context, path, fields),
  ];
}

function continuityCheck(context: Context): Check {
  const measured = continuityOf(context);
  if ("needs" in measured) return waiting(continuityDefinition, measured.needs);
  return judgeOwn(continuityDefinition, {
    figures: single(measured.largest),
    figure: "value",
    limit: { most: oxygenLimits.continuity, words: "antistatic device" },
    wanted: context.wanted,
    assumptions: [`Measured: ${measured.word}.`],
  });
}

function driveCheck(context: Context): Check {
  const measured = driveSpaceOf(context);
  if ("needs" in measured) return waiting(driveDefinition, measured.needs);
  const how = { wanted: context.wanted, limit: { most: oxygenLimits.enriched, words: "enriched air" } };
  if (oxygenFieldsOf(context)?.drive_space?.purged === "no" && measured.largest <= oxygenLimits.enriched)
    return failing(driveDefinition, "packing and gearbox are not purged: what leaks can gather", how);
  return judgeOwn(driveDefinition, {
    figures: single(measured.largest),
    figure: "value",
    limit: how.limit,
    wanted: context.wanted,
    unit: "%",
    assumptions: [`Measured: ${measured.word}.`],
  });
}
