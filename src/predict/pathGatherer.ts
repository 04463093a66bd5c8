/** What parts on the path of the torque are gathered with: their values, temperatures and strengths. */
import { type Dossier, isFaulty, materialNamed, type ValveFile } from "../dossier/index.js";
import type { Declared, Temperature } from "../quantity/index.js";
import { type Solid, type SolidQuantity, solidProperty } from "../substance/index.js";
import { Gatherer, type Slot } from "./gather.js";
import type { HeatAnswer, HeatProfile } from "./heat.js";
import type { Plan } from "./plan.js";

/** The values of one sample: those of the plan's slots and those of the path's own. */
export interface PathValues {
  readonly planned: (slot: Slot) => number;
  readonly own: (slot: Slot) => number;
}

/** A figure of a part, of the values of a sample, SI. */
export type OfValues = (values: PathValues) => number;

/** The same figure, worked out once for each sample: several checks ask for it. */
export function once(figure: OfValues): OfValues {
  let last: PathValues | undefined;
  let value = Number.NaN;
  return (values) => {
    if (values !== last) {
      last = values;
      value = figure(values);
    }
    return value;
  };
}

/** A strength at a temperature [K]. */
export type Strength = (values: PathValues, T: number) => number;

type Stem = NonNullable<NonNullable<ValveFile["valve"]>["stem"]>;
export type SectionFields = NonNullable<Stem["sections"]>[number];
export type JointFields = NonNullable<Stem["joints"]>[number];

/** Middle of what is published, where a strength lies between two limits [-]. */
const middle = 0.5;

/** One line stands for all fields of an extension that nobody has declared, as where its heat is asked for. */
const wholeExtension = "valve.cold.extension: its tube and stem, the air around it, gearbox and motor";

/** Collects under matters; a matter is one part, or one part in fatigue or with a flaw. */
export class PathGatherer {
  readonly gather: Gatherer<string>;

  constructor(
    readonly dossier: Dossier,
    private readonly plan: Plan,
    private readonly at: string,
    private readonly heat: HeatAnswer,
  ) {
    this.gather = new Gatherer((path) => isFaulty(dossier, path));
  }

  need(matters: readonly string[], path: string, declared: Declared | undefined): OfValues {
    const slot = this.gather.take(path, declared);
    if (slot < 0) this.lack(matters, path);
    return ({ own }) => (slot < 0 ? Number.NaN : own(slot));
  }

  /** A value that something else stands for where it is left out. @returns undefined where it is not known */
  may(matters: readonly string[], path: string, declared: Declared | undefined): OfValues | undefined {
    const slot = this.gather.take(path, declared);
    if (slot >= 0) return ({ own }) => own(slot);
    for (const matter of matters) this.gather.lackFaulty(matter, path);
    return undefined;
  }

  lack(matters: readonly string[], path: string): void {
    for (const matter of matters) this.gather.lack(matter, path);
  }

  /** Temperature of a part: its own, that at its place along the extension, or that of the valve [K]. */
  temperature(matters: readonly string[], path: string, part: SectionFields | JointFields): OfValues {
    const own = this.may(matters, `${path}.temperature`, part.temperature);
    if (own !== undefined) return own;
    const place = this.may(matters, `${path}.at`, part.at);
    const { profile } = this.heat;
    if (place !== undefined) {
      if (profile !== undefined) return (values) => stemTemperature(profile, place(values));
      const needs = this.heat.isDeclared ? (this.heat.extension.missing.gearbox ?? []) : [wholeExtension];
      for (const need of needs.length > 0 ? needs : [wholeExtension]) this.lack(matters, need);
      return () => Number.NaN;
    }
    const { valveTemperature } = this.plan.slots;
    if (valveTemperature < 0) this.lack(matters, `${this.at}.valve_temperature`);
    return ({ planned }) => planned(valveTemperature);
  }

  /** The solid of a material field, or undefined with its path noted. */
  solid(matters: readonly string[], path: string, name: string | undefined): Solid | undefined {
    const found = materialNamed(this.dossier.valve, name);
    if (found === undefined) this.lack(matters, path);
    return found;
  }

  /** The material of a part, or where its own field is left out that of the stem. */
  ownOrStem(matters: readonly string[], path: string, name: string | undefined): Solid | undefined {
    if (name !== undefined || isFaulty(this.dossier, path)) return this.solid(matters, path, name);
    const stem = this.stemMaterial();
    return this.solid(matters, stem.path, stem.name);
  }

  /** The material of the stem, by its own field or that of the extension. */
  private stemMaterial(): { readonly path: string; readonly name: string | undefined } {
    const { stem, cold } = this.dossier.valve.valve ?? {};
    const path = "valve.stem.material";
    if (stem?.material !== undefined || isFaulty(this.dossier, path)) return { path, name: stem?.material };
    return { path, name: cold?.extension?.stem_material };
  }

  /**
   * A property of a solid between its published limits, or of a certificate where there is one. Yield
   * and ultimate strength of one material move together: of one heat both are high or both low.
   */
  strength(
    matters: readonly string[],
    material: Solid | undefined,
    quantity: SolidQuantity,
    certificate: { readonly path: string; readonly declared: Declared | undefined },
  ): Strength {
    const own = this.may(matters, certificate.path, certificate.declared);
    if (own !== undefined) return own;
    if (material === undefined) return () => Number.NaN;
    if (material.file[quantity] === undefined) {
      this.lack(matters, certificate.path);
      return () => Number.NaN;
    }
    const kind = quantity === "fracture_toughness" ? "toughness" : "strength";
    const slot = this.share(`${kind} of ${material.id}`, { low: 0, mode: middle, high: 1 }, "uniform");
    return ({ own: at }, T) => {
      if (Number.isNaN(T)) return Number.NaN;
      const { low, high } = solidProperty(material, quantity, T as Temperature);
      return low + at(slot) * (high - low);
    };
  }

  /** A number between two limits that no field holds. */
  share(
    of: string,
    { low, mode, high }: { readonly low: number; readonly mode: number; readonly high: number },
    kind: "uniform" | "triangular",
  ): Slot {
    return this.gather.take(of, {
      value: mode,
      law: kind === "uniform" ? { kind, low, high } : { kind, low, mode, high },
      dimension: "ratio",
      unit: "",
      text: String(mode),
      readAs: "spread of what is published",
      origin: "standard",
    });
  }
}

/** Temperature of the stem at a distance from the cold end, steady; beyond the end that of the end [K]. */
function stemTemperature({ x_m, stem_K }: HeatProfile, place: number): number {
  const after = x_m.findIndex((x) => x >= place);
  if (after < 0) return stem_K.at(-1) ?? Number.NaN;
  const [x1, T1] = [x_m[after] ?? Number.NaN, stem_K[after] ?? Number.NaN];
  if (after === 0) return T1;
  const [x0, T0] = [x_m[after - 1] ?? Number.NaN, stem_K[after - 1] ?? Number.NaN];
  return T0 + ((T1 - T0) * (place - x0)) / (x1 - x0);
}
