/** Whether the database takes a text table as it is; and one written anew, line by line, so that it does. */

import { once } from "node:events";
import { createReadStream, createWriteStream } from "node:fs";
import type { LogPlan } from "../evidence/index.js";
import { evidence } from "./evidence.js";
import { decoderLabel, type LogSample, type SampleLine } from "./logSample.js";
import type { TableSource } from "./storeLog.js";
import { refuseSystem } from "./system.js";

type Text = Extract<TableSource, { readonly kind: "text" }>;

const signs = { comma: ",", semicolon: ";", tab: "\t", pipe: "|", spaces: " " } as const;

/** The table as the database reads it; undefined if it must be written anew. */
export async function isPlainTable(
  sample: LogSample,
  { table, clock, channels }: LogPlan,
): Promise<Omit<Text, "kind" | "path"> | undefined> {
  const { cellsIn, plainCell } = await evidence();
  const { delimiter, decimal } = table.dialect;
  if (sample.encoding !== "UTF-8" || delimiter === "spaces" || sample.lineEnd === "\r") return undefined;
  const sign = signs[delimiter];
  const widths = new Set(
    table.rows.filter(({ text }) => text.trim() !== "").map(({ text }) => widthOf(text, sign)),
  );
  const [width = 0] = widths;
  // Rows of another width than most are told; a blank cell more or less at the end of some is none.
  if (widths.size > 1 && [...widths].some((one) => one > table.columns.length)) return undefined;
  const own = widths.size > 1 ? table.columns.length : width;
  // A quoted cell over several lines, or a lone quote: the database counts lines otherwise.
  if (sample.lines.some(({ text }) => text.includes("\n"))) return undefined;
  if (table.rows.some(({ text }) => (text.split('"').length - 1) % 2 === 1)) return undefined;
  const timeColumn = clock.linear === undefined ? undefined : clock.column;
  const numbers = [
    ...channels.map(({ column }) => column),
    ...(timeColumn === undefined ? [] : [timeColumn]),
  ];
  const isOdd = (text: string): boolean => {
    const cells = cellsIn(text, delimiter);
    return numbers.some(({ index }) => {
      const cell = cells[index - 1] ?? "";
      return plainCell(cell, decimal) !== cell;
    });
  };
  if (table.rows.some(({ text }) => isOdd(text))) return undefined;
  return {
    delimiter: sign,
    isDecimalComma: decimal === "comma",
    skip: (table.rows[0]?.line ?? 1) - 1,
    width: Math.max(own, table.columns.length),
    footerFrom: sample.bytes - footerBytes(sample, table.footer),
  };
}

function widthOf(text: string, sign: string): number {
  const plain = text.includes('"') ? text.replaceAll(/"[^"]*"/g, "") : text;
  return plain.split(sign).length;
}

function footerBytes(sample: LogSample, footer: readonly SampleLine[]): number {
  const first = footer[0];
  if (first === undefined) return 0;
  const at = sample.lines.findIndex((line) => line.line === first.line && line.text === first.text);
  const encoder = new TextEncoder();
  return sample.lines
    .slice(at)
    .reduce((sum, { text }) => sum + encoder.encode(text).length + sample.lineEnd.length, 0);
}

/**
 * Writes the table anew: UTF-8, one comma between cells, no line more or less than before.
 * Refuses a disk that is full
 */
export async function plainTable(
  path: string,
  sample: LogSample,
  { table }: LogPlan,
  into: string,
): Promise<TableSource> {
  const { cellsIn, plainCell } = await evidence();
  const { delimiter, decimal } = table.dialect;
  const width = table.columns.length;
  const skip = (table.rows[0]?.line ?? 1) - 1;
  const decoder = new TextDecoder(decoderLabel(sample.encoding), { ignoreBOM: true });
  const footer = table.footer.length;
  let line = 0;
  let footerFrom = 0;
  let rest = "";
  let written = 0;
  // As many last lines as the footer has are held back: they are no rows.
  const held: string[] = [];
  const rowOf = (text: string): string => {
    line++;
    if (line <= skip || text.trim() === "") return "";
    const cells = [...cellsIn(text, delimiter)];
    while (cells.length > width && cells[cells.length - 1] === "") cells.pop();
    return cells.map((cell) => quotedCell(plainCell(cell, decimal))).join(";");
  };
  try {
    const output = createWriteStream(into);
    const failed = once(output, "error").then(([error]) => Promise.reject(error));
    failed.catch(() => undefined);
    const put = async (lines: readonly string[]) => {
      held.push(...lines.map(rowOf));
      const ready = held.splice(0, Math.max(0, held.length - footer));
      if (ready.length === 0) return;
      const text = `${ready.join("\n")}\n`;
      written += Buffer.byteLength(text);
      if (!output.write(text)) await Promise.race([once(output, "drain"), failed]);
    };
    for await (const chunk of createReadStream(path, { highWaterMark: 1 << 20 })) {
      rest += decoder.decode(chunk, { stream: true });
      const lines = rest.split(sample.lineEnd);
      rest = lines.pop() ?? "";
      await put(lines);
    }
    if (rest !== "") await put([rest]);
    footerFrom = written;
    output.end();
    await Promise.race([once(output, "finish"), failed]);
  } catch (error) {
    return refuseSystem(error, into, "write");
  }
  return {
    kind: "text",
    path: into,
    delimiter: ";",
    isDecimalComma: decimal === "comma",
    skip,
    width,
    footerFrom: footerFrom + 1,
  };
}

function quotedCell(text: string): string {
  return /["\n;]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
