/** The file that a person starts from: every field with its meaning, every value still blank. */
import { boundsWords, defaultWords } from "./describe.js";
import type { Field, ListField, QuantityField, SectionField } from "./field.js";
import { childPath } from "./path.js";
import { valveFile } from "./schema.js";

const width = 104;
const exampleColumn = 30;
/** A longer choice goes into the description. */
const longestChoice = 70;

const head = `# {name}
#
# Fill in what you know and leave the rest blank or delete it: a blank field is not known, and the
# answers that need it say so. Behind each field stands an example, not a recommendation.
#
# A value is a number with its unit. Where it is uncertain, say so:
#   0.08 +/- 0.02                                 standard uncertainty of a normal law
#   32 mm tol 0.1 mm                              anywhere within the tolerance
#   { from: 300 N, to: 700 N }                    anywhere between, each value equally likely
#   { nominal: 0.78, low: 0.70, high: 0.84 }      most likely value with its limits, triangular law
#   { value: 0.8 ohm +/- 4 %, origin: catalogue, because: "data sheet of the motor" }
# An absolute pressure says what it counts from: bar(a) from vacuum, bar(g) from the atmosphere.
`;

/**
 * Text of a valve file with every section and field, explained, without values.
 *
 * @param name  name of the valve
 */
export function starterFile(name: string): string {
  const title = name.replaceAll(/\s+/g, " ").trim();
  const lines = Object.entries(valveFile.fields).flatMap(([fieldName, field]) => {
    if (fieldName === "coldturn") return ["coldturn: 1"];
    if (fieldName === "name") return [title === "" ? "name:" : `name: ${JSON.stringify(title)}`];
    const isGroup = field.kind === "section" || field.kind === "list";
    return [...(isGroup ? [""] : []), ...fieldLines(fieldName, field, fieldName, 0)];
  });
  return `${head.replace("{name}", title === "" ? "A valve" : title)}${lines.join("\n")}\n`;
}

function fieldLines(name: string, field: Field, path: string, depth: number): readonly string[] {
  const indent = "  ".repeat(depth);
  const key = `${indent}${name}:`;
  switch (field.kind) {
    case "section":
      return [...comment(field.description, indent), key, ...sectionLines(field, path, depth + 1)];
    case "list":
      return [...comment(field.description, indent), key, ...itemLines(field, path, depth + 1)];
    case "quantity":
      return leafLines(
        key,
        `${field.description}${rangeWords(field)}`,
        exampleWords(field.example, path),
        indent,
      );
    case "text":
      return leafLines(key, field.description, exampleWords(field.example, path), indent);
    case "choice": {
      const words = field.words.join(" | ");
      if (words.length <= longestChoice) return leafLines(key, field.description, words, indent);
      return [...comment(`${field.description} One of ${field.words.join(", ")}.`, indent), key];
    }
    case "count":
      return leafLines(key, field.description, `${field.min} to ${field.max}`, indent);
  }
}

/** Bounds that a person would not guess. */
function rangeWords({ bounds, dimension }: QuantityField): string {
  const { min, minExclusive, max, maxExclusive } = bounds;
  const isPlain = max === undefined && maxExclusive === undefined && (min ?? minExclusive ?? 0) === 0;
  return isPlain ? "" : ` (${boundsWords(bounds, dimension)})`;
}

function exampleWords(example: string, path: string): string {
  const standIn = defaultWords(path);
  const left = standIn === undefined ? [] : [`left blank: ${standIn}`];
  return (standIn === example ? left : [`e.g. ${example}`, ...left]).join("; ");
}

function sectionLines(field: SectionField, path: string, depth: number): readonly string[] {
  return Object.entries(field.fields).flatMap(([name, child]) =>
    fieldLines(name, child, childPath(path, name), depth),
  );
}

/** One item as a pattern, commented out, so that the list stays empty. */
function itemLines(field: ListField, path: string, depth: number): readonly string[] {
  const lines = Object.entries(field.fields).flatMap(([name, child]) =>
    fieldLines(name, child, childPath(`${path}[]`, name), 0),
  );
  const first = lines.findIndex((line) => !line.startsWith("#"));
  return lines.map((line, index) => `${"  ".repeat(depth)}# ${index === first ? "- " : "  "}${line}`);
}

/** The field with its example on one line, its description above. */
function leafLines(key: string, description: string, example: string, indent: string): readonly string[] {
  const line = `${key.padEnd(exampleColumn)} # ${example}`;
  if (line.length > width) return [...comment(description, indent), ...comment(example, indent), key];
  return [...comment(description, indent), line];
}

function comment(text: string, indent: string): readonly string[] {
  const lines: string[] = [];
  let line = "";
  for (const word of text.split(" ")) {
    if (line !== "" && indent.length + line.length + word.length + 3 > width) {
      lines.push(line);
      line = word;
    } else line = line === "" ? word : `${line} ${word}`;
  }
  return [...lines, line].map((content) => `${indent}# ${content}`);
}
