/**
 * The equations of a note: read and evaluated as a person with a pocket calculator would, so that what is
 * printed is what is worked out. Infix, every product written out:
 *
 *   W = pi * d^3 / 16        tau = K_ts * T / W        MS = min(a, b) - 1
 *
 * Power binds before sign, sign before product, product before sum; power to the right, the others to the left.
 */

/** Functions that an equation may use, by name. */
const functions: ReadonlyMap<string, (...of: readonly number[]) => number> = new Map([
  ["sqrt", (x = Number.NaN) => Math.sqrt(x)],
  ["ln", (x = Number.NaN) => Math.log(x)],
  ["log10", (x = Number.NaN) => Math.log10(x)],
  ["exp", (x = Number.NaN) => Math.exp(x)],
  ["abs", (x = Number.NaN) => Math.abs(x)],
  ["min", (...of: readonly number[]) => Math.min(...of)],
  ["max", (...of: readonly number[]) => Math.max(...of)],
]);

const token = /\s*(?:(\d+\.?\d*(?:e[+-]?\d+)?)|([A-Za-z][A-Za-z0-9_]*)|([-+*/^(),]))/y;

/** One equation on its way from left to right. */
class Reader {
  private readonly tokens: readonly string[];
  private next = 0;

  constructor(
    private readonly text: string,
    private readonly symbolValue: (symbol: string) => number,
  ) {
    const tokens: string[] = [];
    token.lastIndex = 0;
    const rest = text.trimEnd();
    while (token.lastIndex < rest.length) {
      const [, number, name, sign] = token.exec(rest) ?? [];
      const found = number ?? name ?? sign;
      if (found === undefined) throw new Error(`the equation "${text}" cannot be read`);
      tokens.push(found);
    }
    this.tokens = tokens;
  }

  whole(): number {
    const value = this.sum();
    if (this.next < this.tokens.length) this.refuse();
    return value;
  }

  private sum(): number {
    let value = this.product();
    for (;;) {
      if (this.takes("+")) value += this.product();
      else if (this.takes("-")) value -= this.product();
      else return value;
    }
  }

  private product(): number {
    let value = this.signed();
    for (;;) {
      if (this.takes("*")) value *= this.signed();
      else if (this.takes("/")) value /= this.signed();
      else return value;
    }
  }

  private signed(): number {
    return this.takes("-") ? -this.signed() : this.power();
  }

  private power(): number {
    const base = this.atom();
    return this.takes("^") ? base ** this.signed() : base;
  }

  private atom(): number {
    const found = this.tokens[this.next++];
    if (found === undefined) return this.refuse();
    if (found === "(") {
      const value = this.sum();
      if (!this.takes(")")) this.refuse();
      return value;
    }
    if (/^\d/.test(found)) return Number(found);
    if (!/^[A-Za-z]/.test(found)) return this.refuse();
    if (found === "pi") return Math.PI;
    if (!this.takes("(")) return this.symbolValue(found);
    const of = functions.get(found);
    if (of === undefined) return this.refuse();
    const values = [this.sum()];
    while (this.takes(",")) values.push(this.sum());
    if (!this.takes(")")) this.refuse();
    return of(...values);
  }

  private takes(sign: string): boolean {
    if (this.tokens[this.next] !== sign) return false;
    this.next++;
    return true;
  }

  private refuse(): never {
    throw new Error(`the equation "${this.text}" cannot be read`);
  }
}

/** Value of an equation's right side. @param symbolValue value of a symbol, which throws for one it does not know */
export function evaluated(equation: string, symbolValue: (symbol: string) => number): number {
  return new Reader(equation, symbolValue).whole();
}

/** The right side with its symbols replaced: "pi * d^3 / 16" becomes "pi * 0.014^3 / 16". */
export function withNumbers(equation: string, textOf: (symbol: string) => string): string {
  return equation.replaceAll(/[A-Za-z][A-Za-z0-9_]*(?!\s*\(|[A-Za-z0-9_])/g, (symbol) =>
    symbol === "pi" ? symbol : textOf(symbol),
  );
}
