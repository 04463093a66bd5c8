/** What the checks of the line share: what they rest on, and which of its places have a rating to be held against. */
import type { SurgeAnswer, SurgePlace } from "../predict/index.js";
import type { Check } from "./check.js";
import { waiting } from "./judgeOwn.js";
import { quantityWords } from "./words.js";

/** What every one of these checks rests on. */
export const ownMotion =
  "The valve moves as question 3 has it, its torque with the drop that the waves make of the steady one.";
export const ofThisLine =
  "The pipes are those declared under `line`, in every case; supports and the strength of bends are not looked at.";
export const fullOfLiquid = "The line is full of liquid; the pressures at both ends stay as declared.";

/** Fields without which nothing of the line is known, or why it cannot be followed. */
export function needsOf({ unfit, missing }: SurgeAnswer): readonly string[] {
  return unfit === undefined ? missing : [unfit];
}

/** Places that are held against a rating. */
export function rated({ places }: SurgeAnswer): readonly SurgePlace[] {
  return places.filter(({ allowed_Pa }) => allowed_Pa !== undefined);
}

/**
 * What the rated places keep says nothing of the others: it holds only where each has its rating. What a rated one
 * breaks fails all the same.
 */
export function overAll(places: readonly SurgePlace[], check: Check): Check {
  const open = places.filter(({ allowed_Pa }) => allowed_Pa === undefined);
  if (open.length === 0 || check.kind === "unknown" || check.verdict === "fails") return check;
  const { id, designChecks, failureModes, name, dimension, equation, source, assumptions } = check;
  return waiting(
    { id, designChecks, failureModes, name, dimension, equation, source, assumptions },
    open.map(ratingNeed),
  );
}

/** What a place without a rating asks for. */
export function ratingNeed({ kind, path }: SurgePlace): string {
  return kind === "valve" ? `${path}: each end connection with its rating` : path;
}

/** Pipes whose height nobody gave, in words. */
export function levels({ bounds, places }: SurgeAnswer): readonly string[] {
  if (bounds === undefined || bounds.level.length === 0) return [];
  const isAll = bounds.level.length === places.filter(({ kind }) => kind === "pipe").length;
  const which = isAll
    ? "No pipe has a rise, and all count as level"
    : `Without a rise, and counted as level: ${bounds.level.join(", ")}`;
  return [
    `${which}; a metre of height is ${quantityWords(bounds.weight_Pa_m, "pressure difference", "bar")}.`,
  ];
}

/** Places that are not counted, in words. */
export function unrated(answer: SurgeAnswer): readonly string[] {
  const names = answer.places.filter(({ allowed_Pa }) => allowed_Pa === undefined).map(({ name }) => name);
  return names.length === 0 ? [] : [`Without a rating, and not counted: ${names.join(", ")}.`];
}

/**
 * Why no closing is slow enough for the ratings; undefined where one is, or where nobody knows.
 * @param upTo a time in the closing definition that the answer is wanted for: slower ones were not tried [s]
 */
export function noClosingWords(answer: SurgeAnswer, upTo = 0): string | undefined {
  const { bounds, closing } = answer;
  if (bounds === undefined || closing === undefined || closing.outcome !== "arrived") return undefined;
  const never = bounds.shortest.filter(({ time_s }) => time_s === Number.POSITIVE_INFINITY);
  if (never.length === 0) return undefined;
  const standing = never.filter(
    ({ place: { allowed_Pa = 0, side } }) => side !== "downstream" && bounds.supply_Pa > allowed_Pa,
  );
  const wordsOf = (places: typeof never) =>
    places
      .map(
        ({ place: { name, allowed_Pa = Number.NaN } }) =>
          `${name} (${quantityWords(allowed_Pa, "pressure")})`,
      )
      .join(", ");
  if (standing.length > 0)
    return `no closing is slow enough: the supply pressure, ${quantityWords(bounds.supply_Pa, "pressure")}, is above what may be reached in ${wordsOf(standing)}`;
  const slowest = closing.start_s + bounds.slowest * (closing.end_s - closing.start_s);
  return upTo > slowest
    ? undefined
    : `no closing that was tried, up to ${quantityWords(slowest, "time", "ms")}, is slow enough for ${wordsOf(never)}`;
}
