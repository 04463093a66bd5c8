/** Words that single tests and several of them share. */
import { type Context, labelOf } from "./context.js";

/** A refusal for a reader: it names an input by its path first. */
export function refusalWords(context: Context, refusal: string): string {
  const [first = ""] = refusal.split(" ");
  return /^[a-z]+[.[]/.test(first) ? refusal.replace(first, labelOf(context, first)) : refusal;
}
