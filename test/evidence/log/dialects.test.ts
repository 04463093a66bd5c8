import fc from "fast-check";
import { expect, it } from "vitest";
import { decodeText, inspectLog, readLog } from "../../../src/evidence/log/index.js";

const delimiters = { comma: ",", semicolon: ";", tab: "\t", pipe: "|", spaces: "   " } as const;
type Delimiter = keyof typeof delimiters;

const reading = fc.oneof(
  fc.double({ min: -1e6, max: 1e6, noNaN: true }),
  fc.integer({ min: -5000, max: 5000 }),
  fc.double({ min: -1e-9, max: 1e-9, noNaN: true }),
);

const styles: readonly (readonly [Delimiter, "." | ","])[] = [
  ["comma", "."],
  ["semicolon", "."],
  ["semicolon", ","],
  ["tab", "."],
  ["tab", ","],
  ["pipe", "."],
  ["pipe", ","],
  ["spaces", "."],
  ["spaces", ","],
];

/** A random table of 1 to 6 columns beside the time, and a random way to write it. */
const written = fc.record({
  columns: fc.integer({ min: 1, max: 6 }),
  rows: fc.array(fc.array(reading, { minLength: 6, maxLength: 6 }), { minLength: 3, maxLength: 25 }),
  timeAt: fc.nat({ max: 6 }),
  style: fc.constantFrom(...styles),
  lineEnd: fc.constantFrom("\n", "\r\n", "\r"),
  units: fc.constantFrom("brackets", "row"),
  metadata: fc.array(fc.constantFrom("Stand log", "Operator: day shift", "Run = 7", "", "# cold day"), {
    maxLength: 4,
  }),
  quoted: fc.boolean(),
  trailing: fc.nat({ max: 2 }),
  encoding: fc.constantFrom("utf-8", "utf-8 marked", "utf-16"),
  blankEnd: fc.boolean(),
});

type Written = typeof written extends fc.Arbitrary<infer T> ? T : never;

function printed(table: Written): {
  readonly bytes: Uint8Array;
  readonly time: number[];
  readonly columns: number[][];
} {
  const [delimiter, decimal] = table.style;
  const sign = delimiters[delimiter];
  const time = table.rows.map((_, i) => i / 8);
  const columns = Array.from({ length: table.columns }, (_, k) => table.rows.map((row) => row[k] ?? 0));
  const at = Math.min(table.timeAt, table.columns);
  const insert = <T>(list: readonly T[], item: T): T[] => [...list.slice(0, at), item, ...list.slice(at)];
  const cell = (value: number | string) => {
    const text = String(value === 0 ? 0 : value).replace(".", decimal);
    return table.quoted && delimiter !== "spaces" ? `"${text}"` : text;
  };
  const inBrackets = table.units === "brackets";
  const names = insert(
    columns.map((_, k) => `x${k + 1}`),
    inBrackets ? "t[s]" : "t",
  );
  const tail = delimiter === "spaces" ? "" : sign.repeat(table.trailing);
  const line = (cells: readonly (number | string)[]) => cells.map(cell).join(sign) + tail;
  const lines = [
    ...table.metadata,
    line(names),
    ...(inBrackets
      ? []
      : [
          line(
            insert(
              columns.map(() => "-"),
              "s",
            ),
          ),
        ]),
    ...time.map((t, i) =>
      line(
        insert(
          columns.map((column) => column[i] ?? 0),
          t,
        ),
      ),
    ),
    ...(table.blankEnd ? ["", ""] : []),
  ];
  const text = lines.join(table.lineEnd);
  return { bytes: encoded(text, table.encoding), time, columns };
}

function encoded(text: string, encoding: Written["encoding"]): Uint8Array {
  if (encoding === "utf-16") {
    const bytes = new Uint8Array(2 + 2 * text.length);
    bytes.set([0xff, 0xfe]);
    for (let i = 0; i < text.length; i++) {
      bytes[2 + 2 * i] = text.charCodeAt(i) & 0xff;
      bytes[3 + 2 * i] = text.charCodeAt(i) >> 8;
    }
    return bytes;
  }
  return new TextEncoder().encode(encoding === "utf-8 marked" ? `\uFEFF${text}` : text);
}

it("a table printed in any dialect is read back to the last bit", () => {
  fc.assert(
    fc.property(written, (table) => {
      const { bytes, time, columns } = printed(table);
      const { text } = decodeText(bytes);
      const { mapping: proposed, questions } = inspectLog(text);
      // A random 9999 among small numbers is rightly taken for no value.
      const channels = proposed.channels.map(({ missing: _, ...channel }) => channel);
      const mapping = { ...proposed, channels };
      expect(questions).toEqual([]);
      const log = readLog(text, mapping);
      expect(log.rejected).toEqual([]);
      expect(Array.from(log.time_s)).toEqual(time);
      for (const [k, column] of columns.entries()) {
        const found = log.channels.find((channel) => channel.name === `x${k + 1}`);
        expect(Array.from(found?.values ?? [], (v) => (v === 0 ? 0 : v))).toEqual(
          column.map((v) => (v === 0 ? 0 : v)),
        );
      }
    }),
    { numRuns: 800, seed: 20310418 },
  );
});

it("any text is read or refused, never anything else", () => {
  fc.assert(
    fc.property(
      fc.oneof(
        fc.string({ unit: "binary", maxLength: 400 }),
        fc.stringMatching(/^[0-9.,;:\t|"\n -]{0,200}$/),
        fc
          .array(fc.stringMatching(/^[a-z]{0,3}[0-9]{0,3}[;,][0-9.]{0,4}$/), { maxLength: 30 })
          .map((l) => l.join("\n")),
      ),
      (text) => {
        try {
          const bytes = new TextEncoder().encode(text);
          const { mapping, questions } = inspectLog(decodeText(bytes).text);
          if (questions.length === 0) {
            const log = readLog(decodeText(bytes).text, mapping);
            expect(log.channels.every((channel) => channel.values.length === log.rows)).toBe(true);
          }
        } catch (thrown) {
          expect(thrown).toHaveProperty("faults");
        }
      },
    ),
    { numRuns: 1500, seed: 7 },
  );
});
