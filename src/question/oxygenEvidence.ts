/** Records of question 8 and what they are worth: cleaning, continuity, oxygen where the drive stands. */
import { oxygenLimits } from "../dossier/index.js";
import type { Fact } from "../physics/oxygen/index.js";
import type { Context } from "./context.js";
import { absent, open, present } from "./oxygenFact.js";
import { oxygenFieldsOf } from "./oxygenFacts.js";
import { isStillToCome, stillToComeWords, unsigned, wordOf } from "./signed.js";
import { quantityWords } from "./words.js";

/** Whether soil can lie on what is wetted: absent on the word of a record of the cleaning that holds. */
export function soiled(context: Context): Fact {
  const record = cleaningOf(context);
  if (record.missing.length > 0) return open(record.missing);
  if (record.fault !== undefined) return present(record.fault);
  return absent("clean by its record", record.word);
}

/** The record of the cleaning: what is missing of it, what is wrong with it, on whose word it stands. */
export function cleaningOf(context: Context): {
  readonly missing: readonly string[];
  readonly fault: string | undefined;
  readonly word: string;
} {
  const { cleaning = {}, cleanliness = {} } = oxygenFieldsOf(context) ?? {};
  const path = "oxygen.cleaning";
  const { largest_particle: particle, residue, who, inspector, when, expires } = cleaning;
  const fields = {
    [`${path}.procedure`]: cleaning.procedure,
    [`${path}.method`]: cleaning.method,
    [`${path}.largest_particle`]: particle,
    [`${path}.residue`]: residue,
    [`${path}.inspection`]: cleaning.inspection,
    [`${path}.packaging`]: cleaning.packaging,
    [`${path}.who`]: who,
    [`${path}.inspector`]: inspector,
    [`${path}.when`]: when,
    [`${path}.expires`]: expires,
    "oxygen.cleanliness.largest_particle": cleanliness.largest_particle,
    "oxygen.cleanliness.residue": cleanliness.residue,
  };
  const missing = Object.entries(fields).flatMap(([field, given]) => (given === undefined ? [field] : []));
  const day = context.evidence.day;
  const faults = [
    ...exceeded("particle", particle, cleanliness.largest_particle, "length", "um"),
    ...exceeded("residue", residue, cleanliness.residue, "mass per area", "mg/m2"),
    ...(who !== undefined && who === inspector ? ["who cleaned it inspected it too"] : []),
    ...(when !== undefined && expires !== undefined && expires < when
      ? [`it expires on ${expires}, before it was made on ${when}`]
      : []),
    ...(day !== undefined && expires !== undefined && expires < day ? [`it expired on ${expires}`] : []),
  ];
  return {
    missing: [
      ...missing,
      ...(when !== undefined && isStillToCome(context, when) ? [stillToComeWords(`${path}.when`, when)] : []),
      ...(day === undefined ? ["the day on which it is judged"] : []),
    ],
    fault: faults.length === 0 ? undefined : `the record of the cleaning does not hold: ${faults.join("; ")}`,
    word: `${who}, inspected by ${inspector}, ${when}`,
  };
}

function exceeded(
  what: string,
  found: { readonly value: number } | undefined,
  most: { readonly value: number } | undefined,
  dimension: "length" | "mass per area",
  unit: string,
): readonly string[] {
  if (found === undefined || most === undefined || found.value <= most.value) return [];
  return [
    `${what} ${quantityWords(found.value, dimension, unit)}, allowed ${quantityWords(most.value, dimension, unit)}`,
  ];
}

/** The larger of the measured resistances [ohm], or what is missing of the measurement. */
export function continuityOf(
  context: Context,
): { readonly largest: number; readonly word: string } | { readonly needs: readonly string[] } {
  const { continuity = {} } = oxygenFieldsOf(context) ?? {};
  const path = "oxygen.continuity";
  const { ball_to_body: ball, stem_to_body: stem } = continuity;
  const word = wordOf(context, continuity);
  if (ball === undefined || stem === undefined || word === undefined)
    return {
      needs: [
        ...(ball === undefined ? [`${path}.ball_to_body`] : []),
        ...(stem === undefined ? [`${path}.stem_to_body`] : []),
        ...unsigned(context, path, continuity),
      ],
    };
  return { largest: Math.max(ball.value, stem.value), word };
}

/** The larger of the measured oxygen fractions at packing and gearbox [-], or what is missing. */
export function driveSpaceOf(
  context: Context,
): { readonly largest: number; readonly word: string } | { readonly needs: readonly string[] } {
  const { drive_space: space = {} } = oxygenFieldsOf(context) ?? {};
  const path = "oxygen.drive_space";
  const { purged, packing, gearbox } = space;
  const word = wordOf(context, space);
  if (purged === undefined || packing === undefined || gearbox === undefined || word === undefined)
    return {
      needs: [
        ...(purged === undefined ? [`${path}.purged`] : []),
        ...(packing === undefined ? [`${path}.packing`] : []),
        ...(gearbox === undefined ? [`${path}.gearbox`] : []),
        ...unsigned(context, path, space),
      ],
    };
  return { largest: Math.max(packing.value, gearbox.value), word };
}

/** Facts of the space around the drive. */
export function driveFacts(context: Context): { readonly enriched: Fact; readonly powered: Fact } {
  const measured = driveSpaceOf(context);
  const powered = present("motor, sensor and cable stand there");
  if ("needs" in measured) return { enriched: open(measured.needs), powered };
  const words = `${quantityWords(measured.largest, "ratio", "%")} oxygen at packing or gearbox`;
  return {
    enriched: measured.largest <= oxygenLimits.enriched ? absent(words, measured.word) : present(words),
    powered,
  };
}
