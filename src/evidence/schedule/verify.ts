/**
 * Reads a schedule's file back and names the first thing in it that is not as it was written. Lines are held against the
 * CRC-32 beside them, rows against their places and their number, then the file is written anew from what was read: a byte
 * that differs, in the caution or anywhere, is named by line and column.
 */
import { Refusal } from "../../fault/index.js";
import { crc32, crcWords } from "./crc32.js";
import {
  checksOf,
  type HeadKey,
  headKeys,
  headLine,
  rowLine,
  type ScheduleChecks,
  type ScheduleHead,
  type ScheduleRow,
  type ScheduleTable,
  type Sha256,
} from "./scheduleFile.js";
import { formatWords, forms, type ScheduleForm, scheduleText } from "./scheduleText.js";

/** A file that is as it was written. */
export interface VerifiedSchedule {
  readonly form: ScheduleForm;
  readonly table: ScheduleTable;
  readonly checks: ScheduleChecks;
}

/** A text file. */
interface Given {
  readonly path: string;
  readonly text: string;
}

/** A row as it stands in the file, with its check value and its line from 1. */
interface ReadRow {
  readonly values: ScheduleRow;
  readonly crc: string;
  readonly line: number;
}

/**
 * Verifies a file.
 * Refuses one that is no schedule, and one in which anything was changed
 */
export function verifySchedule(file: Given, sha256: Sha256): VerifiedSchedule {
  const reader = new Reader(file);
  const { form, head, crc } = reader.head();
  const { rows, flows } = reader.rows();
  const step = Number(head.sample_time_us);
  const after = reader.follow(rows, { step, count: Number(head.rows), of: "schedule", unit: "us" }, crc);
  reader.follow(
    flows,
    {
      step: Number(head.flow_step_ppm),
      count: Number(head.linearisation_rows),
      of: "linearisation",
      unit: "ppm",
    },
    after,
  );
  const table: ScheduleTable = {
    head,
    rows: rows.map(({ values }) => values),
    linearisation: flows.map(({ values }) => values),
  };
  reader.compare(scheduleText(table, form, sha256));
  return { form, table, checks: checksOf(table, sha256) };
}

class Reader {
  private readonly lines: readonly string[];
  private readonly form: ScheduleForm;

  constructor(private readonly file: Given) {
    this.lines = file.text.split("\n");
    const found = (["csv", "c"] as const).find((form) =>
      this.lines.some((line) => line.trimEnd() === `${forms[form].lead}${formatWords}`),
    );
    if (found === undefined)
      this.refuseFile(
        `no line says "${formatWords}"`,
        "A schedule is verified in the two forms that `coldturn profile --write` gives it: CSV and C header.",
        "Name one of these files, or write them anew",
      );
    this.form = found;
    const ended = this.lines.findIndex((line) => line.endsWith("\r"));
    if (ended >= 0)
      this.refuseLine(
        ended + 1,
        "the line endings were changed: this line ends with CR LF, written was LF alone; copies in text mode, mail and editors do that",
        (this.lines[ended] ?? "").length,
      );
  }

  /** The head, each line held against its check value. */
  head(): { readonly form: ScheduleForm; readonly head: ScheduleHead; readonly crc: number } {
    const found = new Map<string, string>();
    const { head: pattern, lead } = forms[this.form];
    let crc = 0;
    let line = this.lines.findIndex((text) => text.trimEnd() === `${lead}${formatWords}`) + 1;
    for (const key of headKeys) {
      const [, name, value = "", given = ""] = pattern.exec(this.lines[line] ?? "") ?? [];
      if (name !== key)
        this.refuseLine(
          line + 1,
          `here stands no line of the form ${key}=... with its check value in brackets`,
        );
      crc = crc32(`${headLine(key, value)}\n`, crc);
      if (crcWords(crc) !== given)
        this.refuseLine(
          line + 1,
          `"${key}", or the check value behind it, was changed: the lines up to here have the CRC-32 ${crcWords(crc)}, not ${given}`,
        );
      found.set(key, value);
      line++;
    }
    const text = (key: HeadKey) => found.get(key) ?? "";
    const head = Object.fromEntries(headKeys.map((key) => [key, text(key)]));
    return { form: this.form, head: head as ScheduleHead, crc };
  }

  /** The rows of both parts as they stand. Refuses a line between them that is none. */
  rows(): { readonly rows: readonly ReadRow[]; readonly flows: readonly ReadRow[] } {
    const { row: pattern, rowsBegin, flowsBegin } = forms[this.form];
    const begin = this.lines.indexOf(rowsBegin);
    const middle = this.lines.indexOf(flowsBegin);
    if (begin < 0 || middle < begin)
      this.refuseFile(
        `the line "${begin < 0 ? rowsBegin : flowsBegin}" is missing`,
        "It stands ahead of its rows.",
        "Write the file anew with `coldturn profile --write`",
      );
    const between = (from: number, to: number): readonly ReadRow[] => {
      const found: ReadRow[] = [];
      for (let k = from; k < to; k++) {
        const text = this.lines[k] ?? "";
        const [, first, second, crc = ""] = pattern.exec(text) ?? [];
        if (first !== undefined) found.push({ values: [Number(first), Number(second)], crc, line: k + 1 });
        else if (!isFixed(text))
          this.refuseLine(k + 1, "this is no row of two whole numbers and a check value");
      }
      return found;
    };
    return { rows: between(begin + 1, middle), flows: between(middle + 1, this.lines.length) };
  }

  /** Holds rows against their places, their check values and their number; returns the CRC-32 behind them. */
  follow(
    rows: readonly ReadRow[],
    { step, count, of, unit }: { step: number; count: number; of: string; unit: string },
    before: number,
  ): number {
    let crc = before;
    for (const [k, { values, crc: given, line }] of rows.entries()) {
      const place = k * step;
      const [first] = values;
      const wanted = rows.some((row) => row.values[0] === place && row.line > line);
      if (first !== place && wanted)
        this.refuseLine(
          line,
          `rows of the ${of} are out of order: ${first} ${unit} stands ahead of ${place} ${unit}`,
        );
      if (first > place && first % step === 0 && rows.length < count)
        this.refuseLine(
          line,
          `a row of the ${of} is missing ahead of this one: ${place} ${unit} is due, ${first} ${unit} stands here`,
        );
      const text = `${rowLine(values)}\n`;
      crc = crc32(text, crc);
      if (crcWords(crc) === given) continue;
      if (k >= count)
        this.refuseLine(line, `the ${of} has more rows than the ${count} of its head: this one is too much`);
      this.refuseLine(
        line,
        `row ${k + 1} of the ${of}, or the check value behind it, was changed: the lines up to here have the CRC-32 ${crcWords(crc)}, not ${given}`,
      );
    }
    if (rows.length !== count) {
      const last = rows.at(-1)?.line ?? this.lines.indexOf(forms[this.form].rowsBegin) + 1;
      this.refuseLine(
        last,
        `the ${of} has ${rows.length} rows, its head says ${count}: ${rows.length < count ? "the last ones are missing" : "there are too many"}`,
      );
    }
    return crc;
  }

  /** Refuses the first byte that is not as it would be written. */
  compare(expected: string): void {
    const { text } = this.file;
    if (text === expected) return;
    const wanted = expected.split("\n");
    const k = this.lines.findIndex((line, j) => line !== wanted[j]);
    if (k < 0) this.refuseLine(this.lines.length, "the file ends too soon");
    const [got, due] = [this.lines[k] ?? "", wanted[k]];
    if (due === undefined) this.refuseLine(k + 1, "the file goes on behind its last line");
    let column = 0;
    while (column < got.length && got[column] === due[column]) column++;
    this.refuseLine(
      k + 1,
      `from here on the line was changed; written was ${JSON.stringify(due.slice(column, column + 40))}`,
      column + 1,
    );
  }

  private refuseLine(line: number, found: string, column = 1): never {
    throw new Refusal([
      {
        code: "schedule-changed",
        where: { file: this.file.path, line, column, sourceLine: (this.lines[line - 1] ?? "").trimEnd() },
        found,
        allowed:
          "A schedule is used as it was written, to the last byte: a controller cannot tell an edit from damage.",
        mend: "Do not use this file; write it anew with `coldturn profile --write`",
      },
    ]);
  }

  private refuseFile(found: string, allowed: string, mend: string): never {
    throw new Refusal([{ code: "schedule-not-one", where: { file: this.file.path }, found, allowed, mend }]);
  }
}

/** Lines of the C header between and behind the rows, which the comparison holds against what was written. */
function isFixed(text: string): boolean {
  return ["", "};", "#endif"].includes(text);
}
