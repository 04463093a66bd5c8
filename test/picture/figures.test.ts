/**
 * Kept pictures. A change of a picture is meant or it is a defect: look at it, then renew with
 *   UPDATE_FIGURES=1 npx vitest run test/picture/figures.test.ts
 */
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { Resvg } from "@resvg/resvg-js";
import { describe, expect, it } from "vitest";
import { drawSvg, drawText, type Figure, figureCsv, paints } from "../../src/picture/index.js";
import { examples } from "./examples.js";
import { readXml } from "./xml.js";

const folder = join(import.meta.dirname, "..", "figures");
const isRenewing = process.env.UPDATE_FIGURES === "1";

/** The forms in which each example is kept, by the end of the file's name. */
const forms: Readonly<Record<string, (figure: Figure) => string>> = {
  ".svg": (figure) => drawSvg(figure, { width: 720 }),
  ".narrow.svg": (figure) => drawSvg(figure, { width: 360, caption: "left out" }),
  ".txt": (figure) => `${drawText(figure, { columns: 80, rows: 24, unicode: true })}\n`,
  ".ascii.txt": (figure) => `${drawText(figure, { columns: 80, rows: 24, unicode: false })}\n`,
};

describe("kept pictures (renew with UPDATE_FIGURES=1)", () => {
  for (const [name, figure] of Object.entries(examples))
    for (const [ending, draw] of Object.entries(forms))
      it(`${name}${ending} is drawn byte for byte as kept`, () => {
        const path = join(folder, name + ending);
        const drawn = draw(figure);
        if (isRenewing) {
          mkdirSync(folder, { recursive: true });
          writeFileSync(path, drawn);
        }
        expect(existsSync(path), `${path} is kept`).toBe(true);
        expect(drawn === readFileSync(path, "utf8"), `${name}${ending} as kept`).toBe(true);
      });

  it("no file is kept of an example that is gone", () => {
    const known = Object.keys(examples).flatMap((name) => Object.keys(forms).map((ending) => name + ending));
    expect(readdirSync(folder).filter((file) => !known.includes(file))).toEqual([]);
  });
});

describe("every example", () => {
  for (const [name, figure] of Object.entries(examples)) {
    it(`${name}: well-formed, named, described, its ids its own`, () => {
      const elements = readXml(drawSvg(figure, { width: 720 }));
      const [root] = elements;
      expect(root?.attributes.get("role")).toBe("img");
      expect(elements.find((element) => element.name === "title")?.text).toBe(figure.title);
      expect(elements.find((element) => element.name === "desc")?.text).toBe(figure.words);
      const ids = elements.flatMap((element) => element.attributes.get("id") ?? []);
      expect(new Set(ids).size).toBe(ids.length);
      for (const id of ids) expect(id === figure.id || id.startsWith(`${figure.id}-`)).toBe(true);
      const named = root?.attributes.get("aria-labelledby")?.split(" ") ?? [];
      for (const id of named) expect(ids).toContain(id);
    });

    it(`${name}: type of 13 px or more, whatever the width`, () => {
      for (const width of [360, 720])
        for (const element of readXml(drawSvg(figure, { width }))) {
          const size = element.attributes.get("font-size");
          if (size !== undefined) expect(Number(size)).toBeGreaterThanOrEqual(13);
        }
    });

    it(`${name}: a converter that knows no light-dark() draws paper and marks in the light colours`, () => {
      const { width, pixels: bytes } = new Resvg(drawSvg(figure, { width: 720 })).render();
      expect(width).toBe(720);
      const colours = new Set<string>();
      for (let at = 0; at < bytes.length; at += 4) colours.add(bytes.toString("hex", at, at + 3));
      expect(colours).toContain(paints.paper.light.slice(1));
      expect(colours).toContain(paints.ink.light.slice(1));
      expect(colours).not.toContain(paints.paper.dark.slice(1));
    });

    it(`${name}: axes name their units, in SVG, text and CSV`, () => {
      const { units, bracket } = unitsOf(figure);
      for (const unit of bracket) {
        expect(drawSvg(figure, { width: 720 })).toContain(`[${unit}]`);
        expect(drawText(figure, { columns: 80, rows: 24, unicode: true })).toContain(`[${unit}]`);
      }
      const head = figureCsv(figure).split("\n")[0] ?? "";
      for (const unit of units) expect(head).toContain(unit);
    });
  }
});

function unitsOf(figure: Figure): { readonly bracket: readonly string[]; readonly units: readonly string[] } {
  const inHead: Readonly<Record<string, string>> = { "%": "_percent", "°": "_deg", "N*m": "_N.m" };
  const axes =
    figure.kind === "plot"
      ? [figure.x, figure.y]
      : figure.kind === "histogram"
        ? [figure.value, figure.height]
        : figure.kind === "interval"
          ? [{ unit: "%" }]
          : figure.kind === "parallel"
            ? figure.axes.filter(({ unit }) => unit !== "")
            : [figure.value];
  const bracket = axes.map(({ unit }) => unit);
  return { bracket, units: bracket.map((unit) => inHead[unit] ?? `_${unit}`) };
}
