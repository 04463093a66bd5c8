/** The date of a test: typed, or from the stamps of its log, and whether clock and stamps bear it out. */
import { dateOf, type Inspection, type Mapping } from "../evidence/index.js";
import { type Notice, refuse } from "../fault/index.js";

/** Typed times and stamps further apart than this are not the same moment [ms]. */
const sameMoment = 3_600_000;

/** Refuses a text that is no date. */
export function readDate(text: string): string {
  const isDate = /^\d{4}-\d{2}-\d{2}(T\d{2}:\d{2}(:\d{2}(\.\d+)?)?(Z|[+-]\d{2}:\d{2}))?$/.test(text);
  if (isDate && !Number.isNaN(Date.parse(text))) return text;
  return refuse(
    "date-unreadable",
    `"${text}" is no date`,
    "The date of a test decides which predictions were sealed before it.",
    "Write it as 2031-04-18, or with time and zone as 2031-04-18T09:30:00Z",
  );
}

/**
 * When the log begins by its own stamps: the instant where they name their zone, else the day alone,
 * which counts from its first minute.
 */
export function stampedDate({ time }: Mapping, { columns }: Inspection): string | undefined {
  if (time.kind === "sample number") return undefined;
  const firstOf = (ref: { readonly name: string; readonly index: number }) =>
    columns.find(({ name, index }) => name === ref.name || index === ref.index)?.first[0]?.trim() ?? "";
  if (time.kind === "elapsed") {
    // A number of days or seconds since an epoch says the day; whose clock and zone it was is not said.
    const first = Number(firstOf(time.column).replace(",", "."));
    if (time.epoch === undefined || !Number.isFinite(first)) return undefined;
    return dateOf(first, { unit: time.unit ?? "s", epoch: time.epoch }).slice(0, 10);
  }
  const written = time.date_column === undefined ? firstOf(time.column) : firstOf(time.date_column);
  const [, day, rest = ""] = /^(\d{4}-\d{2}-\d{2})(.*)$/.exec(written) ?? [];
  const [, clock] = /^[T ](\d{2}:\d{2}(?::\d{2})?)[\d.,]*(?:Z|[+-]\d{2}:?\d{2})$/.exec(rest) ?? [];
  const zone = /(Z|[+-]\d{2}:?\d{2})$/.exec(rest)?.[1]?.replace(/(\d{2})(\d{2})$/, "$1:$2");
  if (day === undefined || Number.isNaN(Date.parse(day))) return undefined;
  return clock === undefined || zone === undefined ? day : `${day}T${clock}${zone}`;
}

/** The day that a line above the table names as its date, where it is written with the year first. */
export function headDate({ metadata }: Inspection): string | undefined {
  const line = metadata.find(({ text }) => /^\W*(test |start )?(date|datum)\b/i.test(text));
  const day = /\b\d{4}-\d{2}-\d{2}\b/.exec(line?.text ?? "")?.[0];
  return day === undefined || Number.isNaN(Date.parse(day)) ? undefined : day;
}

/**
 * What speaks against the date of a test.
 *
 * @param said   typed, if it was;  @param stamped  by the log, if it says so;  @param now  of the clock
 * Refuses       a typed date on another day than the log's own
 */
export function dateNotices(
  said: string | undefined,
  stamped: string | undefined,
  now: string,
): readonly Notice[] {
  const notices: Notice[] = [];
  if (said !== undefined && stamped !== undefined && !isSameMoment(said, stamped)) {
    if (!isSameDay(said, stamped)) refuseOtherDay(said, stamped);
    notices.push({
      code: "date-against-stamps",
      text: `the test is dated ${said}, the log itself begins at ${stamped}: whether a prediction was sealed before the test rests on the date that was typed`,
    });
  }
  const date = said ?? stamped;
  if (date !== undefined && Date.parse(date) > Date.parse(now)) {
    const source = said === undefined ? "the stamps of its log" : "a typed date";
    notices.push({
      code: "date-after-clock",
      text: `the test is dated ${date}, and the clock says ${now.slice(0, 10)}: that a prediction was sealed before the test rests on ${source} alone, and every seal made until then counts as earlier`,
    });
  }
  return notices;
}

/** Two instants within the hour, whatever their days. */
function isSameMoment(a: string, b: string): boolean {
  return a.length > 10 && b.length > 10
    ? Math.abs(Date.parse(a) - Date.parse(b)) <= sameMoment
    : isSameDay(a, b);
}

/** A day as written or, of an instant, the day at Greenwich. */
function isSameDay(a: string, b: string): boolean {
  const days = (date: string) => [date.slice(0, 10), new Date(date).toISOString().slice(0, 10)];
  return days(a).some((day) => days(b).includes(day));
}

function refuseOtherDay(said: string, stamped: string): never {
  return refuse(
    "date-against-stamps",
    `the test is dated ${said}, but the log itself says ${stamped}`,
    "The date of a test decides which predictions were sealed before it, so it cannot contradict the log.",
    "Correct --date or leave it out. If the clock of the logger was wrong, import without --date, then correct `date` in run.yaml and say why under `notes`",
  );
}
