/**
 * The source of a log, as far as its own lines tell: the logger, its serial number, the sampling rate it
 * declares, and the sign that parts its cells. A mapping is remembered for logs of its own source: two
 * loggers may use the same names of columns for sensors of other sense and scale.
 */
import { isRecord, refuseKind } from "./data.js";
import { declaredRate } from "./metadata.js";
import type { Dialect, MetadataLine } from "./table.js";

/** What is looked for. */
const facts = ["logger", "serial", "rate", "delimiter"] as const;
type Fact = (typeof facts)[number];

/** Each fact as the log says it, or `none` where it does not; one that is left out counts for any. */
export type LogSource = Readonly<Partial<Record<Fact, string>>>;

const none = "none";
const any = "any";

const loggerKey =
  /^[\W_]*(?:data[\s_-]*)?(?:logger|device|ger(?:ä|ae)t|instrument|recorder|daq|acquisition|hardware|(?:oscillo)?scope|controller|model)(?:[\s_-]*(?:name|model|type|typ|id|system|unit))?[\s"]*[:=;,\t|]+[\s"]*([^;,\t|"]*[^;,\t|"\s])/i;
/** A line that only names the logger, as the first one of many files does. */
const loggerLine = /\b(?:data[\s_-]*)?(?:logger|recorder|daq|acquisition|oscilloscope)\b/i;
const serialKey =
  /\b(?:serial(?:[\s_-]*(?:no|nr|num(?:ber)?))?|s\/n|ser\.?[\s_-]*(?:no|nr)|serien[\s_-]*(?:nr|nummer))\b[\s.:#=;,\t|"]*([A-Za-z0-9][\w./-]*)/i;
/** Dates and times of day: they change from file to file. */
const stamp = /\d{1,4}[-./]\d{1,2}[-./]\d{1,4}|\d{1,2}:\d{2}(?::\d{2})?/;

/** The source of a log. */
export function sourceOf(metadata: readonly MetadataLine[], { delimiter }: Dialect): LogSource {
  const first = (test: (text: string) => string | undefined): string =>
    metadata.map(({ text }) => test(text)).find((found) => found !== undefined && found !== "") ?? none;
  const keyed = first((text) => loggerKey.exec(text)?.[1]);
  return {
    logger: keyed === none ? first(titleIn) : keyed,
    serial: first((text) => serialKey.exec(text)?.[1]),
    rate: declaredRate(metadata) ?? none,
    delimiter,
  };
}

function titleIn(text: string): string | undefined {
  if (!loggerLine.test(text) || stamp.test(text)) return undefined;
  return text
    .replace(serialKey, "")
    .replace(/^[\W_]+/, "")
    .split(/[;,\t|]/)[0]
    ?.trim();
}

/** Facts by which two sources differ; none where one mapping serves both. */
export function sourceDifferences(kept: LogSource, now: LogSource): readonly Fact[] {
  const plain = (text: string) => text.trim().toLowerCase();
  return facts.filter((fact) => {
    const [a = any, b = any] = [kept[fact], now[fact]].map((text) =>
      text === undefined ? undefined : plain(text),
    );
    return a !== any && b !== any && a !== b;
  });
}

const labels: Readonly<Record<Fact, string>> = {
  logger: "logger",
  serial: "serial number",
  rate: "sampling rate",
  delimiter: "delimiter",
};

/** "logger Bench logger 3, sampling rate 1000 Hz, delimiter semicolon". @param only these facts */
export function sourceWords(source: LogSource, only: readonly Fact[] = facts): string {
  return only
    .map((fact) => [labels[fact], source[fact] ?? any] as const)
    .filter(([, text]) => only !== facts || (text !== none && text !== any))
    .map(([label, text]) =>
      text === none ? `no ${label}` : text === any ? `any ${label}` : `${label} ${text}`,
    )
    .join(", ");
}

/** Reads a source from plain data. Refuses unknown keys and what is no text. */
export function readSource(data: unknown): LogSource {
  if (!isRecord(data)) return refuseKind("source", data, `a set of keys among ${facts.join(", ")}`);
  const unknown = Object.keys(data).find((key) => !facts.some((fact) => fact === key));
  if (unknown !== undefined) refuseKind("source", unknown, `keys among ${facts.join(", ")}`);
  return Object.fromEntries(
    facts.flatMap((fact) => {
      const value = data[fact];
      if (value === undefined) return [];
      if (typeof value !== "string" && typeof value !== "number")
        return refuseKind(`source.${fact}`, value, "a text, or any");
      return [[fact, String(value)] as const];
    }),
  );
}
