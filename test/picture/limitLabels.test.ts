/** Labels of level limits that lie close to each other and to curves, in a narrow picture. */
import { expect, it } from "vitest";
import { drawSvg, type Figure } from "../../src/picture/index.js";

const figure: Figure = {
  kind: "plot",
  id: "close",
  title: "Close limits",
  words: "Two limits close to each other, a curve through both.",
  x: { label: "Place", unit: "mm", range: [0, 130] },
  y: { label: "Temperature", unit: "K", range: [60, 320] },
  marks: [
    { kind: "line", role: "demand", label: "stem", x: [0, 108], y: [90, 280] },
    { kind: "limit", axis: "y", value: 243, label: "least of the upper", forbidden: "below" },
    { kind: "limit", axis: "y", value: 233, label: "least of the lower", forbidden: "below" },
    { kind: "limit", axis: "y", value: 273, label: "zero", role: "neutral" },
  ],
};

it("each stands beside its own line: no other limit lies between", () => {
  const svg = drawSvg(figure, { width: 380, caption: "left out" });
  const baseline = (label: string): number =>
    Number(new RegExp(`<text[^>]* y="([\\d.]+)"[^>]*>${label}<`).exec(svg)?.[1]);
  const line = (label: string): number =>
    Number(new RegExp(`aria-label="${label} \\(limit\\)"[^>]*><path d="M[\\d.]+ ([\\d.]+)H`).exec(svg)?.[1]);
  expect(baseline("least of the upper")).toBeLessThan(line("least of the upper"));
  expect(baseline("least of the upper")).toBeGreaterThan(line("zero"));
  expect(baseline("least of the lower")).toBeGreaterThan(line("least of the lower"));
});
