/**
 * The grammar of units: products, quotients and powers of the rows of units.ts.
 *
 *   unit     = quotient
 *   quotient = product { "/" factor }          a product after a slash needs parentheses
 *   product  = factor { [ "*" | "." | "·" | "-" ] factor }
 *   factor   = ( symbol | "(" quotient ")" | "1" ) [ power ]
 *   power    = [ "^" | "**" ] integer           or superscripts; -1 as in s-1
 */
import { type Dimension, dimensionRecord, type Exponents, exponentsOf } from "./dimension.js";
import { prefixes, type UnitRow, units } from "./units.js";

/** What the words of a unit amount to. */
export interface UnitMeaning {
  readonly exponents: Exponents;
  /** SI = factor * number + offset. */
  readonly factor: number;
  readonly offset: number;
  /** The only dimensions it may stand for; absent where the exponents decide. */
  readonly only?: readonly Dimension[];
  readonly takesReference: boolean;
  /** The same words with pounds and ounces read as forces, if they hold any. */
  readonly spoken?: { readonly exponents: Exponents; readonly factor: number };
}

/** Why the words of a unit mean nothing. */
export type UnitProblem =
  | { readonly kind: "unknown"; readonly word: string }
  | { readonly kind: "ambiguous"; readonly mend: string }
  | { readonly kind: "broken" };

interface Factor {
  readonly exponents: Exponents;
  readonly factor: number;
  readonly spoken: { readonly exponents: Exponents; readonly factor: number };
}

const one: Factor = {
  exponents: [0, 0, 0, 0, 0, 0],
  factor: 1,
  spoken: { exponents: [0, 0, 0, 0, 0, 0], factor: 1 },
};

/** Rows by every name, without prefix. */
const byName: ReadonlyMap<string, UnitRow> = new Map(
  units.flatMap((row) => [row.symbol, ...row.aliases].map((name): [string, UnitRow] => [name, row])),
);

const superscripts = "⁰¹²³⁴⁵⁶⁷⁸⁹";

/** What is no plain letter, digit or mark of its own, a `*`, and spaces that do not part two words. */
const unusual = /[^ -)+-~]| {2}|^ | $/;

/** One way of writing for each sign: micro, ohm, superscripts, minus and multiplication signs. */
export function plainSigns(text: string): string {
  // Nearly every text is plain already, and each is asked for several times.
  if (!unusual.test(text)) return text;
  return text
    .trim()
    .replaceAll("\u03BC", "µ")
    .replaceAll("\u2126", "Ω")
    .replaceAll(/[\u2212\u2013\u2010\u2011]/g, "-")
    .replaceAll("**", "^")
    .replaceAll(/[*⋅×∙]/g, "·")
    .replaceAll(/[\u00A0\u2009\u202F]/g, " ")
    .replaceAll("⁻", "-")
    .replaceAll(/[⁰¹²³⁴⁵⁶⁷⁸⁹]/g, (digit) => String(superscripts.indexOf(digit)))
    .replaceAll(/\s+/g, " ");
}

/** Every name a unit of the table can be typed as, without prefixes. */
export function unitNames(): readonly string[] {
  return [...byName.keys()];
}

/**
 * Meaning of the words of a unit, without any mark of gauge or absolute.
 *
 * @param text  words with plain signs (see `plainSigns`); empty means a bare number
 */
export function unitMeaning(text: string): UnitMeaning | UnitProblem {
  const lone = loneUnit(text);
  if (lone !== undefined) {
    const { row, scale } = lone;
    const factor = row.factor * scale;
    return {
      exponents: exponentsOf(row.dimension),
      factor,
      offset: row.offset ?? 0,
      ...(row.only === undefined ? {} : { only: row.only }),
      takesReference: row.takesReference ?? false,
      ...(row.spokenForce === undefined ? {} : { spoken: factorOf(row, scale).spoken }),
    };
  }
  try {
    const whole = new UnitReader(text).read();
    const isSpoken = whole.spoken.factor !== whole.factor;
    return {
      exponents: whole.exponents,
      factor: whole.factor,
      offset: 0,
      takesReference: true,
      ...(isSpoken ? { spoken: whole.spoken } : {}),
    };
  } catch (thrown) {
    if (thrown instanceof Unreadable) return thrown.problem;
    throw thrown;
  }
}

class Unreadable extends Error {
  readonly problem: UnitProblem;
  constructor(problem: UnitProblem) {
    super(problem.kind);
    this.problem = problem;
  }
}

/** A row by its name or by a prefix and its name; names win, so that `min` is a minute. */
function loneUnit(word: string): { readonly row: UnitRow; readonly scale: number } | undefined {
  const whole = byName.get(word);
  if (whole !== undefined) return { row: whole, scale: 1 };
  for (const { letter, factor } of prefixes) {
    if (!word.startsWith(letter)) continue;
    const row = byName.get(word.slice(letter.length));
    if (row?.prefixes?.includes(letter)) return { row, scale: factor };
  }
  return undefined;
}

function factorOf(row: UnitRow, scale: number): Factor {
  const exponents = exponentsOf(row.dimension);
  const factor = row.factor * scale;
  const force = row.spokenForce === undefined ? undefined : byName.get(row.spokenForce);
  const spoken =
    force === undefined
      ? { exponents, factor }
      : { exponents: exponentsOf(force.dimension), factor: force.factor };
  return { exponents, factor, spoken };
}

/** Reads one text from left to right; `at` is the invariant: everything before it has been read. */
class UnitReader {
  private at = 0;
  private readonly text: string;
  constructor(text: string) {
    this.text = text;
  }

  read(): Factor {
    const whole = this.quotient();
    if (this.at < this.text.length) throw new Unreadable({ kind: "broken" });
    return whole;
  }

  private quotient(): Factor {
    let value = this.product();
    while (this.take(/^ ?\/ ?/) !== undefined) {
      const below = this.factor();
      value = times(value, power(below, -1));
      if (/^ ?[·.-]? ?[A-Za-z°µΩ(%]/.test(this.rest()))
        throw new Unreadable({ kind: "ambiguous", mend: this.mend() });
    }
    return value;
  }

  private product(): Factor {
    let value = this.factor();
    while (/^ ?[·.-]? ?[A-Za-z°µΩ(%]/.test(this.rest())) {
      this.take(/^ ?[·.-]? ?/);
      value = times(value, this.factor());
    }
    return value;
  }

  private factor(): Factor {
    let value: Factor;
    if (this.take(/^\( ?/) !== undefined) {
      value = this.quotient();
      if (this.take(/^ ?\)/) === undefined) throw new Unreadable({ kind: "broken" });
    } else {
      value = this.symbol();
    }
    const exponent = this.take(/^\^?-?\d/);
    return exponent === undefined ? value : power(value, Number(exponent.replace("^", "")));
  }

  private symbol(): Factor {
    if (this.take(/^1(?= ?\/)/) !== undefined) return one;
    const word = this.take(/^(?:mmH2O|inH2O|[A-Za-z°µΩ%]+)/);
    if (word === undefined) throw new Unreadable({ kind: "broken" });
    const lone = loneUnit(word);
    if (lone === undefined || lone.row.alone) throw new Unreadable({ kind: "unknown", word });
    return factorOf(lone.row, lone.scale);
  }

  private rest(): string {
    return this.text.slice(this.at);
  }

  private take(pattern: RegExp): string | undefined {
    const found = pattern.exec(this.rest())?.[0];
    if (found !== undefined) this.at += found.length;
    return found;
  }

  /** The text with the whole denominator in parentheses: W/m K -> W/(m K). */
  private mend(): string {
    const slash = this.text.indexOf("/");
    return `${this.text.slice(0, slash)}/(${this.text.slice(slash + 1).trim()})`;
  }
}

function times(a: Factor, b: Factor): Factor {
  return {
    exponents: add(a.exponents, b.exponents),
    factor: a.factor * b.factor,
    spoken: {
      exponents: add(a.spoken.exponents, b.spoken.exponents),
      factor: a.spoken.factor * b.spoken.factor,
    },
  };
}

function power(a: Factor, n: number): Factor {
  return {
    exponents: scaled(a.exponents, n),
    factor: a.factor ** n,
    spoken: { exponents: scaled(a.spoken.exponents, n), factor: a.spoken.factor ** n },
  };
}

function add(a: Exponents, b: Exponents): Exponents {
  return [a[0] + b[0], a[1] + b[1], a[2] + b[2], a[3] + b[3], a[4] + b[4], a[5] + b[5]];
}

function scaled(a: Exponents, n: number): Exponents {
  // Adding zero turns -0 into 0.
  return [a[0] * n + 0, a[1] * n + 0, a[2] * n + 0, a[3] * n + 0, a[4] * n + 0, a[5] * n + 0];
}

function sameExponents(a: Exponents, b: Exponents): boolean {
  return a.every((exponent, index) => exponent === b[index]);
}

/** True if a dimension takes a unit with these exponents, as it is or as its reciprocal. */
export function takesExponents(
  dimension: Dimension,
  exponents: Exponents,
): "plain" | "reciprocal" | undefined {
  const record = dimensionRecord(dimension);
  if (record.exponents.some((accepted) => sameExponents(accepted, exponents))) return "plain";
  if (record.reciprocal?.some((accepted) => sameExponents(accepted, exponents))) return "reciprocal";
  return undefined;
}
