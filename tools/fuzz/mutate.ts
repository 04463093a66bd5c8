/**
 * Makes damaged files of good ones: bytes, lines, cells, structure and encoding are changed, one to six
 * changes a case, drawn from a stream of random numbers, so that a case comes again by its number.
 *
 * To add a way of damage: one function in the list of its form.
 */
import type { RandomStream } from "../../src/numerics/index.js";

/** What a file is to the one who damages it. */
export type FileKind = "yaml" | "json" | "table" | "binary";

type Damage<T> = (what: T, random: RandomStream, others: readonly T[]) => T;

/** Words that a reader has reason to stumble over: numbers at their ends, keys of every object, marks of the format. */
const words = [
  ..."0 -0 1 -1 007 0x1F 1e308 -1e308 1e309 1e-320 1e999999 123456789012345678901234567890 .5 5. 1,5 1.234,56".split(
    " ",
  ),
  ..."NaN .nan Infinity -.inf null ~ true false yes no 2031-04-18 2031-02-30 24:61:61 4294967296 9007199254740993".split(
    " ",
  ),
  ..."__proto__ constructor prototype toString hasOwnProperty valueOf length __defineGetter__ then".split(
    " ",
  ),
  ..."12 V 3 bar 28 bar(g) -300 degC 1 +/- -2 mm 5 % 0 % 1e400 mm 30:1 0:0 +/-".split(/ (?=\d|-)/),
  ..."* & ! | > % @ ` ? - : , [ ] { } # <<: --- ... ' \" '' \"\" \\ / $ ; =1+1 ../../etc/passwd C:\\nul".split(
    " ",
  ),
  ...[
    "",
    " ",
    "\t",
    "\u0000",
    "\u0007",
    "\u001b[31m",
    "\u00a0",
    "\u2028",
    "\u202e",
    "\ufeff",
    "\ufffd",
    "\ud800",
    "\u{1f600}",
    "é",
    "\u212b",
  ],
  "x".repeat(300),
  "9".repeat(400),
  "1".repeat(40_000),
];

const pick = <T>(list: readonly T[], random: RandomStream): T | undefined => list[random.below(list.length)];

/** The text between two random places replaced. */
function splice(text: string, random: RandomStream, longest: number, by: string): string {
  const at = random.below(text.length + 1);
  return text.slice(0, at) + by + text.slice(at + random.below(Math.min(longest, text.length - at) + 1));
}

function atLine(
  text: string,
  random: RandomStream,
  act: (line: string, lines: readonly string[]) => readonly string[],
): string {
  const lines = text.split("\n");
  const at = random.below(lines.length);
  return [...lines.slice(0, at), ...act(lines[at] ?? "", lines), ...lines.slice(at + 1)].join("\n");
}

const inText: readonly Damage<string>[] = [
  (text, random) => splice(text, random, 12, pick(words, random) ?? ""),
  (text, random) => splice(text, random, 0, String.fromCharCode(random.below(0x250))),
  (text, random) => splice(text, random, 200, ""),
  (text, random) => text.slice(0, random.below(text.length + 1)),
  (text, random) => atLine(text, random, (line) => [line, line]),
  (text, random) => atLine(text, random, () => []),
  (text, random) => atLine(text, random, (_, lines) => [pick(lines, random) ?? ""]),
  (text, random, others) => {
    const other = pick(others, random) ?? "";
    const at = random.below(other.length + 1);
    return splice(text, random, 400, other.slice(at, at + 400));
  },
  (text, random) => text.replaceAll("\n", pick(["\r\n", "\r", "\n\n", "\u2028"], random) ?? "\n"),
  // A number that stands there, another.
  (text, random) => {
    const numbers = [...text.matchAll(/\d+(?:\.\d+)?/g)];
    const { 0: found = "", index = 0 } = pick(numbers, random) ?? {};
    return `${text.slice(0, index)}${pick(words, random)}${text.slice(index + found.length)}`;
  },
];

const inYaml: readonly Damage<string>[] = [
  // The value of a line, another one.
  (text, random) => atLine(text, random, (line) => [line.replace(/:.*$/, `: ${pick(words, random)}`)]),
  (text, random) => atLine(text, random, (line) => [line.replace(/[\w-]+:/, `${pick(words, random)}:`)]),
  (text, random) => atLine(text, random, (line) => [`${" ".repeat(random.below(9))}${line.trim()}`]),
  (text, random) =>
    atLine(text, random, (line) => [line, `${/^ */.exec(line)?.[0] ?? ""}__proto__: { polluted: 1 }`]),
  (text, random) =>
    atLine(text, random, (line) => [
      line,
      `${/^ */.exec(line)?.[0] ?? ""}constructor: { prototype: { polluted: 1 } }`,
    ]),
  (text, random) =>
    atLine(text, random, (line) => [line.replace(/: /, ": &a "), line.replace(/:.*$/, "x: *a")]),
  (text, random) =>
    atLine(text, random, (line) => [line.replace(/:.*$/, `: ${"[".repeat(10 ** random.below(5))}`)]),
  (text, random) =>
    atLine(text, random, (line) => [line.replace(/:.*$/, `: ${"{a: ".repeat(10 ** random.below(4))}1`)]),
  (text, random) =>
    atLine(text, random, (line) => [line.replace(/:.*$/, `: [${"1, ".repeat(10 ** random.below(5))}]`)]),
  (text, random) =>
    atLine(text, random, (line) => [line, ...Array<string>(10 ** random.below(4)).fill(line)]),
  (text) =>
    `${text}\na: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\nd: &d [*c, *c]\ne: &e [*d, *d]\nvalve: *e\n`,
  (text, random) => atLine(text, random, (line) => [line, "? [1, 2]", ": 3"]),
  (text, random) => atLine(text, random, (line) => [line.replace(/: /, ": !!js/function ")]),
  (text, random) => atLine(text, random, (line) => [line.replace(/:.*$/, ":"), "<<: { a: 1 }"]),
];

const inJson: readonly Damage<string>[] = [
  (text, random) => text.replace(/"\w+":/, `"${pick(words, random)}":`),
  (text, random) => {
    const values = [...text.matchAll(/: ("[^"]*"|[-\d.e]+|null)/g)];
    const { 0: found = "", index = 0 } = pick(values, random) ?? {};
    const by = pick(
      ["null", "[]", "{}", "-1", "1e999", '""', '"x"', "true", '{"__proto__": {"polluted": 1}}'],
      random,
    );
    return `${text.slice(0, index)}: ${by}${text.slice(index + found.length)}`;
  },
  (text, random) => splice(text, random, 0, "[".repeat(10 ** random.below(6))),
  (_, random) => `${'{"a":'.repeat(10 ** random.below(5))}1${"}".repeat(10)}`,
  (text, random) => `${"[".repeat(10 ** random.below(5))}${text}`,
];

const inTable: readonly Damage<string>[] = [
  // One cell.
  (text, random) =>
    atLine(text, random, (line) => {
      const sign = /[;\t,|]/.exec(line)?.[0] ?? ",";
      const cells = line.split(sign);
      cells[random.below(cells.length)] = pick(words, random) ?? "";
      return [cells.join(sign)];
    }),
  // A cell more, a cell less.
  (text, random) => atLine(text, random, (line) => [`${line},${pick(words, random)}`]),
  (text, random) => atLine(text, random, (line) => [line.replace(/[;\t,|][^;\t,|]*$/, "")]),
  // Another head.
  (text, random) => text.replace(/^.*\n/, (head) => head.replace(/[\w ]+/, pick(words, random) ?? "")),
  (text) => text.replace(/^.*\n/, (head) => `${head}${head}`),
  (text, random) =>
    text.replaceAll(
      pick([",", ".", ";", "\t", " "], random) ?? ",",
      pick([",", ";", "\t", " ", ""], random) ?? "",
    ),
  (text, random) => atLine(text, random, () => [`"${"a".repeat(random.below(50))}`]),
  (text, random) =>
    atLine(text, random, (line) => [line, ...Array<string>(10 ** random.below(4)).fill(line)]),
  (text, random) =>
    text
      .split("\n")
      .sort(() => random.uniform() - 0.5)
      .join("\n"),
  (_, random) => `${Array.from({ length: 10 ** random.below(4) }, (_unused, k) => `c${k}`).join(",")}\n1\n`,
];

const inBytes: readonly Damage<Uint8Array>[] = [
  ...[1, 4, 16].map(
    (count): Damage<Uint8Array> =>
      (bytes, random) => {
        const next = Uint8Array.from(bytes);
        for (let k = 0; k < count && next.length > 0; k++) next[placeIn(next, random)] = random.below(256);
        return next;
      },
  ),
  (bytes, random) => bytes.subarray(0, random.below(bytes.length + 1)),
  (bytes, random) => {
    const next = Uint8Array.from(bytes);
    const at = placeIn(next, random);
    return next.fill(pick([0, 0xff, 0x7f, 0x80], random) ?? 0, at, at + 1 + random.below(8));
  },
  (bytes, random) => {
    const at = random.below(bytes.length + 1);
    const part = bytes.subarray(at, at + random.below(200));
    return Buffer.concat([bytes.subarray(0, at), part, bytes.subarray(at)]);
  },
  (bytes, random) => {
    const at = random.below(bytes.length + 1);
    return Buffer.concat([bytes.subarray(0, at), bytes.subarray(at + 1 + random.below(64))]);
  },
  (bytes, random, others) => {
    const other = pick(others, random) ?? bytes;
    return Buffer.concat([
      bytes.subarray(0, random.below(bytes.length + 1)),
      other.subarray(random.below(other.length + 1)),
    ]);
  },
];

/** A place in a file, its ends as likely as all the rest: there stand the lengths. */
function placeIn(bytes: Uint8Array, random: RandomStream): number {
  const end = Math.min(bytes.length, 400);
  const where = random.below(4);
  if (where === 0) return random.below(end);
  return where === 1 ? bytes.length - 1 - random.below(end) : random.below(bytes.length);
}

const ways: Readonly<Record<Exclude<FileKind, "binary">, readonly Damage<string>[]>> = {
  yaml: [...inText, ...inYaml],
  json: [...inText, ...inJson],
  table: [...inText, ...inTable],
};

/** A text as bytes: mostly UTF-8, now and then as other programs write it. */
function encoded(text: string, random: RandomStream): Uint8Array {
  switch (random.below(40)) {
    case 0:
      return Buffer.from(`\ufeff${text}`, "utf16le");
    case 1:
      return Buffer.from(text, "utf16le").swap16();
    case 2:
      return Buffer.from(text, "latin1");
    case 3:
      return Buffer.from(`\ufeff${text}`, "utf8");
    default:
      return Buffer.from(text, "utf8");
  }
}

/** No case is larger: what fills a disk is a matter of size, which the readers bound by themselves [byte]. */
const largest = 3_000_000;

/** A damaged file. One in fifty is left as it is: what a reader does with a good file is under test too. */
export function damaged(kind: FileKind, seeds: readonly Uint8Array[], random: RandomStream): Uint8Array {
  const seed = pick(seeds, random) ?? new Uint8Array();
  const changes = random.below(50) === 0 ? 0 : 1 + random.below(6);
  let bytes = seed;
  if (kind === "binary" || random.below(10) === 0) {
    for (let k = 0; k < changes; k++) bytes = (pick(inBytes, random) ?? same)(bytes, random, seeds);
  } else {
    const texts = seeds.map((one) => Buffer.from(one).toString("utf8"));
    let text = Buffer.from(seed).toString("utf8");
    for (let k = 0; k < changes && text.length < largest; k++)
      text = (pick(ways[kind], random) ?? same)(text, random, texts);
    bytes = encoded(text, random);
  }
  return bytes.subarray(0, largest);
}

const same = <T>(what: T): T => what;
