/** What chains of parts in the cold are gathered and evaluated with. */
import { type Dossier, isFaulty, materialNamed, referenceTemperatures } from "../dossier/index.js";
import { Refusal } from "../fault/index.js";
import type { Declared, Temperature } from "../quantity/index.js";
import { contraction, contractionValue, type Solid } from "../substance/index.js";
import { Gatherer, type Slot } from "./gather.js";
import { type OwnFigures, ownFigures, type Sampling } from "./ownBand.js";

/** A chain of parts with its figures. */
export interface ColdChain {
  readonly path: string;
  readonly name: string;
  /** Missing fields by figure; a figure without an entry lacks nothing. */
  readonly missing: Readonly<Record<string, readonly string[]>>;
  readonly figures: OwnFigures;
  /** Why the values of the case cannot be followed: a temperature outside the data of a solid. */
  readonly unfit: string | undefined;
}

/** A material with the slot of its contraction's spread. */
export interface Shrinking {
  readonly material: Solid | undefined;
  readonly slot: Slot;
}

/** Collects the values of a chain; every one that it needs is needed by all its figures unless named. */
export class ChainGatherer {
  readonly gather: Gatherer<string>;
  constructor(
    private readonly figures: readonly string[],
    private readonly dossier: Dossier,
  ) {
    this.gather = new Gatherer((path) => isFaulty(dossier, path));
  }

  /** A value that something else stands for where it is left out, and nothing where it has a fault. */
  may(path: string, declared: Declared | undefined): Slot {
    const slot = this.gather.take(path, declared);
    if (slot < 0) for (const figure of this.figures) this.gather.lackFaulty(figure, path);
    return slot;
  }

  need(path: string, declared: Declared | undefined, figures = this.figures): Slot {
    const slot = this.gather.take(path, declared);
    if (slot < 0) this.lack(path, figures);
    return slot;
  }

  lack(path: string, figures = this.figures): void {
    for (const figure of figures) this.gather.lack(figure, path);
  }

  /** The solid of a name, of the team's own files first. */
  solid(name: string | undefined): Solid | undefined {
    return materialNamed(this.dossier.valve, name);
  }

  material(path: string, name: string | undefined, figures = this.figures): Shrinking {
    const material = this.solid(name);
    if (material === undefined) {
      this.lack(path, figures);
      return { material: undefined, slot: -1 };
    }
    const spread = spreadOf(material);
    return { material, slot: this.factor(`contraction of ${material.id}`, 1 - spread, 1 + spread) };
  }

  /** A factor on data or a correlation as published: 1, and between the two limits by their law. */
  factor(of: string, low: number, high: number, law: "uniform" | "triangular" = "uniform"): Slot {
    return this.gather.take(of, {
      value: 1,
      law: law === "uniform" ? { kind: law, low, high } : { kind: law, low, mode: 1, high },
      dimension: "ratio",
      unit: "",
      text: "1",
      readAs: "spread of what is published",
      origin: "standard",
    });
  }
}

/** Relative spread of a solid's contraction to 90 K [-]. */
function spreadOf(material: Solid): number {
  const { ambient_K, cold_K } = referenceTemperatures;
  const { TMin } = contraction(material, ambient_K as Temperature, ambient_K as Temperature);
  const { low, high } = contraction(
    material,
    ambient_K as Temperature,
    Math.max(cold_K, TMin) as Temperature,
  );
  return Math.abs((high - low) / (high + low));
}

/** A chain from what was gathered; the values of a case that no data of its solids reach leave it unfit. */
export function chainOf(
  collected: ChainGatherer,
  named: { readonly path: string; readonly name: string },
  ids: readonly string[],
  options: Sampling,
  figures: (at: (slot: Slot) => number) => Readonly<Record<string, number>>,
): ColdChain {
  const { gather } = collected;
  const missing = Object.fromEntries(ids.map((id) => [id, gather.missingFor(id)]));
  const space = gather.space([], []);
  const reading = (values: Float64Array) => (slot: Slot) =>
    slot < 0 ? Number.NaN : (values[slot] ?? Number.NaN);
  try {
    return {
      ...named,
      missing,
      figures: ownFigures(space, ids, options, (values) => figures(reading(values))),
      unfit: undefined,
    };
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return {
      ...named,
      missing,
      figures: ownFigures(space, ids, { ...options, samples: 0 }, () => ({})),
      unfit: thrown.faults.map(({ found }) => found).join("; "),
    };
  }
}

/** Contraction of a material from one temperature to another, at where its spread stands. */
export function shrunk(
  { material, slot }: Shrinking,
  at: (slot: Slot) => number,
  from: number,
  to: number,
): number {
  if (material === undefined || Number.isNaN(from) || Number.isNaN(to)) return Number.NaN;
  return contractionValue(material, from as Temperature, to as Temperature) * at(slot);
}
