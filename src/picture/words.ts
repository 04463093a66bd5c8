/** Words and numbers as they stand in a picture: cleaned, measured, wrapped. No locale, no clock. */

/**
 * Text with control characters and everything XML forbids turned into spaces, and runs of space into one,
 * so that a title from a file can neither break a picture nor steer a terminal.
 */
export function cleanText(text: string): string {
  let clean = "";
  for (const character of text) clean += isPrintable(character.codePointAt(0) ?? 0) ? character : " ";
  return clean.replace(/ +/g, " ").trim();
}

function isPrintable(code: number): boolean {
  const control = code < 0x20 || (code >= 0x7f && code < 0xa0);
  const steersText = (code >= 0x200b && code <= 0x200f) || (code >= 0x2028 && code <= 0x202e);
  const isolates = (code >= 0x2060 && code <= 0x206f) || code === 0xfeff;
  const surrogate = code >= 0xd800 && code <= 0xdfff;
  return !(control || steersText || isolates || surrogate || (code & 0xfffe) === 0xfffe);
}

/**
 * Label and unit of an axis: "Time since command [ms]"; a plain ratio has [-]. Where room is short
 * the label is cut, the unit only when it alone is too long.
 */
export function axisTitle(
  axis: { readonly label: string; readonly unit: string },
  room: number,
  measure: (text: string) => number,
  ellipsis = "…",
): string {
  const unit = cleanText(axis.unit);
  const bracket = ` [${unit === "" ? "-" : unit}]`;
  const label = clip(cleanText(axis.label), room - measure(bracket), measure, ellipsis);
  return clip(`${label}${bracket}`, room, measure, ellipsis);
}

/** Number of terminal cells a text takes: two for the wide scripts, none for combining marks. */
export function cellsOf(text: string): number {
  let cells = 0;
  for (const character of text) cells += cellsOfCode(character.codePointAt(0) ?? 0);
  return cells;
}

function cellsOfCode(code: number): number {
  if ((code >= 0x300 && code <= 0x36f) || (code >= 0xfe00 && code <= 0xfe0f)) return 0;
  const wide =
    (code >= 0x1100 && code <= 0x115f) ||
    (code >= 0x2e80 && code <= 0xa4cf) ||
    (code >= 0xac00 && code <= 0xd7a3) ||
    (code >= 0xf900 && code <= 0xfaff) ||
    (code >= 0xfe30 && code <= 0xfe6f) ||
    (code >= 0xff00 && code <= 0xff60) ||
    (code >= 0x1f300 && code <= 0x1faff) ||
    (code >= 0x20000 && code <= 0x3fffd);
  return wide ? 2 : 1;
}

/**
 * Advance widths in thousandths of the type size, of a wide face (DejaVu Sans Book 2.37, rounded to
 * 20). The faces named in a picture are as wide or narrower, so measured text never runs into its
 * neighbour.
 */
const advances: readonly (readonly [number, string])[] = [
  [290, "'ijlIJ"],
  [330, " ,./:;\\|·\u202f\u00a0"],
  [370, "-f"],
  [410, "!()[]tr²³"],
  [480, '"*_`°'],
  [540, "szc?L"],
  [590, "FkPvxy"],
  [630, "TYaeo"],
  [640, "$0123456789ESbdghnpqu{}µ"],
  [690, "KABVXZCR"],
  [750, "NUHΩ"],
  [790, "&DGOQ"],
  [840, "w#+<=>^~≤≥±−×→"],
  [990, "MWm%@…"],
];
const advanceOf: ReadonlyMap<string, number> = new Map(
  advances.flatMap(([width, characters]) => [...characters].map((one): [string, number] => [one, width])),
);
const unlistedAdvance = 700;
// Bold letters of the same face are up to 12 % wider.
const boldFactor = 1.12;

/** Upper bound of the drawn width of a text. @param size  type size [px]; @returns [px] */
export function textWidth(text: string, size: number, bold = false): number {
  let width = 0;
  for (const character of text)
    width += advanceOf.get(character) ?? unlistedAdvance * Math.max(1, cellsOf(character));
  return (width / 1000) * size * (bold ? boldFactor : 1);
}

/**
 * Lines of a text, broken at spaces, none longer than `room` by the given measure. A word that is too
 * long by itself is broken anywhere; words beyond `most` lines end in an ellipsis.
 */
export function wrap(
  text: string,
  room: number,
  measure: (text: string) => number,
  most = Number.POSITIVE_INFINITY,
  ellipsis = "…",
): readonly string[] {
  const lines: string[] = [];
  let line = "";
  for (const word of cleanText(text).split(" ")) {
    const longer = line === "" ? word : `${line} ${word}`;
    if (measure(longer) <= room) {
      line = longer;
      continue;
    }
    if (line !== "") lines.push(line);
    line = word;
    while (measure(line) > room && [...line].length > 1) {
      const head = shorten(line, room, measure);
      lines.push(head);
      line = line.slice(head.length);
    }
  }
  if (line !== "") lines.push(line);
  if (lines.length <= most) return lines;
  const kept = lines.slice(0, most);
  const last = kept.pop() ?? "";
  return [...kept, clip(`${last} ${lines[most] ?? ""}`, room, measure, ellipsis)];
}

/** The text itself if it fits, else its beginning with an ellipsis. */
export function clip(text: string, room: number, measure: (text: string) => number, ellipsis = "…"): string {
  if (measure(text) <= room) return text;
  const left = room - measure(ellipsis);
  return left <= 0 ? "" : `${shorten(text, left, measure).trimEnd()}${ellipsis}`;
}

/** The longest beginning that fits, at least one character. */
function shorten(text: string, room: number, measure: (text: string) => number): string {
  let head = "";
  for (const character of text) {
    if (head !== "" && measure(head + character) > room) break;
    head += character;
  }
  return head;
}

// Beyond these a tick is printed with a power of ten.
const largestPlain = 1e7;
const smallestPlain = 1e-5;

/**
 * A number as printed in a picture, to the decimals that a step between neighbours needs.
 * @param step  distance of values to be told apart, > 0, in the unit of the value
 */
export function numberText(value: number, step: number): string {
  const size = Math.abs(value);
  if (size >= largestPlain || (step < smallestPlain && size > 0)) return withPower(value, step);
  const decimals = Math.min(8, Math.max(0, Math.ceil(-Math.log10(step) - 1e-9)));
  const plain = size.toFixed(decimals);
  const sign = value < 0 && Number(plain) !== 0 ? "−" : "";
  return sign + grouped(plain);
}

function withPower(value: number, step: number): string {
  const digits = Math.floor(Math.log10(Math.abs(value))) - Math.floor(Math.log10(step));
  const [mantissa, power] = value.toExponential(Math.min(6, Math.max(0, digits))).split("e");
  return `${mantissa}e${Number(power)}`.replaceAll("-", "−");
}

/** Thousands parted by a thin space from five figures on; neither comma nor point could be misread. */
function grouped(plain: string): string {
  const [whole = "", fraction] = plain.split(".");
  const parted = whole.length < 5 ? whole : whole.replace(/\B(?=(\d{3})+$)/g, "\u202f");
  return fraction === undefined ? parted : `${parted}.${fraction}`;
}
