import { execFileSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { faultsPage } from "../../src/cli/faultsPage.js";
import { type Page, pageOf, paragraph, printable, shellWord, widthOf } from "../../src/cli/page.js";
import { progressLine } from "../../src/cli/progress.js";
import { tableLines } from "../../src/cli/table.js";
import { verdictText } from "../../src/cli/verdictText.js";
import { built } from "../host/built.js";
import { textOf } from "../project/files.js";

const plain: Page = { columns: 80, unicode: true, colour: false };
const words = fc.array(fc.stringMatching(/^[a-zäµ0-9]{1,12}$/), { minLength: 1, maxLength: 30 });

describe("the page of a stream", () => {
  it.each([
    {
      what: "a wide terminal",
      stream: { isTTY: true, columns: 200 },
      env: { LANG: "de_DE.UTF-8" },
      page: { columns: 120, unicode: true, colour: true },
    },
    {
      what: "a narrow one",
      stream: { isTTY: true, columns: 20 },
      env: { LC_ALL: "C.utf8" },
      page: { columns: 40, unicode: true, colour: true },
    },
    {
      what: "one without Unicode",
      stream: { isTTY: true, columns: 80 },
      env: { LANG: "C" },
      page: { columns: 80, unicode: process.platform === "darwin", colour: true },
    },
    {
      what: "a bare console",
      stream: { isTTY: true, columns: 80 },
      env: { LANG: "C.UTF-8", TERM: "linux" },
      page: { columns: 80, unicode: false, colour: true },
    },
    {
      what: "a dumb terminal",
      stream: { isTTY: true, columns: 80 },
      env: { TERM: "dumb" },
      page: { columns: 80, unicode: false, colour: false },
    },
    { what: "a pipe", stream: {}, env: {}, page: { columns: 100, unicode: true, colour: false } },
    {
      what: "a pipe with a wish",
      stream: {},
      env: { COLUMNS: "72", FORCE_COLOR: "1" },
      page: { columns: 72, unicode: true, colour: true },
    },
    {
      what: "colours unwanted",
      stream: { isTTY: true, columns: 80 },
      env: { LANG: "x.UTF-8", NO_COLOR: "1", FORCE_COLOR: "1" },
      page: { columns: 80, unicode: true, colour: false },
    },
  ])("$what", ({ stream, env, page }) => {
    expect(pageOf(stream, env)).toEqual(page);
  });
});

describe("a paragraph", () => {
  it("has no line wider than the page, loses no word and indents below its lead", () => {
    fc.assert(
      fc.property(words, fc.integer({ min: 40, max: 120 }), (list, columns) => {
        const lines = paragraph({ ...plain, columns }, list.join(" "), "  - ");
        for (const line of lines) expect(widthOf(line)).toBeLessThanOrEqual(columns);
        expect(lines.map((line) => line.slice(4)).join(" ")).toBe(list.join(" "));
        expect(lines.every((line, index) => line.startsWith(index === 0 ? "  - " : "    "))).toBe(true);
      }),
    );
  });

  it("keeps a number and its unit together", () => {
    const lines = paragraph(
      { ...plain, columns: 40 },
      "the drive gives at standstill a torque of 39.4 N m and 15 % more",
    );
    expect(lines).toEqual(["the drive gives at standstill a torque", "of 39.4 N m and 15 % more"]);
  });
});

describe("a table", () => {
  const rows = fc.array(
    fc.tuple(words, words, words).map((row) => row.map((cell) => cell.join(" "))),
    { minLength: 1, maxLength: 5 },
  );

  it("fits the page and loses no word", () => {
    fc.assert(
      fc.property(rows, fc.integer({ min: 60, max: 120 }), (list, columns) => {
        const lines = tableLines({ ...plain, columns }, ["first", "second", "third"], list);
        for (const line of lines) expect(widthOf(line)).toBeLessThanOrEqual(columns);
        const printed = lines.join(" ").split(/ +/).sort();
        for (const word of list.flat().join(" ").split(" ")) expect(printed).toContain(word);
      }),
    );
  });

  it("breaks its heads before its cells", () => {
    const lines = tableLines(
      { ...plain, columns: 40 },
      ["name", "moved by declared uncertainties"],
      [["seat friction", "1.34"]],
    );
    expect(lines).toEqual([
      "  name           moved by declared",
      "                 uncertainties",
      "  seat friction  1.34",
    ]);
  });

  it("becomes paragraphs where words would have to be broken", () => {
    const heads = ["input", "declared", "uncertainties"];
    const lines = tableLines({ ...plain, columns: 40 }, heads, [
      ["resistance", "0.0450 N m/A", "0.0450 N m/A"],
    ]);
    expect(lines).toEqual(["  resistance", "    declared 0.0450 N m/A; uncertainties", "    0.0450 N m/A"]);
  });
});

describe("what goes to a terminal", () => {
  it("cannot be steered by what it holds", () => {
    fc.assert(
      fc.property(fc.string({ unit: "binary", maxLength: 60 }), (text) => {
        for (const colour of [true, false]) {
          const shown = printable({ ...plain, colour }, text);
          for (const character of shown.replaceAll(colourCode, "")) {
            const code = character.codePointAt(0) ?? 0;
            expect(
              (code >= 0x20 && code < 0x7f) || code >= 0xa0 || character === "\n" || character === "\t",
            ).toBe(true);
          }
        }
      }),
    );
  });

  it("keeps the program's own colours on a page that has them, and its words on one that has not", () => {
    const verdict = verdictText({ ...plain, colour: true }, "fails");
    expect(printable({ ...plain, colour: true }, verdict)).toBe(verdict);
    expect(printable(plain, verdict).trimEnd()).toBe("✕ fails");
    expect(verdictText({ ...plain, unicode: false }, "holds").trimEnd()).toBe("+ holds");
  });

  it("is ASCII where nothing else can be shown", () => {
    expect(printable({ ...plain, unicode: false }, "20 °C ± 2 µm\n")).toBe("20 degC +/- 2 um\n");
  });
});

const colourCode = new RegExp(`${String.fromCharCode(27)}\\[\\d+m`, "g");

describe("a fault on a page", () => {
  const fault = {
    code: "x",
    where: {
      file: "a/valve.yaml",
      line: 107,
      column: 5,
      length: 8,
      sourceLine: "    dead_tme: 15 ms +/- 3 ms",
      field: "drive.driver.dead_tme",
    },
    found: "dead_tme is no field of drive.driver",
    allowed: "A name that nobody reads would leave its value unused without a word.",
    mend: "Correct the name, or delete the line",
  };
  it("keeps place and line whole and breaks the words", () => {
    expect(faultsPage({ ...plain, columns: 60 }, [fault])).toBe(
      [
        "a/valve.yaml:107:5  drive.driver.dead_tme",
        "  dead_tme is no field of drive.driver",
        "  107 |     dead_tme: 15 ms +/- 3 ms",
        "      |     ^^^^^^^^",
        "A name that nobody reads would leave its value unused",
        "without a word. Correct the name, or delete the line.",
      ].join("\n"),
    );
  });
});

describe("progress", () => {
  const stream = () => {
    const written: string[] = [];
    // Only `write` of a stream is used.
    return {
      written,
      stream: { write: (text: string) => written.push(text) > 0 } as unknown as NodeJS.WriteStream,
    };
  };
  it("says on a terminal how far it is and how long it takes, and goes away", () => {
    const { written, stream: terminal } = stream();
    const line = progressLine(terminal);
    line.tell("predicting", { done: 62, total: 100, secondsLeft: 12.2 });
    line.tell("predicting", { done: 63, total: 100, secondsLeft: 12.1 });
    line.clear();
    line.clear();
    expect(written).toEqual(["\r\u001b[Kpredicting   62 %  13 s left", "\r\u001b[K"]);
  });
  it("says nothing where nobody watches", () => {
    const line = progressLine(undefined);
    line.tell("predicting", { done: 1, total: 2, secondsLeft: 1 });
    expect(() => line.clear()).not.toThrow();
  });
});

it("a path to be copied is quoted where the shell needs it", () => {
  expect(shellWord("demo/petrel-oxygen-main")).toBe("demo/petrel-oxygen-main");
  expect(shellWord("my valve's")).toBe("'my valve'\\''s'");
});

it("docs/command-line.md is what the commands declare", () => {
  const page = execFileSync(process.execPath, [fileURLToPath(built("tools/commandLinePage.js"))], {
    encoding: "utf8",
  });
  expect(textOf("docs/command-line.md")).toBe(page);
});
