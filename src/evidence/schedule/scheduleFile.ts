/**
 * A schedule as a controller reads it: whole microseconds and microdegrees, with what they are of, and checked line by line.
 *
 * The payload is the head and the rows as lines of text, the same whichever form the file has. The CRC-32 up to each line
 * stands beside it, so that the first one that was changed can be named; CRC-32 and SHA-256 of the whole stand below the head.
 */
import { type FlowTable, openingForFlow } from "../../physics/schedule/index.js";
import type { FollowedSchedule } from "../../predict/index.js";
import { crc32 } from "./crc32.js";

/** What the rows are of, in the order of the file. */
export const headKeys = [
  "valve",
  "case",
  "valve_file_sha256",
  "model",
  "time_unit",
  "angle_unit",
  "flow_unit",
  "duty_flow_mg_s",
  "sample_time_us",
  "history_begins_us",
  "flow_step_ppm",
  "rows",
  "linearisation_rows",
] as const;
export type HeadKey = (typeof headKeys)[number];
export type ScheduleHead = Readonly<Record<HeadKey, string>>;

/** A row: time and opening, or share of the flow and opening. */
export type ScheduleRow = readonly [number, number];

export interface ScheduleTable {
  readonly head: ScheduleHead;
  readonly rows: readonly ScheduleRow[];
  readonly linearisation: readonly ScheduleRow[];
}

/** The check values of a table. */
export interface ScheduleChecks {
  /** CRC-32 up to each line: of the head, of the rows, of the linearisation. */
  readonly head: readonly number[];
  readonly rows: readonly number[];
  readonly linearisation: readonly number[];
  /** Of the whole payload. */
  readonly crc32: number;
  readonly sha256: string;
}

/** SHA-256 of a UTF-8 text as lower-case hex. */
export type Sha256 = (text: string) => string;

/** First words of either form. */
export const caution = [
  "CAUTION. A table of numbers, computed and not tried on this valve. The program that wrote it energises no hardware.",
  "Interlocks, limits and abort logic of the controller and of the stand go before it, always: refuse a row that they do",
  "not allow, check the CRC-32 before use, and try it first without propellant, with people out of reach.",
] as const;

const million = 1e6;
/** The linearisation has a row for each so much of the duty's flow. */
const flowStep_ppm = 20_000;
/** It ends at what the open valve passes, or here. */
const mostFlowRows = 101;

/** The table of a followed schedule. @param of valve, case, file and model it belongs to */
export function scheduleTable(
  { schedule, step_s, table, dutyFlow_kg_s }: FollowedSchedule,
  of: Readonly<Record<"valve" | "case" | "valve_file_sha256" | "model", string>>,
): ScheduleTable {
  const step = Math.round(step_s * million);
  const rows = Array.from(schedule.angle, (angle, k): ScheduleRow => [k * step, microdegrees(angle)]);
  const linearisation = flowRows(table, dutyFlow_kg_s);
  return {
    head: {
      valve: oneLine(of.valve),
      case: oneLine(of.case),
      valve_file_sha256: of.valve_file_sha256,
      model: of.model,
      time_unit: "us",
      angle_unit: "udeg",
      flow_unit: "ppm of duty_flow",
      duty_flow_mg_s: String(Math.round(dutyFlow_kg_s * million)),
      sample_time_us: String(step),
      history_begins_us: String(Math.round(schedule.lead * million)),
      flow_step_ppm: String(flowStep_ppm),
      rows: String(rows.length),
      linearisation_rows: String(linearisation.length),
    },
    rows,
    linearisation,
  };
}

function flowRows(table: FlowTable, dutyFlow: number): readonly ScheduleRow[] {
  const found: ScheduleRow[] = [];
  while (found.length < mostFlowRows) {
    const share_ppm = found.length * flowStep_ppm;
    const angle = openingForFlow(table, (share_ppm / million) * dutyFlow);
    if (angle === undefined) break;
    found.push([share_ppm, microdegrees(angle)]);
  }
  return found;
}

function microdegrees(angle: number): number {
  return Math.round((angle * 180 * million) / Math.PI);
}

/** A name that can stand on a line of a comment in C: no end of line, and nothing that begins or ends a comment. */
function oneLine(name: string): string {
  return name
    .replaceAll(/[\p{C}\p{Zl}\p{Zp}]/gu, " ")
    .replaceAll("*/", "* /")
    .replaceAll("/*", "/ *")
    .replaceAll("\\", "/")
    .trim();
}

export function headLine(key: HeadKey, value: string): string {
  return `${key}=${value}`;
}

export function rowLine([first, second]: ScheduleRow): string {
  return `${first},${second}`;
}

/** The check values of a table. */
export function checksOf({ head, rows, linearisation }: ScheduleTable, sha256: Sha256): ScheduleChecks {
  let payload = "";
  let crc = 0;
  const after = (line: string) => {
    payload += `${line}\n`;
    crc = crc32(`${line}\n`, crc);
    return crc;
  };
  const ofHead = headKeys.map((key) => after(headLine(key, head[key])));
  const ofRows = rows.map((row) => after(rowLine(row)));
  const ofFlows = linearisation.map((row) => after(rowLine(row)));
  return { head: ofHead, rows: ofRows, linearisation: ofFlows, crc32: crc, sha256: sha256(payload) };
}
