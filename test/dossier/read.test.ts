import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { caseIds, conditionsOf, readDossier, uncertainInputs, valueAt } from "../../src/dossier/index.js";
import { faultsText } from "../../src/fault/index.js";
import { readValve } from "./read.js";

const sample = (name: string) => readFileSync(new URL(`bad/${name}`, import.meta.url), "utf8");

describe("faults of a file", () => {
  it("are reported all at once, each with its line, caret, bound and remedy", () => {
    const { faults } = readValve(sample("many-faults.yaml"));
    expect(`${faultsText(faults)}\n`).toBe(sample("many-faults.txt"));
  });

  it("name the second document of a file, of which nothing would be read", () => {
    const { faults, dossier } = readValve("duty:\n  fluid: oxygen\n---\nduty:\n  fluid: water\n");
    expect(faults).toMatchObject([
      { code: "yaml-syntax", where: { line: 3 }, found: "a second document begins here" },
    ]);
    expect(dossier.valve.duty).toBeUndefined();
    expect(readValve("---\nduty:\n  fluid: oxygen\n...\n").faults).toEqual([]);
  });

  it("leave the neighbours known", () => {
    const { dossier } = readValve(sample("many-faults.yaml"));
    expect(valueAt(dossier, "valve.seat.friction")?.value).toBe(0.08);
    expect(valueAt(dossier, "drive.stages[0].ratio")?.value).toBe(12);
    expect(valueAt(dossier, "drive.stages[1].ratio")?.value).toBe(10);
    expect(valueAt(dossier, "drive.stages[1].efficiency")).toBeUndefined();
    expect(valueAt(dossier, "valve.bore")).toBeUndefined();
  });

  it("lie at the same line and column whatever the line ends, with a byte order mark or without", () => {
    const text = "duty:\n  dwell: 10 min\nvalve:\n  bore: 32 kg\n";
    const places = [text, text.replaceAll("\n", "\r\n"), `\uFEFF${text}`].map((each) => {
      const { line, column, length, sourceLine } = readValve(each).faults[0]?.where ?? {};
      return { line, column, length, sourceLine };
    });
    const first = { line: 4, column: 9, length: 5, sourceLine: "  bore: 32 kg" };
    expect(places).toEqual([first, first, first]);
  });

  it("point at the part of a value that is wrong", () => {
    const [fault] = readValve(
      "drive:\n  stages:\n  - efficiency: { nominal: 0.7, low: 0.6, high: 1.3 }\n",
    ).faults;
    expect(fault?.where).toMatchObject({
      line: 3,
      column: 49,
      length: 3,
      field: "drive.stages[0].efficiency",
    });
  });

  it("one cause is one fault: a correlation of a field that cannot be read has none of its own", () => {
    const file = (efficiency: string) =>
      `drive:\n  stages:\n  - efficiency: ${efficiency}\n  - efficiency: 0.8 +/- 0.02\ncorrelations:\n- first: drive.stages[0].efficiency\n  second: drive.stages[1].efficiency\n  rank: 0.5\n`;
    expect(readValve(file("1.3 +/- 0.02")).faults.map(({ where }) => where.field)).toEqual([
      "drive.stages[0].efficiency",
    ]);
    // A field that nobody gave is a cause of its own.
    expect(readValve(file("")).faults.map(({ code }) => code)).toEqual(["correlation-unknown-field"]);
  });

  it("repeat a number as it was typed", () => {
    const [fault] = readValve("drive:\n  motor:\n    inertia: 6e-6 kgm2 +/- 8 %\n").faults;
    expect(fault?.found).toBe('"kgm2" in "6e-6 kgm2" is not a known unit');
    expect(fault?.near).toBe("kg m2");
  });

  it("the ratio of a stage may be typed as 30:1", () => {
    const { dossier, faults } = readValve(
      "drive:\n  stages:\n  - ratio: 30:1\n  - ratio: { value: '10:1', origin: catalogue }\n",
    );
    expect(faults).toEqual([]);
    expect(valueAt(dossier, "drive.stages[0].ratio")?.value).toBe(30);
    expect(valueAt(dossier, "drive.stages[1].ratio")?.value).toBe(10);
  });

  it("of one section leave a list item in its position", () => {
    const { dossier, faults } = readValve("drive:\n  stages:\n    - 12\n    -\n    - ratio: 10\n");
    expect(faults.map(({ code }) => code)).toEqual(["wrong-kind"]);
    expect(valueAt(dossier, "drive.stages[2].ratio")?.value).toBe(10);
  });
});

describe("what is blank", () => {
  it.each(["valve:\n  bore:\n", "valve:\n  bore: ~\n", "valve:\n  bore: null\n", "valve:\n", "valve: {}\n"])(
    "is not known, without a fault: %j",
    (text) => {
      const { dossier, faults, notices } = readValve(`name: Petrel\n${text}`);
      expect(faults).toEqual([]);
      expect(notices).toEqual([]);
      expect(valueAt(dossier, "valve.bore")).toBeUndefined();
    },
  );

  it.each(["", "\n\n", "# nothing\n", "---\n", "~\n"])("is refused as a whole file: %j", (text) => {
    expect(readValve(text).faults.map(({ code }) => code)).toEqual(["file-empty"]);
  });
});

describe("labels and references", () => {
  it("repeat a value or a section", () => {
    const { dossier, faults } = readValve(
      "valve:\n  bore: &d 32 mm\n  ball_diameter: 52 mm\n  stem: { diameter: *d }\nline:\n  upstream: &drop { drop: 1 bar, at: 3 kg/s }\n  downstream: *drop\n",
    );
    expect(faults).toEqual([]);
    expect(valueAt(dossier, "valve.stem.diameter")?.value).toBeCloseTo(0.032, 12);
    expect(valueAt(dossier, "line.downstream.at")?.value).toBe(3);
  });

  it("that multiply each other are read in bounded time", () => {
    const levels = Array.from({ length: 12 }, (_, level) => {
      const below = level === 0 ? '"lol"' : `*l${level - 1}`;
      return `l${level}: &l${level} [${Array.from({ length: 9 }, () => below).join(", ")}]`;
    });
    const start = performance.now();
    const { faults } = readValve(`${levels.join("\n")}\nvalve: *l11\n`);
    expect(faults.map(({ code }) => code)).toContain("wrong-kind");
    expect(performance.now() - start).toBeLessThan(5_000);
  });

  it("to themselves end", () => {
    const { faults } = readValve("valve: &v\n  seat: *v\n  stem: &s [*s]\n");
    expect(faults.length).toBeGreaterThan(0);
  });
});

describe("gauge pressures", () => {
  it("count from the declared atmosphere, wherever it stands in the file", () => {
    const { dossier, notices } = readValve(
      "duty:\n  supply_pressure: 27 bar(g)\n  ambient_pressure: 0.9 bar(a)\n",
    );
    expect(valueAt(dossier, "duty.supply_pressure")?.value).toBeCloseTo(27.9e5, 6);
    expect(notices).toEqual([]);
  });

  it("count from the standard atmosphere where none is declared, with a notice", () => {
    const { dossier, notices } = readValve(
      "duty:\n  supply_pressure: 27 bar(g)\n  back_pressure: 1 bar(a)\n",
    );
    expect(valueAt(dossier, "duty.supply_pressure")?.value).toBeCloseTo(27e5 + 101_325, 6);
    expect(notices.map(({ field }) => field)).toEqual(["duty.supply_pressure"]);
  });
});

it("a gauge pressure near vacuum is judged by the declared atmosphere", () => {
  const text = (ambient: string) => `duty:\n  back_pressure: -1.05 bar(g)\n  ambient_pressure: ${ambient}\n`;
  expect(readValve(text("1.08 bar(a)")).faults).toEqual([]);
  expect(readValve(text("1.01 bar(a)")).faults.map(({ where }) => where.field)).toEqual([
    "duty.back_pressure",
  ]);
});

describe("fluids", () => {
  it("may be a gas behind a blocked outlet, but not where it flows", () => {
    const text = (outlet: string) =>
      `duty: { fluid: nitrogen, fluid_temperature: 20 degC, supply_pressure: 28 bar(a), outlet: ${outlet} }\n`;
    expect(readValve(text("dead-ended")).faults).toEqual([]);
    expect(readValve(text("flowing")).faults.map(({ code }) => code)).toEqual(["not-liquid"]);
  });

  it("that are frozen are refused", () => {
    const { faults } = readValve(
      "duty: { fluid: nitrogen, fluid_temperature: 60 K, supply_pressure: 28 bar(a), outlet: flowing }\n",
    );
    expect(faults.map(({ where }) => where.field)).toEqual(["duty.fluid_temperature"]);
  });
});

describe("conditions", () => {
  const { dossier } = readValve(
    "duty: { dwell: 10 min }\ncases:\n  - { id: dry, dwell: 1 min }\n  - { id: wet, dwell: 5 min }\n",
  );
  it("are those of the duty or of one case", () => {
    expect(caseIds(dossier)).toEqual(["duty", "dry", "wet"]);
    expect(caseIds(dossier).map((id) => conditionsOf(dossier, id).dwell?.value)).toEqual([600, 60, 300]);
  });
});

describe("the Petrel oxygen valve", () => {
  const path = "demo/petrel-oxygen-main/valve.yaml";
  const text = readFileSync(new URL(`../../${path}`, import.meta.url), "utf8");
  const { dossier, faults, notices } = readDossier({ valve: { path, text } });

  it("reads without a fault or notice", () => {
    expect(faults).toEqual([]);
    expect(notices).toEqual([]);
  });

  it("says in words what each uncertain value is", () => {
    const labels = uncertainInputs(dossier).map(({ label }) => label);
    expect(new Set(labels).size).toBe(labels.length);
    expect(labels).toContain("stage 1 efficiency");
    expect(labels).toContain("seat friction");
    expect(labels).toContain("nitrogen fluid temperature");
  });
});
