/** Units as loggers write them: in brackets behind a name, in a row of their own, as a suffix. */
import { unitDimensions } from "../../quantity/index.js";

/** Everyday writings that the table of units does not hold, and what they stand for. */
const everyday: Readonly<Record<string, string>> = {
  c: "degC",
  f: "degF",
  "grad c": "degC",
  amp: "A",
  amps: "A",
  ampere: "A",
  volt: "V",
  volts: "V",
  msec: "ms",
  usec: "µs",
  us: "µs",
  secs: "s",
  count: "counts",
  cts: "counts",
  raw: "counts",
  digits: "counts",
  lsb: "counts",
  µε: "µm/m",
  με: "µm/m",
  ustrain: "µm/m",
  microstrain: "µm/m",
  lpm: "L/min",
  slpm: "L/min",
  gradn: "deg",
  grad: "deg",
  "in-lbf": "lbf in",
  "in-lb": "lbf in",
  "ft-lb": "lbf ft",
  "ft-lbf": "lbf ft",
};

/** Units that no dimension has: a reading that needs a scale. */
const bare = /^(counts|%|-|1)$/;

/** Unit symbols that behind an underscore are rather part of a name: p_t, dT_h, temp_g. */
const partOfName = /^(m|g|h|t|d|N|J|W|L|l|in|p|oz|lb|min|days?|1|-|%)$/;

/** A unit without the brackets around it, in a writing that the table of units knows where there is one. */
export function plainUnit(text: string): string {
  const inner = text
    .trim()
    .replace(/^[[(<{]\s*(.*?)\s*[\])>}]$/, "$1")
    .trim();
  return everyday[inner.toLowerCase()] ?? withMark(inner) ?? inner;
}

/** BARG, PSIA, kPag: the mark of gauge or absolute in parentheses, the unit in its usual letters. */
function withMark(text: string): string | undefined {
  const found = /^(m?bar|k?psi|[kMm]?Pa)\s*_?\(?([ag])(?:bs|auge)?\)?$/i.exec(text);
  if (found === null) return undefined;
  const unit = ["bar", "mbar", "psi", "ksi", "Pa", "kPa", "MPa"].find(
    (usual) => usual.toLowerCase() === (found[1] ?? "").toLowerCase(),
  );
  return unit === undefined ? undefined : `${unit}(${(found[2] ?? "").toLowerCase()})`;
}

function isUnit(text: string): boolean {
  const words = plainUnit(text);
  return bare.test(words) || unitDimensions(words).length > 0;
}

/**
 * Parts a column's name from the unit in it: `Current [mA]`, `p_up (psi)`, `angle/deg`, `t_ms`,
 * `Torque, N m`, `Temp in degC`.
 */
export function splitName(text: string): { readonly name: string; readonly unit?: string } {
  const whole = text.replaceAll(/\s+/g, " ").trim();
  const bracketed = /^(.*?)\s*(\[[^\]]*\]|\([^)]*\)|<[^>]*>|\{[^}]*\})\s*$/.exec(whole);
  if (bracketed !== null && (bracketed[1] ?? "") !== "") {
    const words = plainUnit(bracketed[2] ?? "");
    // p_up (psi) (g), and bar(g) whose own mark stands in the only brackets.
    const outer = /^(.*?)[\s_/,[(]+((?:m?bar|k?psi|[kM]?Pa))\]?\)?$/i.exec(bracketed[1] ?? "");
    const mark = /^(a|abs|absolute|g|gauge)$/i.exec(words)?.[1]?.charAt(0).toLowerCase();
    if (outer !== null && mark !== undefined) {
      return { name: (outer[1] ?? "").trim(), unit: plainUnit(`${outer[2] ?? ""}${mark}`) };
    }
    if (isUnit(words)) return { name: (bracketed[1] ?? "").trim(), unit: words };
    return { name: whole };
  }
  const suffixed =
    /^(.+?)\s*(?:\/|,|\bin\b)\s*([^/,]+(?:\/[A-Za-z0-9]+)?)$/.exec(whole) ??
    /^(.+?)[_ ]+((?:m?bar|k?psi|[kM]?Pa)[_ ]?[ag])$/i.exec(whole) ??
    /^(.+)[_ ]([^_ ]+)$/.exec(whole);
  const suffix = suffixed?.[2] ?? "";
  if (isUnit(suffix) && !partOfName.test(suffix)) {
    return { name: (suffixed?.[1] ?? "").trim(), unit: plainUnit(suffix) };
  }
  return { name: whole };
}
