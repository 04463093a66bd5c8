/** From a page to the typesetter: the same words, nothing of a text becomes a command, the record stays whole. */
import fc from "fast-check";
import { beforeAll, describe, expect, it } from "vitest";
import { printPdf } from "../../../src/host/index.js";
import {
  changedSince,
  compareSheets,
  isSame,
  printSource,
  readSheetRecord,
  recordTextIn,
  type SheetContent,
  type SheetRecord,
  sheetHtml,
  sheetPrintSource,
} from "../../../src/sheet/index.js";
import { contentOf, petrelFile } from "../petrelSheet.js";

const options = { day: "2031-04-26" };
const page = (body: string) =>
  `<!doctype html>\n<html lang="en"><head><title>x</title></head><body>${body}</body></html>`;
const escaped = (text: string) => text.replaceAll("&", "&amp;").replaceAll("<", "&lt;");

let content: SheetContent;
let html = "";
let source = "";
let slim = "";
let pdf: Buffer;
beforeAll(async () => {
  content = await contentOf(petrelFile(), "duty", 0);
  html = sheetHtml(content);
  source = await sheetPrintSource(content);
  // Setting eighty pages twice is not needed to tell what a page is.
  slim = await sheetPrintSource({ ...content, answers: content.answers.slice(0, 1), defaults: [] });
  pdf = Buffer.from(await printPdf(slim));
}, 60_000);

/** Everything that is said, without what is set up before the first heading. */
function saidIn(text: string): string {
  const body = text.slice(text.indexOf("#let penline"));
  return [...body.matchAll(/#"((?:[^"\\]|\\.)*)";/g)]
    .map(([, words = ""]) => words.replaceAll('\\"', '"').replaceAll("\\\\", "\\"))
    .join("");
}

describe("what is printed", () => {
  it("is every word of verdicts, checks, requirements and inputs of the page", () => {
    const said = saidIn(source).replaceAll("\u200b", "").replace(/\s+/g, " ");
    for (const { question, sentence, checks } of content.answers) {
      expect(said).toContain(question);
      const start = sentence.replace(/\s+/g, " ").slice(0, 30);
      expect(said.replaceAll("\u00a0", " ")).toContain(start);
      for (const { name, equation } of checks) {
        expect(said).toContain(name);
        expect(said).toContain(equation.replace(/\s+/g, " "));
      }
    }
    expect(said).toContain("duty.open_within.time");
    expect(said).toContain("owed by: nobody named");
  });

  it("any text stays text", async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.string({ unit: fc.constantFrom(...'#"\\[](){}$*_`@<>=-;ab \u200b\n/~'.split("")) }),
        async (text) => {
          const set = await printSource(page(`<p>a${escaped(text)}b</p>`), options);
          const said = saidIn(set);
          expect(said).toBe(`a${text.replace(/[\t\n\r ]+/g, " ")}b`);
        },
      ),
      { numRuns: 60 },
    );
  });

  it("a text that looks like a command is set as it stands", async () => {
    const trick = '#panic("no") \\ $x$ #include "/etc/passwd" ]';
    const done = await printPdf(
      await printSource(page(`<h1>${escaped(trick)}</h1><p>${escaped(trick)}</p>`), options),
    );
    expect(Buffer.from(done).subarray(0, 5).toString()).toBe("%PDF-");
  });

  it("the title of the page stands at the foot of each, a card begins a page, a blank is drawn", async () => {
    const set = await printSource(
      page(
        '<section class="card"><p>a</p></section><section class="card"><p>b <span class="blank"> </span></p></section>',
      ),
      options,
    );
    expect(set).toContain('#set document(title: "x",');
    expect(set).toContain('column-gutter: 4mm, "x", [#counter(page).display() of');
    expect(set.match(/#pagebreak\(weak: true\)/g)).toHaveLength(2);
    expect(set).toContain("#blank;");
    const { length } =
      Buffer.from(await printPdf(set))
        .toString("latin1")
        .match(/\/Type ?\/Page\b/g) ?? [];
    expect(length).toBe(2);
  });

  it("tables keep head and spans, lists their points, a link its place; another link is words", async () => {
    const set = await printSource(
      page(
        '<h2 id="a">T</h2><table><caption>C</caption><thead><tr><th>x</th><th>y</th></tr></thead><tbody><tr><td colspan="2">both</td></tr><tr><th>r</th><td><a href="#a">to</a> <a href="#none">none</a></td></tr></tbody></table><ul><li>one</li><li>two</li></ul>',
      ),
      options,
    );
    expect(set).toContain('table.header([#strong[#"x";];],[#strong[#"y";];])');
    expect(set).toContain('table.cell(colspan: 2)[#"both";]');
    expect(set).toContain('#link(<a>)[#"to";];');
    expect(set).not.toContain("<none>");
    expect(set).toContain('#list([#"one";\n\n],[#"two";\n\n])');
    await printPdf(set);
  });
});

// ISO 32000-1:2008: 7.5.2 file header, 14.7.2 structure tree, 14.8.1 marked content, 7.7.3.3 pages, 9.6 fonts.
describe("the PDF", () => {
  it("is tagged, in English, of several pages, with faces inside and no picture of points", () => {
    const plain = pdf.toString("latin1");
    expect(plain.startsWith("%PDF-1.7")).toBe(true);
    expect(plain).toMatch(/\/MarkInfo/);
    expect(plain).toMatch(/\/StructTreeRoot/);
    expect(plain).toMatch(/\/Lang ?\(en/);
    expect(plain).toMatch(/\/FontFile[23]/);
    expect(plain).not.toMatch(/\/Subtype ?\/Image/);
  });

  it("has the same bytes for the same content", async () => {
    expect(await sheetPrintSource(content)).toBe(source);
    expect(Buffer.from(await printPdf(slim)).equals(pdf)).toBe(true);
  }, 60_000);
});

describe("the record", () => {
  const record = (): SheetRecord => {
    const found = readSheetRecord(recordTextIn(html) ?? "");
    if (found === undefined) throw new Error("the page has no record");
    return found;
  };

  it("names every file, check and input of the content, and survives letters of any kind", async () => {
    const { files, checks, inputs, day, seed } = record();
    expect(files).toEqual(content.files);
    expect(checks.map(({ name }) => name)).toEqual(
      content.answers.flatMap((one) => one.checks.map(({ name }) => name)),
    );
    expect(inputs.find(({ path }) => path === "duty.mass_flow")?.text).toBe("3.8 kg/s");
    expect([day, seed]).toEqual([content.day, 1]);
    const odd = '</template><b> "\u202e\u0000 \u{1F525} \\';
    const other = readSheetRecord(
      recordTextIn(sheetHtml({ ...content, files: [{ name: odd, sha256: "ab" }] })) ?? "",
    );
    expect(other?.files[0]?.name).toBe(odd);
  });

  it("tells changed, missing and new files", () => {
    const files = [
      { name: "b", sha256: "2" },
      { name: "c", sha256: "3" },
    ];
    const now = [
      { name: "b", sha256: "9" },
      { name: "d", sha256: "4" },
    ];
    expect(changedSince({ ...record(), files }, now)).toEqual({
      changed: ["b"],
      missing: ["c"],
      added: ["d"],
    });
  });

  it("compared with itself nothing differs; with another: verdict, value, input, file, waiver", () => {
    const one = record();
    expect(isSame(compareSheets(one, one))).toBe(true);
    const [a, b, c, ...rest] = one.checks;
    if (a === undefined || b === undefined || c === undefined) throw new Error("too few checks");
    const other: SheetRecord = {
      ...one,
      checks: [
        { ...a, verdict: "other", value: "new" },
        { ...b, value: "moved" },
        { ...c, isWaived: true },
        ...rest,
      ],
      inputs: [
        ...one.inputs.filter(({ path }) => path !== "duty.mass_flow"),
        { path: "duty.mass_flow", text: "4 kg/s" },
      ],
      files: [{ name: "valve.yaml", sha256: "0" }],
    };
    const found = compareSheets(one, other);
    expect(found.verdicts.map(({ second }) => second)).toEqual(["other"]);
    expect(found.values.map(({ second }) => second)).toEqual(["moved"]);
    expect(found.waivers).toHaveLength(1);
    expect(found.inputs).toEqual([{ name: "duty.mass_flow", first: "3.8 kg/s", second: "4 kg/s" }]);
    expect(found.files.map(({ name }) => name)).toEqual(["valve.yaml"]);
  });
});
