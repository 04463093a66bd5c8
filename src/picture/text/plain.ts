/** Text within ASCII, for terminals and logs that know no more. */

const spelled: ReadonlyMap<string, string> = new Map([
  ["−", "-"],
  ["–", "-"],
  ["—", "-"],
  ["·", "*"],
  ["×", "x"],
  ["°", "deg"],
  ["±", "+/-"],
  ["≤", "<="],
  ["≥", ">="],
  ["…", "..."],
  ["→", "->"],
  ["µ", "u"],
  ["μ", "u"],
  ["Ω", "Ohm"],
  ["Δ", "d"],
  ["²", "2"],
  ["³", "3"],
  ["\u202f", " "],
  ["\u00a0", " "],
  ["’", "'"],
  ["“", '"'],
  ["”", '"'],
]);

/** The text with every character outside ASCII spelled out, or a question mark where no spelling is known. */
export function plainText(text: string): string {
  let plain = "";
  for (const character of text)
    plain += (character.codePointAt(0) ?? 0) < 0x7f ? character : (spelled.get(character) ?? "?");
  return plain;
}
