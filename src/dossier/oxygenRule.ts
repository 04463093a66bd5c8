/** Dates of the section `oxygen`: days that a reader of any country reads alike. */
import type { Finding } from "./finding.js";
import type { ValveFile } from "./schema.js";

/** Every day that the section names is one. */
export function oxygenRule({ oxygen }: ValveFile): readonly Finding[] {
  return daysIn(oxygen, "oxygen").flatMap(([path, text]): readonly Finding[] =>
    isDay(text)
      ? []
      : [
          {
            kind: "fault",
            code: "day-unreadable",
            path,
            notKnown: [path],
            found: `"${text}" is no date`,
            allowed: "What somebody found holds from a day on, and a record until one.",
            mend: "Write it as 2031-04-18",
          },
        ],
  );
}

function daysIn(value: unknown, at: string): readonly (readonly [path: string, text: string])[] {
  if (Array.isArray(value)) return value.flatMap((item: unknown, j) => daysIn(item, `${at}[${j}]`));
  if (typeof value !== "object" || value === null) return [];
  return Object.entries(value).flatMap(([key, item]: readonly [string, unknown]) =>
    (key === "when" || key === "expires") && typeof item === "string"
      ? [[`${at}.${key}`, item] as const]
      : daysIn(item, `${at}.${key}`),
  );
}

function isDay(text: string): boolean {
  return (
    /^\d{4}-\d{2}-\d{2}$/.test(text) &&
    !Number.isNaN(Date.parse(text)) &&
    new Date(text).toISOString().startsWith(text)
  );
}
