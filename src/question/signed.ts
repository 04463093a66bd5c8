/**
 * Whose word something is, and from which day. One rule for every word with a day: without a name or a
 * day it counts for nothing, and one that is dated after the day of judging does not count yet.
 */
import type { Context } from "./context.js";

/** A word as declared. */
export interface Said {
  readonly who?: string | undefined;
  readonly when?: string | undefined;
}

type Judged = Pick<Context, "evidence">;

/** Whether a day lies after that of judging; where nobody says which that is, the day is taken as written. */
export function isStillToCome({ evidence: { day } }: Judged, when: string): boolean {
  return day !== undefined && when > day;
}

/** What is asked for where a word is dated after the day of judging. */
export function stillToComeWords(path: string, when: string): string {
  return `${path}: a day up to today; ${when} is still to come`;
}

/** "design review, 2026-03-02"; undefined where name or day is missing, or the day is still to come. */
export function wordOf(context: Judged, { who, when }: Said): string | undefined {
  if (who === undefined || when === undefined || isStillToCome(context, when)) return undefined;
  return `${who}, ${when}`;
}

/** What a word lacks that it may count: name, day, a day that has come. */
export function unsigned(context: Judged, path: string, said: Said | undefined): readonly string[] {
  const when = said?.when;
  return [
    ...(["who", "when"] as const).flatMap((key) => (said?.[key] === undefined ? [`${path}.${key}`] : [])),
    ...(when !== undefined && isStillToCome(context, when) ? [stillToComeWords(`${path}.when`, when)] : []),
  ];
}
