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

describe("what each shape and joint bears, by its form", () => {
  const hand = textOf("test/question/hand.yaml").replace(
    "  stem:\n",
    "  strength: { yield_factor: 2, ultimate_factor: 2, static_concentration: counted }\n  stem:\n    material: a286\n    SECTIONS\n    JOINTS\n",
  );
  /** 400 and 600 MPa: the shear of 400/sqrt(3)/2 = 115.5 MPa is below 0.75 x 600/2 = 225 MPa. */
  const strong = "yield_strength: 400 MPa, ultimate_strength: 600 MPa";
  const allowed = 400e6 / Math.sqrt(3) / 2;
  const capacityOf = (kind: string, sections: string, joints: string) => {
    const text = hand.replace("SECTIONS", sections).replace("JOINTS", joints);
    const { dossier, faults } = readDossier({ valve: { path: "valve.yaml", text } });
    expect(faults).toEqual([]);
    const own = new OwnAnswers(applyDefaults(dossier).dossier, "duty", { seed: 1, samples: 0 });
    const { elements, figures } = own.strength;
    const element = elements.find((one) => one.kind === kind);
    expect(element?.missing).toEqual([]);
    return figures.nominal[capacityFigure(element?.id ?? "")] ?? Number.NaN;
  };
  const round = (Math.PI / 16) * 0.014 ** 3;

  it.each([
    ["shape: round, diameter: 14 mm, notch: none", round],
    ["shape: tube, diameter: 14 mm, inner_diameter: 7 mm, notch: none", round * (1 - 0.5 ** 4)],
    ["shape: square, width: 12 mm, notch: none", 0.208 * 0.012 ** 3],
    ["shape: rectangle, width: 20 mm, thickness: 10 mm, notch: none", 0.246 * 0.02 * 0.01 ** 2],
    [
      "shape: rectangle, width: 20 mm, thickness: 10 mm, concentration: 1.5",
      (0.246 * 0.02 * 0.01 ** 2) / 1.5,
    ],
    ["shape: keyed, diameter: 14 mm, keyway_width: 5 mm, keyway_depth: 3 mm", round / 3],
    ["shape: splined, diameter: 14 mm", round / 2.8],
    [
      "shape: round, diameter: 14 mm, notch: shoulder, shoulder: { diameter: 28 mm, fillet: 1.4 mm }",
      round / (0.863 * 0.1 ** -0.239),
    ],
    [
      "shape: round, diameter: 14 mm, notch: hole, hole: 1.4 mm",
      (round * (1 - (8 / (3 * Math.PI)) * 0.1 * 1.01)) / (4 / Math.sqrt(3)),
    ],
    ["shape: one flat, diameter: 16 mm, flat_depth: 2 mm, notch: none", 0.008 ** 3 / 0.902_76],
    ["shape: two flats, diameter: 16 mm, flat_depth: 2 mm, notch: none", 80 / 168.6e6],
  ])("section %s", (shape, resistance) => {
    const capacity = capacityOf("section", `sections: [{ ${shape}, ${strong} }]`, "");
    // Three to four digits of the published coefficients.
    expect(Math.abs(capacity / (allowed * resistance) - 1)).toBeLessThan(2e-3);
  });

  const both = "shaft_yield: 400 MPa, hub_material: a286, hub_yield: 300 MPa";
  const third = "material: a286, yield_strength: 400 MPa";
  it.each([
    ["bearing", `kind: tongue, width: 14 mm, length: 8 mm, ${both}`, (150e6 * 0.008 * 0.014 ** 2) / 6],
    ["bearing", `kind: square, width: 12 mm, length: 15 mm, ${both}`, (150e6 * 0.015 * 0.012 ** 2) / 3],
    [
      "bearing",
      `kind: two flats, diameter: 16 mm, flat_depth: 2 mm, length: 10 mm, ${both}`,
      (150e6 * 0.01 * 4 * 0.002 * 0.014) / 6,
    ],
    [
      "bearing",
      `kind: key, diameter: 16 mm, width: 5 mm, height: 5 mm, length: 20 mm, count: 1, ${both}, ${third}`,
      (150e6 * 0.016 * 0.005 * 0.02) / 4,
    ],
    [
      "shear",
      `kind: key, diameter: 16 mm, width: 5 mm, height: 5 mm, length: 20 mm, count: 1, ${both}, ${third}`,
      (allowed * 0.016 * 0.005 * 0.02) / 2,
    ],
    [
      "shear",
      `kind: pin, diameter: 14 mm, pin_diameter: 4 mm, hub_diameter: 26 mm, ${both}, ${third}`,
      (allowed * Math.PI * 0.004 ** 2 * 0.014) / 4,
    ],
    [
      "bearing",
      `kind: pin, diameter: 14 mm, pin_diameter: 4 mm, hub_diameter: 26 mm, ${both}, ${third}`,
      // The stronger pin and shaft meet there; the softer hub has three and a half times the room.
      (200e6 * 0.004 * 0.014 ** 2) / 6,
    ],
    [
      "bearing",
      `kind: spline, diameter: 20 mm, count: 20, height: 1 mm, thickness: 1.5 mm, length: 12 mm, sharing: 50 %, ${both}`,
      (150e6 * 0.02 * 20 * 0.5 * 0.001 * 0.012) / 2,
    ],
    [
      "shear",
      `kind: spline, diameter: 20 mm, count: 20, height: 1 mm, thickness: 1.5 mm, length: 12 mm, sharing: 50 %, ${both}`,
      (allowed * 0.02 * 20 * 0.5 * 0.0015 * 0.012) / 2,
    ],
    ["shear", "kind: set screw, diameter: 14 mm, count: 2, holding_force: 4.4 kN", (2 * 4400 * 0.007) / 2],
  ])("%s of joint %s", (kind, joint, torque) => {
    expect(capacityOf(kind, "", `joints: [{ ${joint} }]`) / torque).toBeCloseTo(1, 9);
  });

  it("a ductile metal's notch does not count where the file says so, a brittle one's does", () => {
    const not = (material: string) => {
      const text = `sections: [{ shape: splined, diameter: 14 mm, material: ${material}, ${strong} }]`;
      return capacityOf("section", text, "") / (allowed * round);
    };
    expect(not("a286")).toBeCloseTo(1 / 2.8, 9);
    const ductile = (material: string) => {
      const text = hand
        .replace("static_concentration: counted", "static_concentration: ductile not counted")
        .replace(
          "SECTIONS",
          `sections: [{ shape: splined, diameter: 14 mm, material: ${material}, ${strong} }]`,
        )
        .replace("JOINTS", "");
      const { dossier } = readDossier({ valve: { path: "valve.yaml", text } });
      const { figures, elements } = new OwnAnswers(applyDefaults(dossier).dossier, "duty", {
        seed: 1,
        samples: 0,
      }).strength;
      return (figures.nominal[capacityFigure(elements[0]?.id ?? "")] ?? Number.NaN) / (allowed * round);
    };
    expect(ductile("a286")).toBeCloseTo(1, 9);
    expect(ductile("440c")).toBeCloseTo(1 / 2.8, 9);
  });
});
