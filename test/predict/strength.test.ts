/** The strength of a case below its checks: samples that belong together, and what must never turn round. */
import { describe, expect, it } from "vitest";
import { applyDefaults, readDossier } from "../../src/dossier/index.js";
import {
  capacityFigure,
  largestCurrentFigure,
  leastCurrentFigure,
  marginFigure,
  OwnAnswers,
  useFigure,
} from "../../src/predict/index.js";
import { shockFigure } from "../../src/predict/shock.js";
import type { Temperature } from "../../src/quantity/index.js";
import { solid, solidNames, solidProperty } from "../../src/substance/index.js";
import { textOf } from "../project/files.js";

const demo = textOf("demo/petrel-oxygen-main/valve.yaml");

function ownOf(change: (text: string) => string = (text) => text, samples = 40, caseId = "duty"): OwnAnswers {
  const { dossier, faults } = readDossier({ valve: { path: "valve.yaml", text: change(demo) } });
  expect(faults).toEqual([]);
  return new OwnAnswers(applyDefaults(dossier, caseId).dossier, caseId, { seed: 1, samples });
}

it("a sample of the strength has the drive of the shock's sample of the same number", () => {
  const own = ownOf();
  const { figures, elements } = own.strength;
  const section = elements.find(({ kind }) => kind === "section");
  if (section === undefined) throw new Error("no section in the demo");
  const [uses, capacities] = [useFigure(section.id, "locked rotor"), capacityFigure(section.id)].map(
    (id) => figures.samples[id] ?? new Float64Array(0),
  );
  const theirs = own.shock.figures.samples[shockFigure("locked rotor", "valve.stem")] ?? new Float64Array(0);
  expect(theirs.length).toBeGreaterThan(30);
  expect(uses?.length).toBe(theirs.length);
  theirs.forEach((torque, i) => {
    const mine = (uses?.[i] ?? Number.NaN) * (capacities?.[i] ?? Number.NaN);
    // The two sides round apart.
    expect(Math.abs(mine / torque - 1)).toBeLessThan(1e-9);
  });
});

describe("what must never turn round", () => {
  const nominal = (change: (text: string) => string) => ownOf(change, 0).strength;
  const leastMargin = (change: (text: string) => string) => {
    const { figures, elements } = nominal(change);
    const kinds = new Set(["section", "bearing", "shear"]);
    return Math.min(
      ...elements
        .filter(({ kind }) => kinds.has(kind))
        .map(({ id }) => figures.nominal[marginFigure(id)] ?? Number.NaN),
    );
  };

  it("a thicker tongue never bears less, and harder factors never leave more margin", () => {
    const thickness = (mm: number) =>
      leastMargin((text) => text.replace("thickness: { value: 9 mm", `thickness: { value: ${mm} mm`));
    expect(thickness(7)).toBeLessThan(thickness(8));
    expect(thickness(8)).toBeLessThan(thickness(9));
    const verified = (by: string) =>
      leastMargin((text) => text.replace("verified_by: test", `verified_by: ${by}`));
    expect(verified("analysis")).toBeLessThan(verified("test"));
  });

  it("a larger current limit never leaves more margin of strength", () => {
    const at = (amperes: number) =>
      leastMargin((text) => text.replace("current_limit: 16 A", `current_limit: ${amperes} A`));
    expect(at(6)).toBeGreaterThan(at(9));
    expect(at(9)).toBeGreaterThan(at(11));
  });

  it("a harder margin rule never lets a smaller current do", () => {
    const least = (phase: string) =>
      nominal((text) =>
        text
          .replace("margin_phase: critical design", `margin_phase: ${phase}`)
          .replace("close_within: { time: 0.5 s", "close_within: { time: 0.8 s"),
      ).figures.nominal[leastCurrentFigure] ?? Number.POSITIVE_INFINITY;
    expect(least("acceptance")).toBeLessThan(least("critical design"));
  });

  it("a weaker tongue never lets a larger current do", () => {
    const largest = (mm: number) =>
      nominal((text) => text.replace("thickness: { value: 9 mm", `thickness: { value: ${mm} mm`)).figures
        .nominal[largestCurrentFigure] ?? Number.NaN;
    expect(largest(4)).toBeLessThan(largest(5));
    expect(largest(9)).toBe(Number.POSITIVE_INFINITY);
  });
});

it("a warmer body-centred steel never breaks with less stretch", () => {
  const steels = solidNames
    .map((name) => solid(name))
    .filter(({ file }) => file.kind === "metal" && file.structure.startsWith("body-centred"));
  expect(steels.length).toBeGreaterThanOrEqual(3);
  for (const steel of steels) {
    const stretch = [80, 120, 170, 220, 290].map(
      (T) => solidProperty(steel, "elongation", T as Temperature).value,
    );
    expect(stretch).toEqual([...stretch].sort((a, b) => a - b));
  }
});

it("a section has the temperature of its place: the packing's colder than the gearbox end, both warmer than the tongue", () => {
  const { materials } = ownOf((text) => text, 0).strength;
  const at = (part: string) => materials.find((one) => one.part === part)?.temperature_K ?? Number.NaN;
  expect(at("tongue")).toBeLessThan(at("stem in the packing"));
  expect(at("stem in the packing")).toBeLessThan(at("gearbox end"));
  expect(at("gearbox end")).toBeLessThan(300);
});
