/** The section `oxygen`: days that a reader of any country reads alike, and names of parts that are there. */
import { nearName } from "../fault/index.js";
import type { Finding } from "./finding.js";
import type { ValveFile } from "./schema.js";

/** Every day that the section names is one, and every part. */
export function oxygenRule({ oxygen }: ValveFile): readonly Finding[] {
  return [...dayFindings(oxygen), ...partFindings(oxygen?.parts ?? [])];
}

type Wetted = NonNullable<NonNullable<ValveFile["oxygen"]>["parts"]>[number];

/** How a part is written that rubs on none, or lies beside none. */
const none = "nothing";

function partFindings(parts: readonly Wetted[]): readonly Finding[] {
  const names = parts.flatMap(({ name }) => (name === undefined ? [] : [name]));
  // With a part that has no name yet, the name may be of what is still to come.
  if (names.length < parts.length) return [];
  const asked = parts.flatMap(({ rubs, beside }, j) => [
    [`oxygen.parts[${j}].rubs`, rubs] as const,
    [`oxygen.parts[${j}].beside`, beside] as const,
  ]);
  return asked.flatMap(([path, name]): readonly Finding[] => {
    if (name === undefined || name === none || names.includes(name)) return [];
    const near = nearName(name, names);
    return [
      {
        kind: "fault",
        code: "wetted-part-unknown",
        path,
        notKnown: [path],
        found: `${name} is no part of oxygen.parts`,
        allowed: `The parts are ${names.join(", ")}; \`${none}\` stands for none of them.`,
        mend: "Write one of these names",
        ...(near === undefined ? {} : { near }),
      },
    ];
  });
}

function dayFindings(oxygen: ValveFile["oxygen"]): readonly Finding[] {
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
