/**
 * The steps of one check, written down as the program goes: values with their origin, then equations in
 * their source's symbols. A closed form is replayed from the values that the program used, and held against
 * the result that it used: where the two differ the steps are not printed.
 */
import {
  type Dossier,
  itemAt,
  nominalText,
  provenanceText,
  type UsedDefault,
  valueAt,
} from "../dossier/index.js";
import { type Dimension, dimensions, formatQuantity, preferredUnit } from "../quantity/index.js";
import { evaluated } from "./expression.js";
import type { NoteInput, NoteLine, NoteMethod, NotePart, Origin } from "./note.js";
import { noteNumber } from "./number.js";

/** What a line is of: a dimension, or a unit that no field of the valve file has. */
export type Of = Dimension | { readonly unit: string };

/** A replayed step may differ from what the program used by this share of it: rounding, no more. */
const rounding = 1e-8;
/** And a bare ratio by this, since one less one is nothing [-]. */
const ratioRounding = 1e-10;

/** A replayed step does not give what the program used. */
export class Disagreement extends Error {}

/** A value that the steps need is not there: the check is of another form than they replay. */
export class NoSuchSteps extends Error {}

export class Steps {
  private readonly values = new Map<string, number>();
  private readonly made: { readonly title: string; readonly words?: string; readonly lines: NoteLine[] }[] =
    [];
  private how: NoteMethod | undefined;

  constructor(
    private readonly dossier: Dossier,
    private readonly defaults: readonly UsedDefault[],
  ) {}

  /** Parts with lines, and the method. */
  get parts(): readonly NotePart[] {
    return this.made.filter(({ lines, words }) => lines.length > 0 || words !== undefined);
  }

  get methodUsed(): NoteMethod | undefined {
    return this.how;
  }

  /** Value of a symbol that was written before. */
  at(symbol: string): number {
    const value = this.values.get(symbol);
    if (value === undefined) throw new Error(`the symbol ${symbol} is not known where it is used`);
    return value;
  }

  has(symbol: string): boolean {
    return this.values.has(symbol);
  }

  /** Begins a part. */
  part(title: string, words?: string): this {
    this.made.push({ title, lines: [], ...(words === undefined ? {} : { words }) });
    return this;
  }

  /** A declared value or the default that stands for it. Written once; asked for again it is the same. */
  field(symbol: string, path: string, meaning: string): number {
    if (this.values.has(symbol)) return this.at(symbol);
    const declared = valueAt(this.dossier, path);
    if (declared === undefined) throw new NoSuchSteps(path);
    return this.write({
      symbol,
      meaning,
      ...shown(declared.dimension, declared.value),
      origin: this.originOf(path),
    });
  }

  /** A value of the program or its data. */
  given(symbol: string, meaning: string, of: Of, value: number, origin: Origin | string): number {
    if (Number.isNaN(value)) throw new NoSuchSteps(symbol);
    return this.write({
      symbol,
      meaning,
      ...shown(of, value),
      origin: typeof origin === "string" ? { words: origin } : origin,
    });
  }

  /** An equation. @param used what the program has for it, where it keeps it */
  step(symbol: string, meaning: string, of: Of, equation: string, used?: number): number {
    const replayed = evaluated(equation, (name) => this.at(name));
    if (Number.isNaN(replayed)) throw new NoSuchSteps(symbol);
    if (used !== undefined) this.hold(symbol, replayed, used, shown(of, used).unit === "");
    return this.write({ symbol, meaning, ...shown(of, used ?? replayed), equation });
  }

  /** How a number was found that no equation of the note gives. @param reads sections of the valve file */
  method(words: string, control: NoteMethod["control"], reads: readonly string[] = []): this {
    this.how = { words, control, reads };
    return this;
  }

  private hold(symbol: string, replayed: number, used: number, isRatio: boolean): void {
    if (replayed === used) return;
    const most = rounding * Math.abs(used) + (isRatio ? ratioRounding : 0);
    if (Math.abs(replayed - used) <= most) return;
    throw new Disagreement(
      `${symbol} is ${noteNumber(replayed)} by the equation that the note prints, and ${noteNumber(used)} in the program`,
    );
  }

  private write(line: NoteLine): number {
    if (this.values.has(line.symbol)) throw new Error(`the symbol ${line.symbol} stands for two values`);
    this.values.set(line.symbol, line.value);
    if (this.made.length === 0) this.part("Steps");
    this.made.at(-1)?.lines.push(line);
    return line.value;
  }

  private originOf(path: string): Origin {
    const declared = valueAt(this.dossier, path);
    const filled = this.defaults.find(({ field }) => field === path);
    if (filled !== undefined)
      return { path, words: `not given, a default: ${filled.reason}`, source: filled.references.join("; ") };
    if (declared === undefined) return { path, words: "not given" };
    return { path, words: `${declared.text}, ${provenanceText(declared)}` };
  }

  /** Declared values of a section; what it weighs and costs is of no matter here. */
  declaredIn(section: string): readonly NoteInput[] {
    return leavesOf(itemAt(this.dossier.valve, section), section).flatMap((path) => {
      const declared = valueAt(this.dossier, path);
      if (declared === undefined || path.includes(".build.")) return [];
      const { words } = this.originOf(path);
      return [{ path, written: nominalText(declared), from: words }];
    });
  }
}

/** Value, SI unit and usual unit of a line. */
function shown(of: Of, value: number): Pick<NoteLine, "value" | "unit" | "usual"> {
  if (typeof of !== "string") return { value, unit: of.unit, usual: "" };
  const { si } = dimensions[of];
  const unit = si.replace("(a)", "");
  if (!Number.isFinite(value)) return { value, unit, usual: "" };
  const usual = preferredUnit(value, of);
  return { value, unit, usual: usual.replace("(a)", "") === unit ? "" : formatQuantity(value, of) };
}

/** Paths of all declared values of a section, in the order of the file. */
function leavesOf(item: unknown, path: string): readonly string[] {
  if (typeof item !== "object" || item === null) return [];
  if ("value" in item && "law" in item) return [path];
  if (Array.isArray(item)) return item.flatMap((one: unknown, n) => leavesOf(one, `${path}[${n}]`));
  return Object.entries(item).flatMap(([key, one]) => leavesOf(one, `${path}.${key}`));
}
