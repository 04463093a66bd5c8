import fc from "fast-check";
import { beforeAll, describe, expect, it } from "vitest";
import references from "../../data/references.json" with { type: "json" };
import { figureCsv } from "../../src/picture/index.js";
import { checkWords, coverageOf, requirementTitle } from "../../src/question/index.js";
import { type SheetContent, sheetHtml } from "../../src/sheet/index.js";
import { contentOf, petrelFile, testedContent } from "./petrelSheet.js";
import { type PageElement, readPage, tidy } from "./readPage.js";

let content: SheetContent;
let page: string;
let elements: readonly PageElement[];
/** All text of the body, as a reader sees it. */
let words: string;

beforeAll(async () => {
  content = await testedContent();
  page = sheetHtml(content);
  elements = readPage(page);
  words = elements.find(({ name }) => name === "body")?.text ?? "";
});

const withId = (id: string) => elements.find(({ attributes }) => attributes.get("id") === id);
const textOf = (id: string) => withId(id)?.text ?? "";

describe("what a sheet holds", () => {
  it("head: valve, case, date, what it is and what it is not", () => {
    const head = elements.find(({ name }) => name === "header")?.text;
    expect(head).toContain("Petrel oxygen main valve");
    expect(head).toContain("Case duty");
    expect(head).toContain("Judged for the day 2031-04-26");
    expect(head).toContain("128 samples, seed 1");
    expect(head).toContain("accepts no risk and signs nothing");
    expect(head).toContain("decided by the responsible people on the stand, under local rules");
  });

  it("every question with number, words, verdict and sentence, in the overview and by itself", () => {
    for (const { number, question, verdict, sentence } of content.answers) {
      expect(textOf("overview")).toContain(`${number} ${question} ${verdict} ${tidy(sentence)}`);
      expect(textOf(`question-${number}-title`)).toContain(`Question ${number}: ${question}`);
      expect(textOf(`question-${number}`)).toContain(tidy(sentence));
    }
    expect(content.answers).toHaveLength(12);
  });

  it("every check with limit, verdict, equation, source and assumptions", () => {
    for (const { number, checks } of content.answers) {
      for (const [index, check] of checks.entries()) {
        const rows = textOf(`check-${number}-${index + 1}`);
        expect(rows.startsWith(tidy(check.name))).toBe(true);
        for (const part of [check.verdict, check.equation, check.source, ...check.assumptions])
          expect(rows).toContain(tidy(part));
        if (check.kind === "known") expect(rows).toContain(tidy(check.limit.words));
        if (check.kind === "unknown") expect(rows).toContain(tidy(check.needs.join(", ")));
      }
    }
  });

  it("every picture twice (wide and narrow) with its words, and its data as an address", () => {
    const figures = content.answers.flatMap((answer) => answer.figures);
    const pictures = elements.filter(
      ({ name, attributes }) => name === "svg" && attributes.get("role") === "img",
    );
    expect(figures.length).toBeGreaterThan(10);
    expect(pictures).toHaveLength(2 * figures.length);
    const captions = elements.filter(({ name }) => name === "figcaption").map(({ text }) => text);
    const links = elements.filter(({ attributes }) => attributes.has("download"));
    for (const [index, figure] of figures.entries()) {
      expect(captions[index]).toContain(tidy(figure.words));
      const [head, body = ""] = (links[index]?.attributes.get("href") ?? "").split(/,(.*)/s);
      expect(head).toBe("data:text/csv;charset=utf-8");
      expect(decodeURIComponent(body)).toBe(figureCsv(figure));
    }
  });

  it("every table cell, driver, gap, notice and caution of the answers", () => {
    for (const { number, tables, drivers, gaps, notices, cautions } of content.answers) {
      const section = textOf(`question-${number}`);
      const parts = [
        // Requirements are a part of their own.
        ...tables
          .filter(({ title }) => title !== requirementTitle)
          .flatMap(({ title, columns, rows }) => [title, ...columns, ...rows.flat()]),
        ...drivers.flatMap(({ label, words: said, path }) => [label, said, path]),
        ...gaps.map(({ path }) => path),
        ...notices.map(({ text }) => text),
        ...cautions,
      ];
      expect(parts.map(tidy).filter((part) => !section.includes(part))).toEqual([]);
      for (const caution of cautions) expect(textOf("cautions")).toContain(tidy(caution));
    }
  });

  it("each of the 72 considerations with a verdict and its checks, each of the 37 failure modes with its checks or as a gap", () => {
    const { design, failures } = coverageOf(content.answers);
    const coverage = textOf("coverage");
    expect([design.length, failures.length]).toEqual([72, 37]);
    for (const { topic, name } of design)
      expect(coverage).toMatch(new RegExp(`${topic} ${name} (holds|thin|fails|not known) `));
    for (const { name, servedBy, leaves } of failures) {
      const [first] = servedBy;
      expect(coverage).toContain(
        first === undefined
          ? `${name} gap: no check of this case`
          : `${name} ${first.verdict}: ${tidy(first.name)}`,
      );
      if (leaves !== undefined) expect(coverage).toContain(tidy(leaves.replaceAll("`", "")));
    }
    // A floating ball has no trunnions; every other consideration has its check.
    const unserved = design.filter(({ servedBy }) => servedBy.length === 0);
    expect(unserved.map(({ id }) => id)).toEqual(["bearing-clearance"]);
    // Tests and records of people that the demo does not have yet; every model has its verdict.
    const open = design.filter(
      ({ servedBy }) => servedBy.length > 0 && servedBy.every(({ verdict }) => verdict === "not known"),
    );
    expect(open.map(({ id }) => id)).toEqual([
      ...["torque-shape-test", "seat-leak", "self-relief-test", "ign-screen", "compression-temp"],
      ...["material-standing", "clean", "leak-oxygen", "time-base", "leak-unc"],
    ]);
  });

  it("what is open: fails before thin before not known, with a link to each", () => {
    const open = textOf("open");
    const checks = content.answers.flatMap((answer) => answer.checks);
    for (const check of checks.filter(({ verdict }) => verdict !== "holds")) {
      if (check.kind === "unknown" && check.standing === "judged") {
        expect(open).toContain(tidy(check.name));
        for (const need of check.needs) expect(open).toContain(tidy(need));
        continue;
      }
      expect(open).toContain(`${check.verdict} ${tidy(check.name)}`);
      expect(open).toContain(tidy(checkWords(check)));
    }
    expect(open.indexOf("Fails")).toBeLessThan(open.indexOf("Thin"));
    expect(open.indexOf("Thin")).toBeLessThan(open.indexOf("Not known"));
  });

  it("evidence: runs, findings in their three words, what was sealed before and what was not", () => {
    const evidence = textOf("evidence");
    for (const { id, reconciliations } of content.runs)
      for (const { finding } of reconciliations) expect(evidence).toMatch(new RegExp(`${id}.*${finding}`));
    expect(
      content.runs.flatMap(({ reconciliations }) => reconciliations.map(({ finding }) => finding)),
    ).toEqual(["disagrees", "agrees"]);
    expect(evidence).toContain("a prediction sealed before the test 9f2c4b1e0d3a5f67");
    expect(evidence).toContain("the valve file as it is now, not sealed before the test");
    expect(evidence).toContain(
      `${"9f2c4b1e0d3a5f67".repeat(4)} nitrogen 2031-04-17 16:20:00 UTC 0.1.0 2031-04-18-nitrogen-03`,
    );
    expect(evidence).toContain("run 2031-04-18-nitrogen-03: 3 samples are missing");
    expect(evidence).toContain("run 2031-04-25-oxygen-01 counts for nothing; coldturn reconcile does it");
    expect(evidence).not.toContain("2031-04-25-oxygen-01: run");
    expect(evidence).not.toMatch(/validated|validation of/);
  });

  it("inputs as typed and as read, with origin and reason; other cases left out and counted", () => {
    const inputs = textOf("inputs");
    expect(inputs).toMatch(
      /valve\.seat\.friction .*\{ value: 0\.075 \+\/- 0\.028 \} 0\.075, normal law with standard uncertainty 0\.028, cut at 0 and 2 assumed: lower half of the handbook range/,
    );
    expect(inputs).toMatch(/duty\.fluid .* oxygen/);
    expect(inputs).toContain("The conditions of 5 other cases stand in the valve file");
    expect(inputs).not.toContain("cases[");
    expect(inputs).not.toContain("valve.damping");
  });

  it("defaults with value, reason and source", () => {
    expect(content.defaults.length).toBeGreaterThan(3);
    for (const { field, value, reason, references: keys } of content.defaults)
      expect(textOf("defaults")).toContain(tidy(`${field} ${value} ${reason} ${keys.join("; ")}`));
  });

  it("of the bibliography those entries that the sheet cites, and each of them", () => {
    const printed = elements.flatMap(({ attributes }) => {
      const id = attributes.get("id") ?? "";
      return id.startsWith("source-") ? [id.slice("source-".length)] : [];
    });
    const cited = Object.keys(references).filter((key) =>
      [
        ...content.answers.flatMap(({ checks }) => checks.map(({ source }) => source)),
        ...content.defaults.flatMap((used) => used.references),
      ].some((text) => text.split(/[\s,;:]+/).includes(key)),
    );
    expect(printed).toEqual(cited);
    expect(printed).toContain("nasa-std-5017a");
    expect(textOf("source-nasa-std-5017a")).toContain(references["nasa-std-5017a"].title);
  });

  it("hashes of files and an empty place for the decision", () => {
    for (const { name, sha256 } of content.files) expect(textOf("files")).toContain(`${name} ${sha256}`);
    expect(textOf("decision")).toContain("The program writes nothing here.");
  });

  it("each requirement with its checks, what is open and who owes it; what is waived", () => {
    for (const { name, asked, checks } of content.answers.at(-1)?.requirements ?? []) {
      expect(textOf("requirements")).toContain(tidy(name));
      expect(textOf("requirements")).toContain(tidy(asked));
      for (const check of checks)
        for (const part of [check.name, check.value, check.limit, check.margin, ...check.open])
          expect(textOf("requirements")).toContain(tidy(part));
    }
    expect(textOf("requirements")).toContain("owed by: nobody named");
    expect(textOf("waivers")).toContain("no check is waived");
  });

  it("what two persons of a team decided, with the sheet that it was decided upon, in place of the pen", () => {
    const decided = { sheet: "sheets/a.html", sha256: "ef".repeat(32), why: "open items known" };
    const persons = [
      { word: "go", login: "dora", name: "D. <Keeper>", at: "2031-04-26T08:30:00Z" },
      { word: "no-go", login: "dana", name: "D. Stand", at: "2031-04-26T09:30:00Z" },
    ];
    const decisions = persons.map((person) => ({ ...decided, ...person, standing: "two persons differ" }));
    const said = readPage(sheetHtml({ ...content, decisions })).find(
      ({ attributes }) => attributes.get("id") === "decision",
    )?.text;
    for (const { name, login, word } of decisions) expect(said).toContain(`${name} login ${login} ${word}`);
    expect(said).toContain("ef".repeat(32));
    expect(said).not.toContain("by hand");
  });

  it("the margin of a temperature is a difference: 155 degC less the value, in K", () => {
    const check = content.answers.flatMap(({ checks }) => checks).find(({ id }) => id === "motor-thermal");
    if (check?.kind !== "known") throw new Error("the winding temperature is not known");
    const margin = Number(/ (\d+) K /.exec(textOf("check-3-3"))?.[1]);
    expect(check.unit).toBe("degC");
    expect(margin).toBeCloseTo(155 - (check.value - 273.15), -1);
  });
});

describe("the document", () => {
  it("gives the same bytes for the same content", () => {
    expect(sheetHtml(structuredClone(content))).toBe(page);
  });

  it("loads nothing: no script, no source, no address but anchors and data", () => {
    const names = new Set(elements.map(({ name }) => name));
    for (const name of ["script", "link", "img", "iframe", "object", "embed", "form", "base"])
      expect(names).not.toContain(name);
    for (const { attributes } of elements) {
      expect(
        [...attributes.keys()].filter((key) => /^(on|src|srcset|action|formaction|ping)/.test(key)),
      ).toEqual([]);
      const href = attributes.get("href");
      if (href !== undefined) expect(href).toMatch(/^(#|data:text\/csv;)/);
    }
    expect(page.replaceAll('xmlns="http://www.w3.org/2000/svg"', "")).not.toMatch(
      /https?:|@import|url\((?!#)/,
    );
    expect(page).toContain(`content="default-src 'none'; style-src 'unsafe-inline'; img-src data:"`);
  });

  it("has one id for each place, and a place for each anchor", () => {
    const ids = elements.flatMap(({ attributes }) => attributes.get("id") ?? []);
    expect(new Set(ids).size).toBe(ids.length);
    const targets = elements.flatMap(({ attributes }) => {
      const href = attributes.get("href");
      const labels = attributes.get("aria-labelledby")?.split(" ") ?? [];
      return [...labels, ...(href?.startsWith("#") ? [href.slice(1)] : [])];
    });
    expect(targets.filter((target) => !ids.includes(target))).toEqual([]);
  });

  it("has headings without a gap in their levels", () => {
    const levels = [...page.matchAll(/<h([1-6])[ >]/g)].map(([, level]) => Number(level));
    expect(levels[0]).toBe(1);
    expect(levels.filter((level) => level === 1)).toHaveLength(1);
    for (const [index, level] of levels.entries())
      expect(level - (levels[index - 1] ?? 0)).toBeLessThanOrEqual(1);
  });

  it("claims nothing", () => {
    expect(words).not.toMatch(
      /\bsafe\b|\bcertified\b|\boxygen[- ]compatible\b|\bqualified\b|\bcompl(y|ies) with\b/i,
    );
  });
});

describe("an unfinished or failing valve", () => {
  it("says which field is missing and what waits for it", async () => {
    const dossier = petrelFile({
      "    torque_constant: { value: 0.045 N m/A +/- 2 %, origin: catalogue }\n": "",
    });
    const lacking = readPage(sheetHtml(await contentOf(dossier)));
    const open = lacking.find(({ attributes }) => attributes.get("id") === "open")?.text;
    expect(open).toMatch(/motor torque constant drive\.motor\.torque_constant .*Opening time/);
    expect(lacking.find(({ attributes }) => attributes.get("id") === "inputs")?.text).not.toContain(
      "torque_constant",
    );
  });

  it("prints a stall as its finding, without a time", async () => {
    const dossier = petrelFile({ "current_limit: 16 A": "current_limit: 1.2 A" });
    const stalled = readPage(sheetHtml(await contentOf(dossier)));
    const check = stalled.find(({ attributes }) => attributes.get("id") === "check-3-1")?.text;
    expect(check).toMatch(/^Opening time does not open: it stalls at .* short at the stem.* fails/);
  });

  it("prints without a band, without a test, without a name", async () => {
    const dossier = petrelFile({ "name: Petrel oxygen main valve\n": "" });
    const plain = readPage(sheetHtml(await contentOf(dossier, "dry-ambient", 0)));
    const text = plain.find(({ name }) => name === "body")?.text;
    expect(text).toContain("valve without a name");
    expect(text).toContain("Band not computed");
    expect(text).toContain("Case dry-ambient: Dry valve on the bench, nothing connected");
    expect(text).toContain("None: no test of this valve has been imported.");
    expect(text).toContain("None: no prediction was sealed before a test.");
  });
});

describe("text from files", () => {
  const hostile = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "'><svg onload=alert(1)>",
    "</style><script>alert(1)</script>",
    "</title><script>alert(1)</script>",
    "--></p><iframe src=javascript:alert(1)>",
    "\\3c script\\3e \"; } body { display: none } @import 'http://example.org'",
    "&lt;b&gt; &amp; &#x3c;script&#x3e;",
    "\u202edesrever\u202c \u0000 \u001b[31m \ud800",
    "{{1+1}} %3Cscript%3E",
  ];

  /** The content with one text wherever a file or a person can put one. */
  function poisoned(text: string): SheetContent {
    const { prediction } = content;
    const { valve } = prediction.dossier;
    const motor = valve.drive?.motor;
    const resistance = motor?.resistance;
    if (motor === undefined || resistance === undefined) throw new Error("the valve has no motor");
    const told = { ...resistance, text, readAs: text, because: text, reference: text };
    const run = content.runs[0];
    const seal = content.seals[0];
    if (run === undefined || seal === undefined) throw new Error("the content has no run");
    return {
      ...content,
      day: text,
      prediction: {
        ...prediction,
        dossier: {
          ...prediction.dossier,
          valve: {
            ...valve,
            name: text,
            description: text,
            drive: { ...valve.drive, motor: { ...motor, resistance: told } },
          },
        },
      },
      answers: content.answers.slice(0, 2).map((answer) => ({
        ...answer,
        sentence: text,
        figures: answer.figures.slice(0, 1).map((figure) => ({ ...figure, title: text, words: text })),
        tables: [{ title: text, columns: [text, text], rows: [[text, text]] }],
        drivers: [{ path: text, label: text, words: text, measure: "total effect", share: 0.5 }],
        gaps: [{ path: text, label: text, blocks: [text] }],
        notices: [{ code: text, text, field: text }],
        cautions: [text],
      })),
      defaults: [{ field: text, value: text, reason: text, references: [text] }],
      runs: [
        {
          ...run,
          id: text,
          caseId: text,
          recorded: text,
          log: { name: text, sha256: text },
          notices: [{ code: text, text }],
        },
      ],
      seals: [{ ...seal, case: text, made: text, model: text, sha256: text }],
      files: [{ name: text, sha256: text }],
      notices: [{ code: text, text, field: text }],
    };
  }

  /** Elements with the names of their attributes, but for those that a long text or a stamp brings along. */
  const skeleton = (elements_: readonly PageElement[]) =>
    elements_
      .filter(({ name }) => !["wbr", "time", "text", "tspan", "code"].includes(name))
      .map(({ name, attributes }) => `${name} ${[...attributes.keys()].join(" ")}`);

  it.each(hostile)("%j becomes no element and no attribute", (text) => {
    const harmless = readPage(sheetHtml(poisoned("plain")));
    expect(skeleton(readPage(sheetHtml(poisoned(text))))).toEqual(skeleton(harmless));
  });

  it("any text becomes no element and no attribute", () => {
    const harmless = skeleton(readPage(sheetHtml(poisoned("plain"))));
    fc.assert(
      fc.property(fc.string({ unit: "binary", maxLength: 24 }), (text) => {
        expect(skeleton(readPage(sheetHtml(poisoned(`x${text}`))))).toEqual(harmless);
      }),
      { numRuns: 20 },
    );
  });

  it("cannot leave the foot of the printed page", () => {
    const foot = /@bottom-left\{content:"([^"]*)"/.exec(sheetHtml(poisoned(hostile.join(" "))))?.[1];
    expect(foot).toMatch(/^([A-Za-z0-9 ]|\\[0-9a-f]+ )+$/);
  });

  it("shows what would turn the direction of writing", () => {
    const seen = readPage(sheetHtml(poisoned("\u202eabc\u0007")));
    expect(seen.find(({ name }) => name === "h1")?.text).toBe("\ufffdabc\ufffd");
  });
});
