/** The two forms of a schedule's file: CSV, and a header for a controller programmed in C. Every byte follows from the table. */
import { crcWords } from "./crc32.js";
import {
  caution,
  checksOf,
  headKeys,
  headLine,
  rowLine,
  type ScheduleChecks,
  type ScheduleTable,
  type Sha256,
} from "./scheduleFile.js";

export type ScheduleForm = "csv" | "c";

/** How the lines of a form begin and are told apart. */
interface Form {
  /** In front of a line of the head. */
  readonly lead: string;
  readonly head: RegExp;
  readonly row: RegExp;
  /** The line that stands before the rows, and before those of the linearisation. */
  readonly rowsBegin: string;
  readonly flowsBegin: string;
}

export const forms: Readonly<Record<ScheduleForm, Form>> = {
  csv: {
    lead: "# ",
    head: /^# (\w+)=(.*) \[([0-9a-f]{8})\]$/,
    row: /^(-?\d+),(-?\d+),([0-9a-f]{8})$/,
    rowsBegin: "time_us,angle_udeg,crc32",
    flowsBegin: "flow_ppm,angle_udeg,crc32",
  },
  c: {
    lead: " * ",
    head: /^ \* (\w+)=(.*) \[([0-9a-f]{8})\]$/,
    row: /^ {2}\{(-?\d+), (-?\d+)\}, \/\* ([0-9a-f]{8}) \*\/$/,
    rowsBegin: "static const struct coldturn_row coldturn_schedule[COLDTURN_ROWS] = {",
    flowsBegin:
      "static const struct coldturn_flow_row coldturn_linearisation[COLDTURN_LINEARISATION_ROWS] = {",
  },
};

/** First words of the line with which each form says what it is. */
export const formatWords = "coldturn schedule 1";

/** The file of a table. */
export function scheduleText(table: ScheduleTable, form: ScheduleForm, sha256: Sha256): string {
  const checks = checksOf(table, sha256);
  const lines = form === "csv" ? csvLines(table, checks) : cLines(table, checks);
  return `${lines.join("\n")}\n`;
}

function commentLines({ head }: ScheduleTable, checks: ScheduleChecks, lead: string): readonly string[] {
  return [
    ...caution,
    formatWords,
    ...headKeys.map((key, k) => `${headLine(key, head[key])} [${crcWords(checks.head[k] ?? 0)}]`),
    `crc32 ${crcWords(checks.crc32)}`,
    `sha256 ${checks.sha256}`,
    "In brackets, and behind each row: the CRC-32 of the lines up to there, as key=value and as number,number, each with a",
    "line feed behind it. CRC-32 and SHA-256 are those of all of them.",
  ].map((line) => `${lead}${line}`);
}

function csvLines(table: ScheduleTable, checks: ScheduleChecks): readonly string[] {
  const { lead, rowsBegin, flowsBegin } = forms.csv;
  const row = (line: string, crc: number | undefined) => `${line},${crcWords(crc ?? 0)}`;
  return [
    ...commentLines(table, checks, lead),
    rowsBegin,
    ...table.rows.map((values, k) => row(rowLine(values), checks.rows[k])),
    flowsBegin,
    ...table.linearisation.map((values, k) => row(rowLine(values), checks.linearisation[k])),
  ];
}

function cLines(table: ScheduleTable, checks: ScheduleChecks): readonly string[] {
  const { lead, rowsBegin, flowsBegin } = forms.c;
  const { head } = table;
  const row = ([first, second]: readonly [number, number], crc: number | undefined) =>
    `  {${first}, ${second}}, /* ${crcWords(crc ?? 0)} */`;
  return [
    "/*",
    ...commentLines(table, checks, lead),
    " */",
    "#ifndef COLDTURN_SCHEDULE_H",
    "#define COLDTURN_SCHEDULE_H",
    "",
    "#include <stdint.h>",
    "",
    `#define COLDTURN_SAMPLE_TIME_US ${head.sample_time_us}`,
    `#define COLDTURN_HISTORY_BEGINS_US ${head.history_begins_us}`,
    `#define COLDTURN_DUTY_FLOW_MG_S ${head.duty_flow_mg_s}`,
    `#define COLDTURN_ROWS ${head.rows}`,
    `#define COLDTURN_LINEARISATION_ROWS ${head.linearisation_rows}`,
    `#define COLDTURN_CRC32 UINT32_C(0x${crcWords(checks.crc32)})`,
    `#define COLDTURN_SHA256 "${checks.sha256}"`,
    "",
    "struct coldturn_row {",
    "  int32_t time_us;",
    "  int32_t angle_udeg;",
    "};",
    "",
    "struct coldturn_flow_row {",
    "  int32_t flow_ppm;",
    "  int32_t angle_udeg;",
    "};",
    "",
    rowsBegin,
    ...table.rows.map((values, k) => row(values, checks.rows[k])),
    "};",
    "",
    flowsBegin,
    ...table.linearisation.map((values, k) => row(values, checks.linearisation[k])),
    "};",
    "",
    "#endif",
  ];
}
