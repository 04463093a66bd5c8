/** A printed note as a reader has it: symbols with values, equations with results; and a calculator of its own. */

/** One equation as printed. */
export interface PrintedStep {
  readonly symbol: string;
  readonly equation: string;
  /** The same with numbers in place of symbols. */
  readonly numbers: string;
  readonly result: string;
}

/** One check of a note. */
export interface PrintedCheck {
  readonly name: string;
  /** Printed values by symbol, those of results too. */
  readonly values: ReadonlyMap<string, string>;
  readonly steps: readonly PrintedStep[];
}

/** The checks of a note in Markdown. */
export function printedChecks(markdown: string): readonly PrintedCheck[] {
  return markdown
    .split(/^### /m)
    .slice(1)
    .filter((text) => /^- check: `/m.test(text))
    .map((text) => {
      const given = [...text.matchAll(/^\| ([A-Za-z]\w*) \| (-?[\d.]+(?:e-?\d+)?) \|/gm)];
      const steps = [...text.matchAll(/^([A-Za-z]\w*) = (.+)\n {4}= (.+)\n {4}= (\S+)/gm)].map(
        ([, symbol = "", equation = "", numbers = "", result = ""]) => ({
          symbol,
          equation,
          numbers,
          result,
        }),
      );
      return {
        name: text.split("\n")[0] ?? "",
        values: new Map([
          ...given.map(([, symbol = "", value = ""]) => [symbol, value] as const),
          ...steps.map(({ symbol, result }) => [symbol, result] as const),
        ]),
        steps,
      };
    });
}

/** Half of the last printed digit. */
export function halfDigit(printed: string): number {
  const [mantissa = "0", exponent = "0"] = printed.replace(/^-/, "").split("e");
  const decimals = mantissa.split(".")[1]?.length ?? 0;
  // Seven digits are printed and closing zeros left out: the last one is the seventh.
  const whole = mantissa.replace(".", "").replace(/^0+/, "").length;
  return 0.5 * 10 ** (Number(exponent) - decimals - Math.max(7 - whole, 0));
}

const operators: Readonly<
  Record<
    string,
    { readonly rank: number; readonly toRight?: true; readonly of: (a: number, b: number) => number }
  >
> = {
  "+": { rank: 1, of: (a, b) => a + b },
  "-": { rank: 1, of: (a, b) => a - b },
  "*": { rank: 2, of: (a, b) => a * b },
  "/": { rank: 2, of: (a, b) => a / b },
  negative: { rank: 3, toRight: true, of: (_, b) => -b },
  "^": { rank: 4, toRight: true, of: (a, b) => a ** b },
};
const named: Readonly<Record<string, (of: readonly number[]) => number>> = {
  sqrt: ([x = Number.NaN]) => Math.sqrt(x),
  ln: ([x = Number.NaN]) => Math.log(x),
  log10: ([x = Number.NaN]) => Math.log10(x),
  exp: ([x = Number.NaN]) => Math.exp(x),
  abs: ([x = Number.NaN]) => Math.abs(x),
  min: (of) => Math.min(...of),
  max: (of) => Math.max(...of),
};

/** Value of an expression, by two stacks as a desk calculator has them. @param symbols values by name */
export function calculated(expression: string, symbols: ReadonlyMap<string, number> = new Map()): number {
  const values: number[] = [];
  const waiting: string[] = [];
  /** Values that stood when each bracket of a function opened, and its name. */
  const calls: { readonly name: string; readonly from: number }[] = [];
  const pop = () => {
    const value = values.pop();
    if (value === undefined) throw new Error(`a value is missing in ${expression}`);
    return value;
  };
  const apply = () => {
    const operator = operators[waiting.pop() ?? ""];
    if (operator === undefined) throw new Error(`an operator is missing in ${expression}`);
    const b = pop();
    values.push(operator.of(operator === operators.negative ? 0 : pop(), b));
  };
  const reduceTo = (bracket: string) => {
    while (waiting.length > 0 && waiting.at(-1) !== bracket) apply();
  };
  let isOperand = true;
  let called = "";
  for (const [token, word] of expression.matchAll(/(?:\d+\.?\d*(?:e[+-]?\d+)?)|([A-Za-z]\w*)|[-+*/^(),]/g)) {
    if (word !== undefined && named[word] !== undefined) {
      called = word;
      continue;
    }
    if (word !== undefined || /\d/.test(token)) {
      const value = word === undefined ? Number(token) : word === "pi" ? Math.PI : symbols.get(word);
      if (value === undefined) throw new Error(`${word} has no value in ${expression}`);
      values.push(value);
      isOperand = false;
    } else if (token === "(") {
      waiting.push("(");
      calls.push({ name: called, from: values.length });
      called = "";
      isOperand = true;
    } else if (token === ",") {
      reduceTo("(");
      isOperand = true;
    } else if (token === ")") {
      reduceTo("(");
      waiting.pop();
      const call = calls.pop();
      if (call !== undefined && call.name !== "") {
        const of = values.splice(call.from);
        values.push(named[call.name]?.(of) ?? Number.NaN);
      }
      isOperand = false;
    } else {
      const name = isOperand && token === "-" ? "negative" : token;
      const rank = operators[name]?.rank ?? 0;
      for (;;) {
        const before = operators[waiting.at(-1) ?? ""];
        if (before === undefined || name === "negative") break;
        if (before.rank < rank || (before.rank === rank && operators[name]?.toRight === true)) break;
        apply();
      }
      waiting.push(name);
      isOperand = true;
    }
  }
  while (waiting.length > 0) apply();
  if (values.length !== 1) throw new Error(`${expression} does not come to one value`);
  return values[0] ?? Number.NaN;
}
