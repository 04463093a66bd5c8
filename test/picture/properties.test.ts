/** What holds for every figure, however odd its numbers and words. */
import fc from "fast-check";
import Papa from "papaparse";
import { describe, expect, it } from "vitest";
import { Refusal } from "../../src/fault/index.js";
import { drawSvg, drawText, type Figure, figureCsv, type Mark, type Role } from "../../src/picture/index.js";
import { examples } from "./examples.js";
import { readXml } from "./xml.js";

const role = fc.constantFrom<Role>(
  "prediction",
  "measurement",
  "limit",
  "demand",
  "available",
  "band",
  "better",
  "worse",
  "neutral",
);
// Any double, NaN and infinities included, often of ordinary size.
const anyNumber = fc.oneof(
  fc.double(),
  fc.double({ min: -100, max: 100 }),
  fc.constantFrom(Number.NaN, 0, -0),
);
const place = fc.oneof(
  fc.double({ min: -1e290, max: 1e290, noNaN: true }),
  fc.double({ min: -100, max: 100, noNaN: true }),
);
const anyText = fc.oneof(
  fc.string({ unit: "binary", maxLength: 40 }),
  fc.string({ unit: "grapheme", maxLength: 60 }),
  fc.constantFrom("", "<b>&amp;\"'</b>", "]]>", "\u001b[31mred", "a\nb\tc", "x".repeat(200), "\ud800", "N*m"),
);
const id = fc.stringMatching(/^[A-Za-z][A-Za-z0-9-]{0,12}$/);
const columns = (count: number) =>
  fc
    .integer({ min: 0, max: 30 })
    .chain((length) =>
      fc.tuple(
        ...Array.from({ length: count }, () => fc.array(anyNumber, { minLength: length, maxLength: length })),
      ),
    );

const mark: fc.Arbitrary<Mark> = fc.oneof(
  fc
    .tuple(role, anyText, columns(2))
    .map(([r, label, [x = [], y = []]]): Mark => ({ kind: "line", role: r, label, x, y })),
  fc.tuple(role, columns(2)).map(([r, [x = [], y = []]]): Mark => ({ kind: "step", role: r, x, y })),
  fc
    .tuple(role, anyText, columns(3))
    .map(
      ([r, label, [x = [], low = [], high = []]]): Mark => ({ kind: "band", role: r, label, x, low, high }),
    ),
  fc.tuple(role, anyText, columns(4)).map(
    ([r, label, [x = [], y = [], low = [], high = []]]): Mark => ({
      kind: "points",
      role: r,
      label,
      x,
      y,
      low,
      high,
    }),
  ),
  fc
    .tuple(
      fc.constantFrom<"x" | "y">("x", "y"),
      place,
      anyText,
      fc.constantFrom<"above" | "below">("above", "below"),
    )
    .map(([axis, value, label, forbidden]): Mark => ({ kind: "limit", axis, value, label, forbidden })),
  fc
    .tuple(role, place, anyText, anyNumber, anyNumber)
    .map(([r, x, label, low, high]): Mark => ({ kind: "event", role: r, x, label, low, high })),
  fc
    .tuple(role, place, place, anyText)
    .map(([r, a, b, label]): Mark => ({ kind: "region", role: r, x: [a, b], label })),
  fc.tuple(place, place, anyText).map(([x, y, text]): Mark => ({ kind: "note", x, y, text })),
  fc.tuple(role, columns(2)).map(
    ([r, [edges = [], heights = []]]): Mark => ({
      kind: "bars",
      role: r,
      edges: [...edges, 1],
      heights,
      beyond: { value: 3, side: "above" },
    }),
  ),
);

const axis = fc.record({ label: anyText, unit: anyText });
const words = { id, title: anyText, words: anyText };
const level = fc.record({ label: anyText, value: place, role, low: anyNumber, high: anyNumber });
const figure: fc.Arbitrary<Figure> = fc.oneof(
  fc.record({
    kind: fc.constant("plot" as const),
    ...words,
    x: axis,
    y: axis,
    marks: fc.array(mark, { maxLength: 6 }),
  }),
  fc.record({
    kind: fc.constant("waterfall" as const),
    ...words,
    value: axis,
    start: level,
    contributions: fc.array(fc.record({ label: anyText, value: place }), { maxLength: 6 }),
    end: level,
    increase: fc.constantFrom<"better" | "worse" | "neutral">("better", "worse", "neutral"),
  }),
  fc.record({
    kind: fc.constant("streams" as const),
    ...words,
    value: axis,
    from: fc.record({ label: anyText, value: place, role }),
    to: fc.array(fc.record({ label: anyText, value: place, role }), { maxLength: 6 }),
  }),
  fc.record({
    kind: fc.constant("tornado" as const),
    ...words,
    value: axis,
    effects: fc.array(
      fc.record({
        label: anyText,
        first: fc.record({ value: place, low: place, high: place }),
        total: fc.record({ value: place, low: place, high: place }),
      }),
      { maxLength: 6 },
    ),
  }),
  fc.tuple(id, anyText, fc.integer({ min: 1, max: 5 })).chain(([name, text, count]) =>
    fc.record({
      kind: fc.constant("parallel" as const),
      id: fc.constant(name),
      title: anyText,
      words: fc.constant(text),
      axes: fc.array(
        fc.record({
          label: anyText,
          unit: anyText,
          detail: anyText,
          better: fc.constantFrom<"more" | "less">("more", "less"),
          limit: place,
        }),
        { minLength: count, maxLength: count },
      ),
      items: fc.array(
        fc.record({
          label: anyText,
          group: anyText,
          role,
          values: fc.array(anyNumber, { minLength: count, maxLength: count }),
          low: fc.array(anyNumber, { minLength: count, maxLength: count }),
          high: fc.array(anyNumber, { minLength: count, maxLength: count }),
          isChosen: fc.boolean(),
        }),
        { maxLength: 6 },
      ),
    }),
  ),
  fc.record({
    kind: fc.constant("interval" as const),
    ...words,
    checks: fc.array(
      fc.oneof(
        fc.record({
          kind: fc.constant("known" as const),
          label: anyText,
          unit: anyText,
          value: place,
          low: anyNumber,
          high: anyNumber,
          limit: place,
          scale: fc.double({ min: 1e-3, max: 1e6, noNaN: true }),
          allowed: fc.constantFrom<"at most" | "at least">("at most", "at least"),
          verdict: anyText,
          role,
        }),
        fc.record({
          kind: fc.constant("unknown" as const),
          label: anyText,
          verdict: anyText,
          reason: anyText,
        }),
      ),
      { maxLength: 6 },
    ),
  }),
);

/** The numbers of an SVG: attributes that hold coordinates, words left out. */
function coordinates(svg: string): readonly string[] {
  const worded = new Set([
    "aria-label",
    "font-family",
    "class",
    "id",
    "aria-labelledby",
    "clip-path",
    "role",
    "xmlns",
  ]);
  return readXml(svg).flatMap((element) =>
    [...element.attributes]
      .filter(([key]) => !worded.has(key))
      .map(([, value]) => value)
      .filter((value) => !/^(#|url)/.test(value)),
  );
}

describe("any figure", () => {
  it("is well-formed XML without NaN, Infinity, undefined or exponents, two decimals at most", () => {
    fc.assert(
      fc.property(figure, fc.integer({ min: 240, max: 1200 }), (one, width) => {
        for (const value of coordinates(drawSvg(one, { width }))) {
          expect(value).not.toMatch(/NaN|Infinity|undefined|null|\de[+-]?\d|\.\d{3}/);
        }
      }),
      { numRuns: 400 },
    );
  });

  it("keeps words from other files as words: no markup and no control character gets through", () => {
    fc.assert(
      fc.property(figure, (one) => {
        const names = new Set(readXml(drawSvg(one, { width: 600 })).map((element) => element.name));
        const known = ["svg", "title", "desc", "style", "defs", "pattern", "clipPath", "g", "path", "rect"];
        const shapes = ["circle", "polygon", "text"];
        for (const name of names) expect([...known, ...shapes]).toContain(name);
        // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what a terminal must not get
        const control = /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u200e\u200f\u202a-\u202e]/;
        expect(drawText(one, { columns: 80, rows: 24, unicode: true })).not.toMatch(control);
        expect(figureCsv(one)).not.toMatch(control);
      }),
      { numRuns: 300 },
    );
  });

  it("as text has no line wider than the columns, and in ASCII nothing outside ASCII", () => {
    fc.assert(
      fc.property(
        figure,
        fc.integer({ min: 40, max: 160 }),
        fc.integer({ min: 12, max: 60 }),
        (one, across, rows) => {
          const plain = drawText(one, { columns: across, rows, unicode: false });
          for (const line of plain.split("\n")) {
            expect(line.length).toBeLessThanOrEqual(across);
            expect(line).toMatch(/^[\x20-\x7e]*$/);
          }
          const rich = drawText(one, { columns: across, rows, unicode: true });
          for (const line of rich.split("\n")) expect(terminalWidth(line)).toBeLessThanOrEqual(across);
          expect(rich).not.toMatch(/NaN|Infinity|undefined/);
        },
      ),
      { numRuns: 300 },
    );
  });

  it("in colour is the same picture with colour codes around its letters, and has none unless asked", () => {
    fc.assert(
      fc.property(figure, (one) => {
        const size = { columns: 80, rows: 24, unicode: true };
        const coloured = drawText(one, { ...size, colour: true });
        // biome-ignore lint/suspicious/noControlCharactersInRegex: colour codes begin with it
        expect(coloured.replace(/\u001b\[\d+m/g, "")).toBe(drawText(one, size));
      }),
      { numRuns: 200 },
    );
  });

  it("is the same twice", () => {
    fc.assert(
      fc.property(figure, (one) => {
        expect(drawSvg(one, { width: 500 })).toBe(drawSvg(one, { width: 500 }));
      }),
      { numRuns: 50 },
    );
  });

  it("gives CSV that a general reader takes, every row as long as the head", () => {
    fc.assert(
      fc.property(figure, (one) => {
        const { data, errors } = Papa.parse<string[]>(figureCsv(one), {
          delimiter: ",",
          skipEmptyLines: "greedy",
        });
        expect(errors).toEqual([]);
        for (const row of data) expect(row.length).toBe(data[0]?.length);
        expect(new Set(data[0]).size).toBe(data[0]?.length);
      }),
      { numRuns: 200 },
    );
  });
});

/** Cells a terminal gives a line: East Asian wide characters take two, combining marks none (UAX 11). */
function terminalWidth(line: string): number {
  let width = 0;
  for (const character of line) {
    if (/\p{Mn}/u.test(character)) continue;
    width += /[\u1100-\u115f\u2e80-\ua4cf\uac00-\ud7a3\uf900-\ufaff\ufe30-\ufe6f\uff00-\uff60]/.test(
      character,
    )
      ? 2
      : 1;
  }
  return width;
}

describe("data behind a figure", () => {
  it("round trip: a line comes back from CSV to the last digit, a gap as an empty cell", () => {
    const anyColumn = fc.array(
      fc.oneof(fc.double({ noNaN: true, noDefaultInfinity: true }), fc.constant(Number.NaN)),
    );
    fc.assert(
      fc.property(anyColumn, (y) => {
        const x = y.map((_, index) => index / 3);
        const csv = figureCsv({
          kind: "plot",
          id: "a",
          title: "",
          words: "",
          x: { label: "Time", unit: "ms" },
          y: { label: "Torque", unit: "N*m" },
          marks: [{ kind: "line", role: "prediction", label: 'a "line", quoted', x, y }],
        });
        const { data } = Papa.parse<Record<string, string>>(csv, { header: true, skipEmptyLines: true });
        expect(data.length).toBe(y.length);
        for (const [index, row] of data.entries()) {
          expect(row.label).toBe('a "line", quoted');
          expect(Number(row.time_ms)).toBe(x[index]);
          const value = y[index] ?? Number.NaN;
          if (Number.isNaN(value)) expect(row["torque_N.m"]).toBe("");
          // Zero has one sign in a table.
          else expect(Number(row["torque_N.m"])).toBe(value === 0 ? 0 : value);
        }
      }),
    );
  });

  it("a ledger closes: contributions and the unexplained rest add up from start to end", () => {
    const amount = fc.integer({ min: -1000, max: 1000 });
    fc.assert(
      fc.property(amount, fc.array(amount, { maxLength: 8 }), amount, (start, amounts, end) => {
        const csv = figureCsv({
          kind: "waterfall",
          id: "a",
          title: "",
          words: "",
          value: { label: "Time", unit: "ms" },
          start: { label: "start", value: start, role: "prediction" },
          contributions: amounts.map((value, index) => ({ label: `${index}`, value })),
          end: { label: "end", value: end, role: "measurement" },
          increase: "worse",
        });
        const { data } = Papa.parse<Record<string, string>>(csv, { header: true, skipEmptyLines: true });
        const steps = data.filter((row) => row.entry !== "start" && row.entry !== "end");
        const sum = steps.reduce((total, row) => total + Number(row.time_ms), start);
        expect(sum).toBe(end);
        expect(steps.at(-1)?.entry).toBe("unexplained");
      }),
    );
  });
});

describe("figures on one page", () => {
  it("share no id", () => {
    const all = Object.values(examples).flatMap((one) =>
      readXml(drawSvg(one, { width: 720 })).flatMap((element) => element.attributes.get("id") ?? []),
    );
    expect(new Set(all).size).toBe(all.length);
  });

  it("style nothing but themselves: every rule names the figure or the root of a file", () => {
    for (const one of Object.values(examples)) {
      const css =
        readXml(drawSvg(one, { width: 720 })).find((element) => element.name === "style")?.text ?? "";
      const selectors = [...css.matchAll(/(?:^|[{}\n])([^@{}\n]+)\{/g)].map((rule) => rule[1] ?? "");
      expect(selectors.length).toBeGreaterThan(3);
      for (const selector of selectors) {
        const isOwn = selector === `#${one.id}` || selector.startsWith(`#${one.id} .`);
        expect(isOwn || selector === "svg:root", selector).toBe(true);
      }
    }
  });
});

describe("what cannot be drawn is refused", () => {
  const base = {
    kind: "plot",
    id: "a",
    title: "",
    words: "",
    x: { label: "", unit: "" },
    y: { label: "", unit: "" },
  } as const;
  const refused: readonly (readonly [string, string, () => unknown])[] = [
    ["an id with a space", "picture-id", () => drawSvg({ ...base, id: "a b", marks: [] }, { width: 500 })],
    ["a width of 100 px", "picture-size", () => drawSvg({ ...base, marks: [] }, { width: 100 })],
    [
      "a width that is no number",
      "picture-size",
      () => drawSvg({ ...base, marks: [] }, { width: Number.NaN }),
    ],
    [
      "columns of unequal length",
      "picture-columns",
      () => figureCsv({ ...base, marks: [{ kind: "line", role: "demand", x: [1, 2], y: [1] }] }),
    ],
    [
      "as many edges as heights",
      "picture-edges",
      () => figureCsv({ ...base, marks: [{ kind: "bars", role: "demand", edges: [1, 2], heights: [1, 2] }] }),
    ],
    [
      "a limit at no number",
      "picture-value",
      () => figureCsv({ ...base, marks: [{ kind: "limit", axis: "y", value: Number.NaN, label: "" }] }),
    ],
    [
      "a region without bounds",
      "picture-region",
      () => figureCsv({ ...base, marks: [{ kind: "region", role: "worse" }] }),
    ],
    [
      "a check whose limit of 0 is its scale",
      "picture-scale",
      () =>
        figureCsv({
          kind: "interval",
          id: "a",
          title: "",
          words: "",
          checks: [
            {
              kind: "known",
              label: "",
              unit: "",
              value: 1,
              limit: 0,
              allowed: "at most",
              verdict: "",
              role: "worse",
            },
          ],
        }),
    ],
  ];
  for (const [name, code, act] of refused)
    it(`${name}: ${code}`, () => {
      expect(act).toThrow(Refusal);
      try {
        act();
      } catch (thrown) {
        if (!(thrown instanceof Refusal)) throw thrown;
        const [fault] = thrown.faults;
        expect(fault?.code).toBe(code);
        for (const words of [fault?.found, fault?.allowed, fault?.mend]) expect(words).toMatch(/\w/);
      }
    });
});
