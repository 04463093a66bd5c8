/** Text as a terminal can show it: cleaned, and within ASCII for terminals and logs that know no more. */
import { cleanText } from "../words.js";

/** Text as the terminal can show it. */
export function shownText(text: string, manner: { readonly unicode: boolean }): string {
  const clean = cleanText(text).replaceAll("\u00a0", " ");
  return manner.unicode ? clean : plainText(clean);
}

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
