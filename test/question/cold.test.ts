/** Question 6 on a valve whose chains can be worked out on paper; each check in each of its verdicts. */
import { describe, expect, it } from "vitest";
import { applyDefaults, readDossier } from "../../src/dossier/index.js";
import { textOf } from "../project/files.js";
import { answerAloneTo, answerNumbered, answersTo, checkNamed, type Edits } from "./answering.js";
import { itProvokes, type Provocation } from "./provocations.js";

const text = textOf("test/question/hand.yaml")
  .replaceAll("valve_temperature: 20 degC", "valve_temperature: 90 K")
  .replace(
    "  seat:\n",
    `  cold:
    inspected_at: 293 K
    body_material: stainless-304
    ball_material: stainless-304
    seat_material: ptfe
    seat_height: 6 mm
    interference: 0.40 mm
    stiffness_cold_ratio: 1.5
    contact_width: 1 mm
    least_contact_stress: 2 MPa
    largest_contact_stress: 30 MPa
    fits:
      - { name: stem, kind: stem, hole_material: bronze, shaft_material: "304", diameter: 14 mm, clearance: 0.06 mm, least_clearance: 0.02 mm, lag: 40 K }
      - { name: trunnion, kind: bearing, hole_material: ptfe, shaft_material: "304", diameter: 20 mm, clearance: 0.5 mm, lag: 20 K }
    bolts: { material: a286, clamped_material: "304", stress_area: 36.6 mm2, stiffness_ratio: 4, preload: 14 kN, least_preload: 7 kN, yield_share: 80 % }
  seat:
`,
  );
const ask = (edits: Edits = {}, samples = 200) => answersTo({ text, edits, samples });
const alone = (edits: Edits) => answerAloneTo(6, { text, edits, samples: 200 });

it("the loop at 90 K by the totals of the fits, 0.27 % of stainless and 1.88 % of PTFE (test/reference/solids.json): 0.40 - 12 x (1.88 - 0.27) % - 0.4 x 0.27 % = 0.21 mm", async () => {
  const check = checkNamed(await ask(), "seat-interference");
  expect(check.kind).toBe("known");
  if (check.kind === "known")
    expect(check.value * 1e3).toBeCloseTo(0.4 - 12 * (0.0188 - 0.0027) - 0.4 * 0.0027, 2);
});

const provocations: readonly Provocation[] = [
  { id: "seat-interference", verdict: "holds", edits: {} },
  { id: "seat-interference", verdict: "thin", edits: { "valve.cold.interference": "0.21 mm +/- 0.03 mm" } },
  { id: "seat-interference", verdict: "fails", edits: { "valve.cold.interference": "0.15 mm" } },
  {
    id: "seat-interference",
    verdict: "not known",
    edits: { "valve.cold.seat_height": undefined },
    needs: "valve.cold.seat_height",
  },
  { id: "stem-clearance", verdict: "holds", edits: {} },
  {
    id: "stem-clearance",
    verdict: "thin",
    edits: { "valve.cold.fits[0].clearance": "0.04 mm +/- 0.015 mm" },
  },
  { id: "stem-clearance", verdict: "fails", edits: { "valve.cold.fits[0].clearance": "0.02 mm" } },
  {
    id: "stem-clearance",
    verdict: "not known",
    edits: { "valve.cold.fits[0].hole_material": undefined },
    needs: "valve.cold.fits[0].hole_material",
  },
  { id: "bearing-clearance", verdict: "holds", edits: {} },
  { id: "bearing-clearance", verdict: "fails", edits: { "valve.cold.fits[1].clearance": "0.2 mm" } },
  { id: "differential-transient", verdict: "holds", edits: {} },
  {
    id: "differential-transient",
    verdict: "fails",
    edits: { "valve.cold.fits[0].lag": "180 K", "valve.cold.fits[0].clearance": "0.03 mm" },
  },
  {
    id: "differential-transient",
    verdict: "not known",
    edits: { "valve.cold.fits[0].lag": undefined },
    needs: "valve.cold.fits[0].lag",
  },
  { id: "bolt-preload-cold", verdict: "holds", edits: {} },
  { id: "bolt-preload-cold", verdict: "thin", edits: { "valve.cold.bolts.preload": "8.5 kN +/- 1.5 kN" } },
  { id: "bolt-preload-cold", verdict: "fails", edits: { "valve.cold.bolts.preload": "3 kN" } },
  {
    id: "bolt-preload-cold",
    verdict: "not known",
    edits: { "valve.cold.bolts": undefined },
    needs: "valve.cold.bolts.preload",
  },
  { id: "bolt-stress-cold", verdict: "holds", edits: {} },
  { id: "bolt-stress-cold", verdict: "thin", edits: { "valve.cold.bolts.preload": "23 kN +/- 2 kN" } },
  { id: "bolt-stress-cold", verdict: "fails", edits: { "valve.cold.bolts.preload": "40 kN" } },
  {
    id: "bolt-stress-cold",
    verdict: "not known",
    edits: { "valve.cold.bolts.yield_share": undefined },
    needs: "valve.cold.bolts.yield_share",
  },
  ...["valve.cold.body_material", "valve.cold.bolts.clamped_material"].map(
    (path): Provocation => ({
      id: "min-temp-material",
      verdict: "not known",
      edits: { [path]: undefined },
      needs: path,
    }),
  ),
  {
    id: "min-temp-material",
    verdict: "fails",
    edits: { "valve.cold.bolts.clamped_material": "carbon-steel" },
  },
  {
    id: "min-temp-material",
    verdict: "fails",
    edits: { "valve.cold.pipe": { material: "carbon-steel" } },
  },
  { id: "polymer-strength", verdict: "holds", edits: {} },
  { id: "polymer-strength", verdict: "fails", edits: { "valve.cold.largest_contact_stress": "3 MPa" } },
  {
    id: "polymer-strength",
    verdict: "not known",
    edits: { "valve.cold.contact_width": undefined },
    needs: "valve.cold.contact_width",
  },
  { id: "min-temp-material", verdict: "holds", edits: {} },
  { id: "min-temp-material", verdict: "fails", edits: { "valve.cold.bolts.material": "carbon steel" } },
  {
    id: "min-temp-material",
    verdict: "not known",
    edits: { "valve.cold": undefined },
    needs: "valve.cold.body_material",
  },
];

itProvokes(alone, provocations);

describe("the preload in the torque", () => {
  const filledOf = (edits: (valve: string) => string) => {
    const { dossier, faults } = readDossier({ valve: { path: "valve.yaml", text: edits(text) } });
    expect(faults).toEqual([]);
    return applyDefaults(dossier);
  };

  it("is derived from materials and dimensions where nobody declared it, and said so", () => {
    const { dossier, defaults } = filledOf((valve) => valve.replace(/ +preload_cold_ratio: .*\n/, ""));
    const ratio = dossier.valve.valve?.seat?.preload_cold_ratio;
    expect(ratio?.origin).toBe("default");
    // 0.206 of 0.40 mm left, one and a half times as stiff.
    expect(ratio?.value).toBeCloseTo((0.206 / 0.4) * 1.5, 1);
    expect(defaults.map(({ field }) => field)).toContain("valve.seat.preload_cold_ratio");
  });

  it("is the declared one where there is one", () => {
    const { dossier, defaults } = filledOf((valve) => valve);
    expect(dossier.valve.valve?.seat?.preload_cold_ratio?.value).toBe(1);
    expect(defaults.map(({ field }) => field)).not.toContain("valve.seat.preload_cold_ratio");
  });

  it("moves torque and opening time: a seat that keeps less preload opens sooner", async () => {
    const time = async (interference: string) => {
      const answers = await ask(
        {
          "valve.seat.preload_cold_ratio": undefined,
          "valve.cold.interference": interference,
          "valve.seat.friction_cold_ratio": "1",
        },
        0,
      );
      const check = checkNamed(answers, "opening-time");
      return check.kind === "known" ? check.value : Number.NaN;
    };
    expect(await time("0.25 mm")).toBeLessThan(await time("0.60 mm"));
  });
});

it("the picture of the seats carries the band of their check, at the temperature of the valve", async () => {
  const answers = await ask({}, 60);
  const check = checkNamed(answers, "seat-interference");
  const figure = answers.flatMap(({ figures }) => figures).find(({ id }) => id === "cold-interference");
  const marks = figure?.kind === "plot" ? figure.marks : [];
  const spread = marks.flatMap((mark) => (mark.kind === "points" ? [mark] : []));
  expect(spread.length).toBe(1);
  const band = check.kind === "known" ? check.band : undefined;
  expect(spread[0]?.low?.[0]).toBeCloseTo(1e3 * (band?.low ?? Number.NaN), 9);
  expect(spread[0]?.high?.[0]).toBeCloseTo(1e3 * (band?.high ?? Number.NaN), 9);
  expect(spread[0]?.high?.[0]).toBeGreaterThan(spread[0]?.low?.[0] ?? Number.NaN);
});

it("a material that is on no file is a fault with the nearest name, and its checks wait", async () => {
  const { faults } = readDossier({
    valve: {
      path: "valve.yaml",
      text: text.replace("body_material: stainless-304", "body_material: stainles-304"),
    },
  });
  expect(faults.map(({ code, near }) => [code, near])).toEqual([["solid-unknown", "stainless-304"]]);
});

it("a floating ball is not asked for trunnion fits", async () => {
  const answers = await ask({ "valve.cold.fits": undefined });
  expect(answerNumbered(answers, 6).checks.map(({ id }) => id)).not.toContain("bearing-clearance");
});

describe("what the answer says of its data", () => {
  it("a valve colder than the data of its solids is followed with a notice", async () => {
    const { notices } = answerNumbered(await ask({ "duty.valve_temperature": "60 K" }, 0), 6);
    expect(notices.map(({ text: words }) => words).join()).toMatch(/A286|bronze/i);
  });

  it("question 3 shows what the cold does to the opening by way of the preload", async () => {
    const edits = { "valve.seat.preload_cold_ratio": "0.4" };
    const answer = answerNumbered(await ask(edits, 0), 3);
    const table = answer.tables.find(({ title }) => title.startsWith("What the cold does to the opening"));
    expect(table?.rows.map(([, preload]) => preload)).toEqual(["200 N", "500 N", "0 N"]);
    const times = (table?.rows ?? []).map((row) => Number.parseFloat(row[3] ?? ""));
    expect(times[1]).toBeGreaterThan(times[0] ?? Number.NaN);
    expect(times[0]).toBeGreaterThan(times[2] ?? Number.NaN);
    const check = checkNamed([answer], "opening-time");
    expect(check.assumptions.join()).toContain("The cold leaves 200 N of the 500 N of preload");
  });
});
