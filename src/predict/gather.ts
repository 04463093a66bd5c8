/** Collects the declared values an answer rests on into one input space, and names those nobody gave. */
import type { Notice } from "../fault/index.js";
import { gaussianCopula } from "../numerics/index.js";
import type { Declared } from "../quantity/index.js";
import type { Input, InputSpace } from "./inputs.js";

/** Place of a value in the vector; -1 for a value that is not known and not needed. */
export type Slot = number;

/** A declared rank correlation between two uncertain fields. */
export interface Correlation {
  readonly first: string;
  readonly second: string;
  readonly rank: number;
}

/**
 * Gathers slots. `need` records a missing field under the matter that needs it; `may` only one that was
 * entered with a fault, for a field that another value stands for where it is left out; `take` none.
 * The first request for a path makes its slot, later ones return it.
 */
export class Gatherer<Matter extends string> {
  private readonly slots = new Map<string, Slot>();
  private readonly nominal: number[] = [];
  private readonly declared: Declared[] = [];
  private readonly paths: string[] = [];
  private readonly groups = new Map<string, { slot: Slot; declared: Declared }[]>();
  private readonly missing = new Map<Matter, Set<string>>();

  /** @param isFaulty whether a field that is not known was entered with a fault */
  constructor(private readonly isFaulty: (path: string) => boolean = () => false) {}

  /** Slot of a value, or -1. @param group path of the table a row belongs to: its rows move together */
  take(path: string, declared: Declared | undefined, group?: string): Slot {
    const known = this.slots.get(path);
    if (known !== undefined) return known;
    if (declared === undefined) return -1;
    const slot = this.nominal.length;
    this.slots.set(path, slot);
    this.nominal.push(declared.value);
    this.declared.push(declared);
    this.paths.push(path);
    if (declared.law.kind !== "exact") {
      const key = group ?? path;
      const members = this.groups.get(key) ?? [];
      members.push({ slot, declared });
      this.groups.set(key, members);
    }
    return slot;
  }

  /** Slot of a value without which a matter cannot be answered. */
  need(matter: Matter, path: string, declared: Declared | undefined): Slot {
    const slot = this.take(path, declared);
    if (slot < 0) this.lack(matter, path);
    return slot;
  }

  /** Slot of a value that something else stands for where it is left out, and nothing where it has a fault. */
  may(matter: Matter, path: string, declared: Declared | undefined): Slot {
    const slot = this.take(path, declared);
    if (slot < 0) this.lackFaulty(matter, path);
    return slot;
  }

  /** Notes that a matter lacks a field, if that was entered with a fault. */
  lackFaulty(matter: Matter, path: string): void {
    if (this.isFaulty(path)) this.lack(matter, path);
  }

  /** Notes that a matter lacks something. */
  lack(matter: Matter, path: string): void {
    const set = this.missing.get(matter) ?? new Set<string>();
    set.add(path);
    this.missing.set(matter, set);
  }

  missingFor(...matters: readonly Matter[]): readonly string[] {
    return [...new Set(matters.flatMap((matter) => [...(this.missing.get(matter) ?? [])]))];
  }

  /** Closes the collection. Correlated inputs come first, because the copula acts on the first ones. */
  space(correlations: readonly Correlation[], notices: readonly Notice[]): InputSpace {
    const present = correlations.filter(
      ({ first, second, rank }) => rank !== 0 && this.groups.has(first) && this.groups.has(second),
    );
    const tied = [...new Set(present.flatMap(({ first, second }) => [first, second]))];
    const order = [...tied, ...[...this.groups.keys()].filter((path) => !tied.includes(path))];
    const inputs: Input[] = order.map((path) => ({ path, members: this.groups.get(path) ?? [] }));
    const matrix = tied.map((row) =>
      tied.map((column) => {
        if (row === column) return 1;
        const pair = present.find(
          ({ first, second }) => (first === row && second === column) || (first === column && second === row),
        );
        return pair?.rank ?? 0;
      }),
    );
    return {
      inputs,
      nominal: Float64Array.from(this.nominal),
      paths: this.paths,
      declared: this.declared,
      copula: tied.length > 0 ? gaussianCopula(matrix) : undefined,
      notices,
    };
  }
}
