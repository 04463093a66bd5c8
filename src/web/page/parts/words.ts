/** Numbers of a search in words. */
import { type Dimension, formatQuantity, preferredUnit } from "../../../quantity/index.js";
import {
  type ChoiceNames,
  dimensionOf,
  type FigureId,
  type SeekAnswer,
  type SeekAxis,
  type SeekLimit,
} from "../../../seek/index.js";

/** A number with three digits, or that it is not known. */
export function valueText(
  value: number | null | undefined,
  dimension: Dimension,
  style: { readonly unit?: string; readonly digits?: number } = {},
): string {
  if (value === null || value === undefined) return "not known";
  return formatQuantity(value, dimension, { digits: 3, ...style });
}

/** A share in percent. */
export function shareText(share: number | null | undefined): string {
  return share === null || share === undefined ? "not known" : `${(100 * share).toFixed(0)} %`;
}

/** A number of a choice on an axis. */
export function axisText(value: number | null, axis: SeekAxis): string {
  return axis.of === "probability" ? shareText(value) : valueText(value, axis.dimension);
}

/** "at most 800 ms"; nothing for no limit. */
export function limitText({ most, least, dimension, id }: SeekLimit): string {
  if (id === "mounting") return "as `seek.limits.mounting` says";
  return [
    ...(most === null ? [] : [`at most ${valueText(most, dimension)}`]),
    ...(least === null ? [] : [`at least ${valueText(least, dimension)}`]),
  ].join(", ");
}

/** A limit of an answer by what it limits. */
export function limitOf({ limits }: SeekAnswer, id: FigureId): SeekLimit | undefined {
  return limits.find((limit) => limit.id === id);
}

/** Value, band of 95 %, and unit: "512 ms, 480 to 560 ms". */
export function bandText(
  answer: SeekAnswer,
  id: FigureId,
  {
    nominal,
    low,
    high,
  }: { readonly nominal: number | null; readonly low: number | null; readonly high: number | null },
): { readonly nominal: string; readonly band: string } {
  const dimension = dimensionOf(answer, id);
  const unit = preferredUnit(Math.max(Math.abs(high ?? 0), Math.abs(nominal ?? 0)), dimension);
  const say = (value: number | null) => valueText(value, dimension, { unit });
  const isPoint = low === null || high === null || low === high;
  return { nominal: say(nominal), band: isPoint ? "" : `${say(low)} to ${say(high)}` };
}

export const partPlaces = ["valve", "motor", "stages", "battery", "command"] as const;

/** The part of a choice in one place. */
export function partText(names: ChoiceNames, place: (typeof partPlaces)[number]): string {
  return place === "stages" ? names.stages.join(" + ") : names[place];
}

/** All parts that are not as declared, in one line. */
export function partsText(names: ChoiceNames): string {
  const others = partPlaces.map((place) => partText(names, place)).filter((text) => text !== "as declared");
  return others.length === 0 ? "as declared" : others.join("; ");
}

export const sieveWords = {
  bounds: "parts and closed forms",
  nominal: "one opening and closing",
  band: "samples of the band",
} as const;
