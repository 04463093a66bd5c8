/** The screen of every wetted part against every mechanism, with the severity of what is not ruled out. */
import { isFaulty } from "../dossier/index.js";
import {
  electricalArc,
  type Fact,
  friction,
  type Kindling,
  type Mechanism,
  mechanicalImpact,
  meltedShare,
  type Outcome,
  particleImpact,
  pneumaticCompression,
  pressureSpeed,
  promotedCombustion,
  resonance,
  screened,
  staticDischarge,
} from "../physics/oxygen/index.js";
import type { AngularSpeed, Length, Mass } from "../quantity/index.js";
import type { Context } from "./context.js";
import { continuityOf, driveFacts } from "./oxygenEvidence.js";
import { configurationOf, endsOf, oxygenFieldsOf, type Part, partsOf } from "./oxygenFacts.js";
import { PartFacts } from "./oxygenPartFacts.js";
import { percentWords, quantityWords } from "./words.js";

/** What the screen says of one part, or of the whole valve, and one mechanism. */
export interface ScreenRow {
  readonly part: string;
  /** Path of the part; that of the section for the whole valve. */
  readonly path: string;
  readonly mechanism: Mechanism;
  readonly outcome: Outcome;
  /** Numbers of the mechanism at this part, "" where it is not credible. */
  readonly severity: string;
}

/** Screens all parts, then the whole valve. */
export function screenOf(context: Context): readonly ScreenRow[] {
  const parts = partsOf(context);
  const arc = screened(electricalArc, driveFacts(context));
  return [
    ...parts.flatMap((part) => rowsOf(context, part, parts)),
    ...(parts.length === 0
      ? []
      : [
          {
            part: "packing, gearbox and motor",
            path: "oxygen.drive_space",
            mechanism: electricalArc,
            outcome: arc,
            severity: arc.kind === "credible" ? arc.present.join("; ") : "",
          },
        ]),
  ];
}

function rowsOf(context: Context, part: Part, all: readonly Part[]): readonly ScreenRow[] {
  const facts = new PartFacts(context, part, all);
  const row = <Id extends string>(
    mechanism: Mechanism<Id>,
    of: Readonly<Record<Id, Fact>>,
    severity: () => string,
  ): ScreenRow => {
    const outcome = screened(mechanism, of);
    return {
      part: part.name,
      path: part.path,
      mechanism,
      outcome,
      severity: outcome.kind === "not credible" ? "" : severity(),
    };
  };
  return [
    row(
      particleImpact,
      {
        particles: facts.particles,
        stream: facts.inStream,
        speed: facts.isFast,
        impinged: facts.isImpinged,
        flammable: facts.burns,
      },
      () => jetWords(context),
    ),
    row(
      pneumaticCompression,
      { nonMetal: facts.isNonMetal, exposed: facts.isReached, shutIn: facts.shutIn, hot: facts.isHot },
      () => compressionWords(context, facts),
    ),
    row(
      mechanicalImpact,
      { struck: facts.isStruck, sensitive: facts.isSensitive },
      () => "not computed: an impact test of the batch tells",
    ),
    row(friction, { rubs: facts.rubs, metals: facts.rubsMetalOnMetal, flammable: facts.eitherBurns }, () => {
      const other = facts.counterpart;
      const declares = part.fields.contact === undefined && other !== undefined && other !== "nothing";
      return rubbingWords(context, declares ? other : part);
    }),
    row(
      promotedCombustion,
      { metal: facts.isMetal, kindling: facts.hasKindling, flammable: facts.burns },
      () => kindlingWords(context, part, facts),
    ),
    row(resonance, { cavity: facts.inCavity, kindling: facts.holdsKindling, driven: facts.sounds }, () =>
      soundWords(facts),
    ),
    row(
      staticDischarge,
      { nonMetal: facts.isNonMetal, dryGas: facts.charges, isolated: facts.isIsolated },
      () => {
        const measured = continuityOf(context);
        return "needs" in measured ? "" : `${quantityWords(measured.largest, "resistance")} across the valve`;
      },
    ),
  ];
}

function jetWords(context: Context): string {
  const { jets, flashedShare } = context.own.oxygen;
  const atStart = configurationOf(context, "gas_at_start");
  const flash = jets.figures.nominal.flash ?? Number.NaN;
  const gas = jets.figures.nominal.gas ?? Number.NaN;
  const parts = [
    ...(Number.isNaN(flash) || flashedShare === undefined
      ? []
      : [`jet of the liquid ${speedWords(flash)}, ${percentWords(flashedShare)} gas`]),
    ...(Number.isNaN(gas) || ("answer" in atStart && atStart.answer === "no")
      ? []
      : [`gas at the start ${speedWords(gas)}`]),
  ];
  return parts.join("; ");
}

function speedWords(speed: number): string {
  return quantityWords(speed, "speed", "m/s");
}

function compressionWords({ own }: Context, facts: PartFacts): string {
  const compressed = endsOf(own.oxygen.compression.figures, "compressed").high;
  const ignition = facts.autoignition;
  return [
    ...(Number.isNaN(compressed)
      ? []
      : [`compressed gas up to ${quantityWords(compressed, "temperature", "degC")}`]),
    ...(typeof ignition === "number"
      ? [`autoignition ${quantityWords(ignition, "temperature", "degC")}`]
      : []),
  ].join("; ");
}

/** A ball that breaks away runs ahead of its drive, driven by the wound-up train: its fastest in the opening [rad/s]; 0 where the train is not declared. */
export function slippingSpeed({ own }: Context): number {
  return own.shock.opening.reduce(
    (most, { ballSpeed_rad_s }) => ballSpeed_rad_s.reduce((sum, one) => Math.max(sum, Math.abs(one)), most),
    0,
  );
}

/** Contact pressure times speed of one part [W/m2], or what is missing. */
export function rubbingOf(
  context: Context,
  part: Part,
): { readonly value: number } | { readonly needs: readonly string[] } {
  const { own, prediction } = context;
  const j = partsOf(context).findIndex(({ path }) => path === part.path);
  const contact = own.oxygen.contacts[j];
  const { opening, closing } = prediction.nominal;
  const { service } = own.oxygen;
  const isOther = service.kind === "oxidiser" && !service.isAsked;
  const rigid = Math.max(opening?.peakSpeed_rad_s ?? Number.NaN, closing?.peakSpeed_rad_s ?? 0);
  const speed = Math.max(rigid, slippingSpeed(context));
  const needs = [
    ...(contact?.missing ?? [`${part.path}.contact`]),
    ...(isOther ? ["the strokes of a case with an oxidiser, and this one has none"] : []),
    ...(Number.isNaN(speed) ? prediction.missing.motion : []),
  ];
  if (needs.length > 0 || contact === undefined || Number.isNaN(speed)) return { needs };
  return { value: pressureSpeed(contact.pressure_Pa, speed as AngularSpeed, contact.radius_m as Length) };
}

function rubbingWords(context: Context, part: Part): string {
  const found = rubbingOf(context, part);
  return "needs" in found ? "" : `p v ${quantityWords(found.value, "heat flux")}`;
}

/** Heat of combustion of a part, the batch's own first [J/kg]; undefined where it is not known. */
export function heatOfCombustion(context: Context, { fields, path, standing }: Part): number | undefined {
  if (isFaulty(context.prediction.dossier, `${path}.heat_of_combustion`)) return undefined;
  return fields.heat_of_combustion?.value ?? standing?.heatOfCombustion;
}

function kindlingWords(context: Context, { fields, standing }: Part, facts: PartFacts): string {
  const { mass } = fields;
  const burning = facts.kindling.flatMap((one): readonly Kindling[] => {
    const heat = heatOfCombustion(context, one);
    return one.fields.mass === undefined || heat === undefined
      ? []
      : [{ mass: one.fields.mass.value as Mass, heat }];
  });
  const heat = burning.reduce((sum, one) => sum + one.mass * one.heat, 0);
  const melt = standing?.heatToMelt;
  return [
    ...(burning.length === 0 ? [] : [`${quantityWords(heat, "energy")} can burn beside it`]),
    ...(burning.length === 0 || mass === undefined || melt === undefined
      ? []
      : [`enough to melt ${percentWords(meltedShare(burning, mass.value as Mass, melt))} of it`]),
    ...(standing?.threshold === undefined ? [] : [`thin rods burn ${fromWords(standing.threshold.words)}`]),
  ].join("; ");
}

function fromWords(words: string): string {
  return words.startsWith("above") || words.startsWith("below") ? words : `from ${words}`;
}

function soundWords(facts: PartFacts): string {
  const speeds = facts.soundingSpeeds;
  return "needs" in speeds
    ? ""
    : `the cavity sounds between ${speedWords(speeds.low)} and ${speedWords(speeds.high)}`;
}

/** What the section names as the latest day on which something was found. */
export function latestWord(context: Context): string | undefined {
  const {
    parts = [],
    configuration = {},
    cleaning,
    continuity,
    drive_space,
    consequence,
  } = oxygenFieldsOf(context) ?? {};
  const days = [...parts, ...Object.values(configuration), cleaning, continuity, drive_space, consequence]
    .flatMap((said) => said?.when ?? [])
    .toSorted();
  return days.at(-1);
}
