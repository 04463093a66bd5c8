import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { Refusal } from "../../src/fault/index.js";
import { drawSvg, figureCsv, nearestItem } from "../../src/picture/index.js";
import {
  choiceFile,
  choiceOf,
  choicesFigure,
  choicesInFigure,
  planBlocks,
  scatterFigure,
  scatterPoints,
  seekAnswer,
  seekAxes,
  seekOrder,
  seekPlan,
  seekScope,
  shownResults,
  workBlock,
} from "../../src/seek/index.js";
import { root } from "../project/files.js";
import { smallSearch } from "./smallSearch.js";

const valve = {
  path: "valve.yaml",
  text: smallSearch(readFileSync(join(root, "demo", "petrel-oxygen-main", "valve.yaml"), "utf8")),
};
const order = seekOrder({ valve, parts: [], caseId: "duty", seed: 1, samples: 8 });
const plan = seekPlan(order);
const answer = seekAnswer(
  plan,
  planBlocks(plan).map((block) => workBlock(plan, block)),
);
const axes = seekAxes(answer);

describe("the pictures of a search", () => {
  it("have a line for each choice of the front and each that relaxing lets in, the chosen one on top with its band", () => {
    const [chosen] = answer.front;
    const figure = choicesFigure(answer, axes, chosen?.index);
    const numbers = choicesInFigure(answer, chosen?.index);
    expect(figure.items.map(({ label }) => label)).toEqual(numbers.map((index) => `choice ${index}`));
    expect(new Set(numbers)).toEqual(new Set(shownResults(answer).map(({ index }) => index)));
    expect(numbers.at(-1)).toBe(chosen?.index);
    const top = figure.items.at(-1);
    expect(top?.isChosen).toBe(true);
    const mass = axes.findIndex(({ id }) => id === "mass");
    // 1 kg is 1000 g: whichever unit the axis took, the record's number stands in it.
    const unit = { kg: 1, g: 1000 }[figure.axes[mass]?.unit ?? ""] ?? Number.NaN;
    expect(top?.values[mass]).toBeCloseTo(unit * (chosen?.figures?.mass?.nominal ?? Number.NaN), 9);
    expect(top?.low?.[mass]).toBeCloseTo(unit * (chosen?.figures?.mass?.low ?? Number.NaN), 9);
    expect(figureCsv(figure).split("\n")).toHaveLength(numbers.length + 2);
    expect(figure.words).toContain(`Choice ${chosen?.index}: `);
  });

  it("know nothing of an axis that no choice has a number on, and keep what one lacks as not known", () => {
    for (const axis of axes)
      expect(shownResults(answer).some(({ figures }) => figures?.[axis.figure]?.[axis.of] !== null)).toBe(
        true,
      );
    expect(axes.map(({ id }) => id)).toContain("opening-time");
    const shares = choicesFigure(answer, axes, undefined).axes.filter(({ unit }) => unit === "%");
    expect(shares.map(({ range }) => range?.[1])).toEqual([100]);
    const [first] = answer.front;
    if (first === undefined) throw new Error("nothing passed");
    const { mass: _, ...figures } = first.figures ?? {};
    const lacking = choicesFigure(
      { ...answer, front: [{ ...first, figures }, ...answer.front.slice(1)] },
      axes,
      undefined,
    );
    const item = lacking.items.find(({ label }) => label === `choice ${first.index}`);
    expect(item?.values[axes.findIndex(({ id }) => id === "mass")]).toBeNaN();
  });

  it("of two numbers have a point for each choice that has both, in the order in which they are drawn", () => {
    const [x, y] = [axes.find(({ id }) => id === "mass"), axes.find(({ id }) => id === "current")];
    if (x === undefined || y === undefined) throw new Error("an axis is missing");
    const points = scatterPoints(answer, x, y);
    const figure = scatterFigure(answer, x, y, points[0]?.index);
    const drawn = drawSvg(figure, { width: 720, caption: "left out" });
    expect(drawn.match(/aria-label="[^"]*\(points\)"/g)?.length).toBe(
      figure.marks.filter(({ kind }) => kind === "points").length,
    );
    const columns = figure.marks.flatMap((mark) => (mark.kind === "points" ? Array.from(mark.y) : []));
    // The chosen one is drawn once more, on top.
    expect(columns).toHaveLength(points.length + 1);
    expect(columns.slice(0, -1)).toEqual(points.map((point) => point.y));
  });

  it("a press finds the line that passes there, in the axes' gaps too, and none far off", () => {
    const figure = choicesFigure(answer, axes, undefined);
    const size = { width: 720, caption: "left out" } as const;
    const svg = drawSvg(figure, size);
    for (const [place, item] of figure.items.entries()) {
      const d = new RegExp(
        `aria-label="${item.label}"><path d="M([\\d.]+) ([\\d.]+)L([\\d.]+) ([\\d.]+)`,
      ).exec(svg);
      const [x1 = 0, y1 = 0, x2 = 0, y2 = 0] = (d ?? []).slice(1).map(Number);
      const found = nearestItem(figure, size, { x: (x1 + x2) / 2, y: (y1 + y2) / 2 });
      const same = (index: number) => [...Array.from(figure.items[index]?.values ?? [])].slice(0, 2);
      // Lines that lie on each other cannot be told apart there.
      expect(same(found ?? -1)).toEqual(same(place));
    }
    expect(nearestItem(figure, size, { x: 5, y: 5 })).toBeUndefined();
  });
});

describe("before the search", () => {
  it("its scope has the choices, limits and samples of the search, and names what is not limited", () => {
    const scope = seekScope(order);
    expect(scope.candidates).toBe(answer.candidates);
    expect(scope.limits).toEqual(answer.limits);
    expect(scope.wanted).toBe(0.5);
    expect(scope.unlimited.map(({ field }) => field)).toContain("seek.limits.cost");
    expect(scope.unlimited.map(({ field }) => field)).not.toContain("seek.limits.drive_mass");
    const nothing = { ...valve, text: valve.text.replace(/^ {2}try:.*\n| {2}commands:\n( {4}.*\n)*/gm, "") };
    expect(() => seekScope({ ...order, valve: nothing })).toThrow(Refusal);
  });

  it("a choice is the same file with a plan and without, and there is none beyond the last", () => {
    const last = answer.candidates - 1;
    const alone = choiceOf(order, last);
    expect(alone).toEqual(choiceFile(plan, String(last)));
    expect(alone.text).toContain(alone.names.motor);
    for (const wrong of [answer.candidates, -1, 1.5, Number.NaN, "twelve"])
      expect(() => choiceFile(plan, wrong)).toThrow(Refusal);
  });
});

describe("the nearest of those that lost", () => {
  it("of each reason needs less relaxing than any other that lost for it", () => {
    let told = 0;
    for (const { id, kind, sieve, nearest, count } of answer.losses) {
      const own = answer.losers.filter(
        ({ misses: [first] }) => first?.id === id && first.kind === kind && first.sieve === sieve,
      );
      expect(own).toHaveLength(count);
      if (nearest === null) continue;
      const isUpwards = (answer.limits.find((limit) => limit.id === id)?.most ?? null) !== null;
      const needs = own.flatMap(({ misses: [first] }) => first?.needed ?? first?.nominal ?? []);
      expect(nearest.value).toBe(isUpwards ? Math.min(...needs) : Math.max(...needs));
      told++;
    }
    expect(told).toBeGreaterThan(0);
  });
});
