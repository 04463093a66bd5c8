/** The sections of the stem: shape, notch, temperature and strength of each, as figures of a sample. */
import {
  allowedShear,
  enduranceRatio,
  fatigueStrength,
  goodmanFactor,
  holeConcentration,
  holedShare,
  keywayConcentration,
  leastDuctile,
  roundSection,
  sectionShape,
  shoulderConcentration,
  sizeFactor,
  splineConcentration,
  stressIntensity,
  surfaceFactor,
  swing,
  ultimateInTorsion,
} from "../physics/strength/index.js";
import type { Length, Stress, Temperature } from "../quantity/index.js";
import { type Solid, solidProperty } from "../substance/index.js";
import {
  type OfValues,
  once,
  type PathGatherer,
  type PathValues,
  type SectionFields,
  type Strength,
} from "./pathGatherer.js";

/** A section as gathered. */
export interface PathSection {
  readonly id: string;
  readonly path: string;
  readonly name: string;
  readonly shape: SectionFields["shape"];
  readonly material: Solid | undefined;
  readonly justification: string | undefined;
  readonly temperature: OfValues;
  /** Torque over stress: without and with its notch [m3]. */
  readonly plain: OfValues;
  readonly notched: OfValues;
  /** Torque that it may carry with both factors [N m], and the shear that it then has beside the factors [Pa]. */
  readonly capacity: OfValues;
  readonly allowed: OfValues;
  /** Whether the notch counts in the static margin, at the nominal values. */
  readonly countsNotch: boolean;
  /** Factor on Goodman's line at the wanted life, of the torques of opening and closing [-]. */
  readonly fatigue: (values: PathValues, opening: number, closing: number) => number;
  /** Toughness over stress intensity of the flaw and the factor against rupture, at a torque [-]. */
  readonly crack: (values: PathValues, torque: number) => number;
}

/** Ids of the matters of a section. */
export const sectionId = (j: number) => `section ${j}`;
export const fatigueId = (j: number) => `fatigue of section ${j}`;
export const crackId = (j: number) => `flaw of section ${j}`;

/** Factors of safety; undefined where nobody gave one. */
export interface PathFactors {
  readonly yield: number | undefined;
  readonly ultimate: number | undefined;
  readonly life: number | undefined;
}

/** Gathers one section. @param factors with their paths noted where they lack */
export function gatherSection(
  collected: PathGatherer,
  fields: SectionFields,
  j: number,
  factors: PathFactors,
): PathSection {
  const path = `valve.stem.sections[${j}]`;
  const id = sectionId(j);
  const all = [id, fatigueId(j), crackId(j)];
  const shape = gatherShape(collected, fields, path, all);
  const temperature = once(collected.temperature(all, path, fields));
  const material = collected.ownOrStem(all, `${path}.material`, fields.material);
  const certificate = (field: "yield_strength" | "ultimate_strength" | "fracture_toughness") => ({
    path: `${path}.${field}`,
    declared: fields[field],
  });
  const yieldStrength = collected.strength([id], material, "yield_strength", certificate("yield_strength"));
  const ultimate = collected.strength(
    [id, fatigueId(j)],
    material,
    "ultimate_strength",
    certificate("ultimate_strength"),
  );
  const toughness = collected.strength(
    [crackId(j)],
    material,
    "fracture_toughness",
    certificate("fracture_toughness"),
  );
  const share = collected.share(
    "ultimate strength in torsion over that in tension",
    ultimateInTorsion,
    "triangular",
  );
  if (factors.yield === undefined) collected.lack([id], "valve.strength.yield_factor");
  if (factors.ultimate === undefined) collected.lack([id, crackId(j)], "valve.strength.ultimate_factor");
  const countsNotch = notchCounts(collected, material, id);
  const allowed: OfValues = (values) => {
    const T = temperature(values);
    return allowedShear({
      yieldStrength: yieldStrength(values, T) as Stress,
      ultimateStrength: ultimate(values, T) as Stress,
      ultimateShare: values.own(share),
      yieldFactor: factors.yield ?? Number.NaN,
      ultimateFactor: factors.ultimate ?? Number.NaN,
    });
  };
  return {
    id,
    path,
    name: fields.name ?? `section ${j + 1}`,
    shape: fields.shape,
    material,
    justification: fields.justification,
    temperature,
    plain: shape.plain,
    notched: shape.notched,
    allowed,
    capacity: (values) =>
      allowed(values) * (countsNotch(values, temperature) ? shape.notched : shape.plain)(values),
    countsNotch: collected.dossier.valve.valve?.strength?.static_concentration !== "ductile not counted",
    fatigue: gatherFatigue(
      collected,
      j,
      { ultimate, temperature, notched: shape.notched, across: shape.across },
      factors,
    ),
    crack: gatherCrack(collected, j, { toughness, temperature, notched: shape.notched }, factors),
  };
}

/** A notch counts unless the file says that it does not in a metal that stretches. */
function notchCounts(
  collected: PathGatherer,
  material: Solid | undefined,
  id: string,
): (values: PathValues, temperature: OfValues) => boolean {
  const given = collected.dossier.valve.valve?.strength?.static_concentration;
  if (given === undefined) collected.gather.lackFaulty(id, "valve.strength.static_concentration");
  if (given !== "ductile not counted") return () => true;
  if (material?.file.elongation === undefined) return () => true;
  return (values, temperature) =>
    solidProperty(material, "elongation", temperature(values) as Temperature).low < leastDuctile;
}

interface Shape {
  readonly plain: OfValues;
  readonly notched: OfValues;
  /** Largest across the section, for the factor of size [m]. */
  readonly across: OfValues;
}

const nothing: OfValues = () => Number.NaN;

function gatherShape(
  collected: PathGatherer,
  fields: SectionFields,
  path: string,
  matters: readonly string[],
): Shape {
  if (fields.shape === undefined) {
    collected.lack(matters, `${path}.shape`);
    return { plain: nothing, notched: nothing, across: nothing };
  }
  const { of, section, across } = sectionShape(fields.shape);
  const sizes = of.map((name) => collected.need(matters, `${path}.${name}`, fields[name]));
  const at = (values: PathValues) => sizes.map((size) => size(values) as Length);
  const plain = once((values) => section(...at(values)).resistance);
  return {
    plain,
    notched: once(gatherNotch(collected, fields, path, matters, { plain, round: sizes[0] ?? nothing })),
    across: (values) => across(...at(values)),
  };
}

function gatherNotch(
  collected: PathGatherer,
  fields: SectionFields,
  path: string,
  matters: readonly string[],
  { plain, round }: { readonly plain: OfValues; readonly round: OfValues },
): OfValues {
  const declared = collected.may(matters, `${path}.concentration`, fields.concentration);
  if (declared !== undefined) return (values) => plain(values) / declared(values);
  const whole: OfValues = (values) => roundSection(round(values) as Length).resistance;
  // Published for the whole round; the loss of section by a test to yielding stands beside it.
  if (fields.shape === "keyed")
    return (values) => Math.min(plain(values), whole(values) / keywayConcentration);
  if (fields.shape === "splined") return (values) => plain(values) / splineConcentration;
  const isRound = fields.shape === "round" || fields.shape === "tube";
  switch (fields.notch) {
    case undefined:
      collected.lack(matters, `${path}.notch`);
      return nothing;
    case "none":
      return plain;
    case "shoulder": {
      if (!isRound) break;
      const D = collected.need(matters, `${path}.shoulder.diameter`, fields.shoulder?.diameter);
      const r = collected.need(matters, `${path}.shoulder.fillet`, fields.shoulder?.fillet);
      return (values) =>
        plain(values) /
        shoulderConcentration(round(values) as Length, D(values) as Length, r(values) as Length);
    }
    case "hole": {
      if (!isRound) break;
      const hole = collected.need(matters, `${path}.hole`, fields.hole);
      return (values) =>
        (plain(values) * holedShare(round(values) as Length, hole(values) as Length)) / holeConcentration;
    }
  }
  // No chart on file has a notch in another shape.
  collected.lack(matters, `${path}.concentration`);
  return nothing;
}

function gatherFatigue(
  collected: PathGatherer,
  j: number,
  of: {
    readonly ultimate: Strength;
    readonly temperature: OfValues;
    readonly notched: OfValues;
    readonly across: OfValues;
  },
  factors: PathFactors,
): PathSection["fatigue"] {
  const matters = [fatigueId(j)];
  const given = collected.dossier.valve.valve?.strength;
  const at = "valve.strength";
  const cycles = collected.need(matters, `${at}.life_cycles`, given?.life_cycles);
  if (factors.life === undefined) collected.lack(matters, `${at}.life_factor`);
  const { surface } = given ?? {};
  if (surface === undefined) {
    collected.lack(matters, `${at}.surface`);
    return () => Number.NaN;
  }
  const declared = collected.may(matters, `${at}.endurance_ratio`, given?.endurance_ratio);
  const typical =
    declared === undefined
      ? collected.share("endurance limit over ultimate strength", enduranceRatio, "triangular")
      : -1;
  return (values, opening, closing) => {
    const ultimate = of.ultimate(values, of.temperature(values)) as Stress;
    const ratio = declared === undefined ? values.own(typical) : declared(values);
    const limit = (surfaceFactor(surface, ultimate) *
      sizeFactor(of.across(values) as Length) *
      ratio *
      ultimate) as Stress;
    const life = cycles(values) * (factors.life ?? Number.NaN);
    const notched = of.notched(values);
    const { amplitude, mean } = swing((opening / notched) as Stress, (-closing / notched) as Stress, 1);
    return goodmanFactor(amplitude, mean, fatigueStrength(ultimate, limit, life), ultimate);
  };
}

function gatherCrack(
  collected: PathGatherer,
  j: number,
  of: { readonly toughness: Strength; readonly temperature: OfValues; readonly notched: OfValues },
  factors: PathFactors,
): PathSection["crack"] {
  const matters = [crackId(j)];
  const flaw = collected.dossier.valve.valve?.strength?.flaw;
  const at = "valve.strength.flaw";
  const depth = collected.need(matters, `${at}.depth`, flaw?.depth);
  const length = collected.may(matters, `${at}.length`, flaw?.length);
  return (values, torque) => {
    const intensity = stressIntensity((torque / of.notched(values)) as Stress, {
      depth: depth(values) as Length,
      length: (length?.(values) ?? Number.POSITIVE_INFINITY) as Length,
    });
    return of.toughness(values, of.temperature(values)) / (intensity * (factors.ultimate ?? Number.NaN));
  };
}
