/** Friction pairs: seat, packing and bearing materials on polished steel, one data file each. */
import bronzeBushing from "../../data/friction/bronze-bushing.json" with { type: "json" };
import graphite from "../../data/friction/graphite.json" with { type: "json" };
import pctfe from "../../data/friction/pctfe.json" with { type: "json" };
import peek from "../../data/friction/peek.json" with { type: "json" };
import peekFilled from "../../data/friction/peek-filled.json" with { type: "json" };
import ptfe from "../../data/friction/ptfe.json" with { type: "json" };
import ptfeBronze from "../../data/friction/ptfe-bronze.json" with { type: "json" };
import ptfeBushing from "../../data/friction/ptfe-bushing.json" with { type: "json" };
import ptfeCarbon from "../../data/friction/ptfe-carbon.json" with { type: "json" };
import ptfeGlass from "../../data/friction/ptfe-glass.json" with { type: "json" };
import uhmwpe from "../../data/friction/uhmwpe.json" with { type: "json" };

/** An interval of a dimensionless number. */
export interface Interval {
  readonly low: number;
  readonly high: number;
}

/** What the program knows of a material sliding on polished steel. */
export interface FrictionPair {
  readonly id: string;
  /** As printed: "PTFE with 15 to 25 % glass". */
  readonly name: string;
  readonly aliases: readonly string[];
  /** Running friction coefficient near 20 degC and between 77 and 90 K. */
  readonly running: { readonly ambient: Interval; readonly cold: Interval };
  readonly breakaway_over_running: Interval;
  readonly conditions: string;
  readonly provenance: string;
  readonly caution?: string;
}

/** To add a pair: its file in data/friction/ and its line here. */
export const frictionPairs: readonly FrictionPair[] = [
  ptfe,
  ptfeGlass,
  ptfeCarbon,
  ptfeBronze,
  pctfe,
  peek,
  peekFilled,
  uhmwpe,
  graphite,
  bronzeBushing,
  ptfeBushing,
];

/** Every name a pair goes by, ids first. */
export const frictionPairNames: readonly string[] = [
  ...frictionPairs.map(({ id }) => id),
  ...frictionPairs.flatMap(({ name, aliases }) => [name, ...aliases]),
];

/** The pair of a name, or undefined; upper and lower case, spaces and hyphens count as the same. */
export function frictionPair(name: string): FrictionPair | undefined {
  const wanted = plain(name);
  return frictionPairs.find((pair) =>
    [pair.id, pair.name, ...pair.aliases].some((known) => plain(known) === wanted),
  );
}

function plain(name: string): string {
  return name.toLowerCase().replaceAll(/[\s_,-]/g, "");
}
