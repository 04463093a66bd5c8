/**
 * What question 8 rests on: the wetted parts with their standing, what people answered, and what is missing
 * for the figures of jets and compression.
 */
import {
  type OxygenStanding,
  oxygenLimits,
  oxygenStanding,
  type WettedKind,
  type WettedPart,
} from "../dossier/index.js";
import { type OwnFigures, type OxygenAnswer, ownBand } from "../predict/index.js";
import type { Context } from "./context.js";
import { unsigned, wordOf } from "./signed.js";

/** A wetted part with its place in the file. */
export interface Part {
  readonly path: string;
  readonly name: string;
  readonly fields: WettedPart;
  readonly standing: OxygenStanding | undefined;
}

/** Questions that only a person can answer. */
export const configurationQuestions = [
  { id: "burrs", words: "burrs, chips or thin edges in the wetted space" },
  { id: "drilled_intersections", words: "drilled passages that meet with unbroken edges" },
  { id: "dead_ends", words: "a dead end behind the valve that its opening fills" },
  { id: "fast_upstream", words: "pressure put on the closed valve within a second" },
  { id: "gas_at_start", words: "gas before the ball when it opens" },
  { id: "particle_filter", words: "a filter ahead of the valve" },
  { id: "lubricated", words: "a lubricant, sealant or assembly aid in the wetted space" },
] as const;
export type ConfigurationQuestion = (typeof configurationQuestions)[number]["id"];

export function oxygenFieldsOf({ prediction }: Pick<Context, "prediction">) {
  return prediction.dossier.valve.oxygen;
}

/** The wetted parts; the standing of a material is known for the oxidiser that the data are of. */
export function partsOf(context: Context): readonly Part[] {
  const { service } = context.own.oxygen;
  const isOnFile = service.kind === "oxidiser" && service.isOnFile;
  return (oxygenFieldsOf(context)?.parts ?? []).map((fields, j) => ({
    path: `oxygen.parts[${j}]`,
    name: fields.name ?? `part ${j + 1}`,
    fields,
    standing: isOnFile ? standingOf(fields) : undefined,
  }));
}

function standingOf({ kind, material }: WettedPart): OxygenStanding | undefined {
  return kind === undefined || material === undefined
    ? undefined
    : oxygenStanding(kind as WettedKind, material);
}

/** An answer of the configuration with its word, or what is missing of it. */
export function configurationOf(
  context: Context,
  id: ConfigurationQuestion,
): { readonly answer: "yes" | "no"; readonly word: string } | { readonly needs: readonly string[] } {
  const path = `oxygen.configuration.${id}`;
  const said = oxygenFieldsOf(context)?.configuration?.[id];
  const word = wordOf(context, said ?? {});
  if (said?.answer === undefined || word === undefined)
    return {
      needs: [...(said?.answer === undefined ? [`${path}.answer`] : []), ...unsigned(context, path, said)],
    };
  return { answer: said.answer, word };
}

/** A largest or least value with its band, where a figure has one: ends of it [SI]. */
export function endsOf(figures: OwnFigures, figure: string): { readonly low: number; readonly high: number } {
  const value = figures.nominal[figure] ?? Number.NaN;
  const band = ownBand(figures.samples[figure] ?? new Float64Array(0));
  return { low: Math.min(value, band?.low ?? value), high: Math.max(value, band?.high ?? value) };
}

/** Whether the jet of the liquid has no gas in it, wherever in their bands temperature and pressures lie. */
export function staysLiquid({ jets, flashedShare }: OxygenAnswer): boolean {
  return flashedShare === 0 && endsOf(jets.figures, "overBoiling").low > 0;
}

/** What is asked for of another oxidiser than the one on file. */
export function noDataOf(name: string): string {
  return `limits and standings of materials in ${name}: those on file are of ${oxygenLimits.oxidiser}`;
}

/** Fields and reasons for which a figure of a chain is not known. */
export function needsOf(chain: OxygenAnswer["jets"], figure: string): readonly string[] {
  return [
    ...(chain.unfit === undefined ? [] : [`${chain.name} within the data of the fluid: ${chain.unfit}`]),
    ...(chain.missing[figure] ?? []),
  ];
}

export function jetNeeds({ jets }: OxygenAnswer, figure: string): readonly string[] {
  return needsOf(jets, figure);
}

/** How long the fastest of the openings takes from 10 to 90 % of its travel [s], or what is missing. */
export function openingTimeOf(
  context: Context,
): { readonly time: number } | { readonly needs: readonly string[] } {
  const { prediction, own } = context;
  const { service } = own.oxygen;
  if (service.kind === "oxidiser" && !service.isAsked)
    return { needs: ["the strokes of a case with an oxidiser, and this one has none"] };
  const id = "travel-10-to-90";
  const time = prediction.nominal.opening?.times_s[id];
  const band = prediction.band?.figures[`opening:${id}`];
  if (time === undefined) {
    const missing = prediction.missing.motion;
    return { needs: missing.length > 0 ? missing : ["an opening that arrives: this one stalls"] };
  }
  return { time: Math.min(time, band?.low.value ?? time) };
}
