/** All properties of a solid at a temperature, with their spread, range and sources. */
import { type Notice, Refusal } from "../fault/index.js";
import { formatQuantity, type Temperature } from "../quantity/index.js";
import type { MissingRow, PropertyRow, SubstanceAnswer } from "./answer.js";
import type { Solid } from "./solid.js";
import {
  contraction,
  type SolidQuantity,
  type SolidValue,
  solidDensity,
  solidIntegral,
  solidMean,
  solidProperty,
  solidQuantities,
} from "./solidProperty.js";

/**
 * The properties of a solid at a temperature, and what changes on the way there from another.
 * @param from  where the part was made or measured, usually 293 K [K]
 */
export function solidAnswer(solid: Solid, T: Temperature, from: Temperature): SubstanceAnswer {
  const { file } = solid;
  const quantities = Object.keys(solidQuantities).filter(isQuantity);
  const here = [
    attempt("density", "density", () => solidDensity(solid, T)),
    ...quantities.map((id) => attempt(id, solidQuantities[id].words, () => solidProperty(solid, id, T))),
  ];
  const between = [
    attempt("contraction", `contraction from ${kelvin(from)}`, () => contraction(solid, from, T)),
    ...(from === T
      ? []
      : (["conductivity", "specific_heat"] as const).flatMap((id) => [
          attempt(`mean_${id}`, `mean ${solidQuantities[id].words}`, () => solidMean(solid, id, T, from)),
        ])),
  ];
  const heat = attempt("heat_content", "heat given off", () => ({
    ...solidIntegral(solid, "specific_heat", T, from),
    dimension: "specific energy",
  }));
  const groups = [
    { title: `at ${kelvin(T)}`, found: here },
    { title: `from ${kelvin(from)} to ${kelvin(T)}`, found: [...between, ...(from > T ? [heat] : [])] },
  ];
  const brittle = file.brittle_below;
  const glass = file.glass_transition;
  return {
    kind: "solid",
    id: solid.id,
    name: solid.name,
    state: "solid",
    summary: `${solid.name} at ${kelvin(T)}: ${solid.kind}, ${file.structure}`,
    groups: groups.map(({ title, found }) => ({
      title,
      rows: found.flatMap((one) => ("row" in one ? [one.row] : [])),
      missing: found.flatMap((one) => ("reason" in one ? [one] : [])),
    })),
    remarks: [
      ...(brittle === undefined
        ? []
        : [
            `${T < brittle.T_K ? "Brittle risk at this temperature" : "Brittle risk"}, below ${kelvin(brittle.T_K)}, ${brittle.limit}: ${brittle.reason}`,
          ]),
      ...(glass === undefined
        ? []
        : [
            `Glass-like transition between ${kelvin(glass.low_K)} and ${kelvin(glass.high_K)}, ${glass.sources.join(", ")}, from ${glass.from}. ${glass.note}`,
          ]),
      ...(file.toughness === undefined ? [] : [`Toughness: ${file.toughness}.`]),
      ...(file.cautions ?? []),
    ],
    notices: unlike(groups.flatMap(({ found }) => found.flatMap((one) => ("row" in one ? one.notices : [])))),
  };
}

type Found = { readonly row: PropertyRow; readonly notices: readonly Notice[] } | MissingRow;

function attempt(id: string, words: string, compute: () => SolidValue): Found {
  try {
    const { value, low, high, dimension, TMin, TMax, sources, from, note, notices } = compute();
    const told = from === "looked up" || sources.length === 0 ? sources : [...sources, `from ${from}`];
    const row = { id, words, value, low, high, dimension, TMin, TMax, sources: told };
    return { row: note === undefined ? row : { ...row, note }, notices };
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return { id, words, reason: thrown.faults.map(({ found }) => found).join("; ") };
  }
}

function unlike(notices: readonly Notice[]): readonly Notice[] {
  return notices.filter(({ text }, n) => notices.findIndex((other) => other.text === text) === n);
}

function isQuantity(name: string): name is SolidQuantity {
  return name in solidQuantities;
}

function kelvin(T: number): string {
  return formatQuantity(T, "temperature");
}
