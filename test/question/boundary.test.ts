/** The pressure boundary in question 5: each check in each of its verdicts, and numbers that follow on paper. */
import { describe, expect, it } from "vitest";
import { textOf } from "../project/files.js";
import { answerAloneTo, answerNumbered, answersTo, checkNamed, type Edits } from "./answering.js";
import { itProvokes, type Provocation } from "./provocations.js";

const text = `${textOf("test/question/hand.yaml").replace(
  "  seat:\n",
  `  cavity:
    volume: 40 cm3
    rating: 60 bar(a)
    wall_stiffness: 10 GPa
    heat_leak: 10 W
    self_relief: { side: upstream, difference: 5 bar, tested_at: 4 degC }
    vent: { side: upstream, diameter: 1 mm, discharge_coefficient: 0.7, direction_marked: "yes" }
  cold:
    inspected_at: 293 K
    bolts: { material: a286, clamped_material: stainless-316, stress_area: 36.6 mm2, stiffness_ratio: 4, preload: 10 kN }
  boundary:
    rule: aiaa-s-080
    surge: 10.013 bar
    walls:
      - { name: body, shape: tube, material: stainless-316, outer_diameter: 50 mm, thickness: 4 mm, tolerance: 0 %, allowance: 0 mm, quality: 1, allowed_stress: 138 MPa }
      - { name: cover, shape: cover, material: stainless-316, held_diameter: 50 mm, held_factor: 0.3, thickness: 10 mm, tolerance: 0 %, allowance: 0 mm, quality: 1, allowed_stress: 138 MPa }
    ends:
      - { name: inlet, rating: 40 bar(a) }
    bolts: { count: 4, sealed_diameter: 50 mm, yield_stress: 600 MPa }
    retention: { held_by: shoulder, shoulder_diameter: 22 mm, shoulder_height: 4 mm, bonnet_bore: 14.2 mm, material: stainless-316 }
    proof_test: { pressure: 40 bar(a), finding: no yield, record: sheet 1 }
    burst_test: { pressure: 60 bar(a), finding: held, record: sheet 2 }
  seat:
`,
)}
trapped:
  ambient_temperature: 30 degC
  segments: []
`;
const at = "valve.boundary";
const ask = (edits: Edits = {}, samples = 80) => answersTo({ text, edits, samples });
const alone = (edits: Edits) => answerAloneTo(5, { text, edits, samples: 80 });

describe("21.013 bar(a), 20 bar over the atmosphere", () => {
  const numberOf = async (id: string, of: string) => {
    const check = answerNumbered(await ask({}, 0), 5).checks.find(
      (one) => one.id === id && one.name.endsWith(of),
    );
    return check?.kind === "known" ? check.value : Number.NaN;
  };

  it("needs 2 MPa x 50 mm / (2 (138 + 0.8) MPa) = 0.360 mm of 4 mm [asme-b31.3-2016, 304.1.2]", async () => {
    expect(await numberOf("wall", "body")).toBeCloseTo(0.3602 / 4, 4);
  });

  it("needs 50 mm sqrt(0.3 x 2 / 138) = 3.297 mm of the cover's 10 mm [asme-viii-1-2015, UG-34]", async () => {
    expect(await numberOf("wall", "cover")).toBeCloseTo(0.3297, 4);
  });

  it("loads each of four bolts by 982 N at that pressure, 1473 N at proof: 10 kN + 1473/5 on 36.6 mm2 at 600 MPa [vdi-2230-1-2015]", async () => {
    const load = (1.5 * 2e6 * Math.PI * 0.05 ** 2) / 16;
    expect(await numberOf("bolt-at-proof", "")).toBeCloseTo((10e3 + load / 5) / 36.6e-6 / 600e6, 6);
    expect(await numberOf("bolt-gap", "at proof")).toBeCloseTo(10e3 - 0.8 * load, 3);
  });

  it("a test at 40 bar(a) is 38.987 bar over the atmosphere, 1.949 times as much", async () => {
    expect(await numberOf("proof", "by test")).toBeCloseTo(1.94935, 4);
  });
});

const provocations: readonly Provocation[] = [
  { id: "wall", verdict: "holds", edits: {} },
  { id: "wall", verdict: "thin", edits: { [`${at}.walls[0].thickness`]: "0.42 mm +/- 0.05 mm" } },
  { id: "wall", verdict: "fails", edits: { [`${at}.walls[0].thickness`]: "0.3 mm" } },
  { id: "wall", verdict: "fails", edits: { [`${at}.walls[0].allowance`]: "5 mm" } },
  ...["outer_diameter", "thickness", "tolerance", "allowance", "quality"].map(
    (field): Provocation => ({
      id: "wall",
      verdict: "not known",
      edits: { [`${at}.walls[0].${field}`]: undefined },
      needs: `${at}.walls[0].${field}`,
    }),
  ),
  {
    id: "wall",
    verdict: "not known",
    edits: { [`${at}.walls[0].allowed_stress`]: undefined, [`${at}.walls[0].material`]: undefined },
    needs: `${at}.walls[0].material`,
  },
  { id: "wall", verdict: "not known", edits: { [`${at}.surge`]: undefined }, needs: `${at}.surge` },
  {
    id: "wall",
    verdict: "not known",
    edits: { "duty.supply_pressure": undefined },
    needs: "duty.supply_pressure",
  },
  { id: "wall", verdict: "not known", edits: { "valve.cavity": undefined }, needs: "valve.cavity" },
  { id: "wall", verdict: "not known", edits: { "trapped.segments": undefined }, needs: "trapped.segments" },
  {
    id: "wall",
    verdict: "not known",
    edits: { "trapped.ambient_temperature": undefined },
    needs: "trapped.ambient_temperature",
  },
  {
    id: "wall",
    verdict: "not known",
    edits: { [`${at}.walls`]: undefined },
    needs: `${at}.walls: the thinnest places of body, ends, bonnet and covers`,
  },
  { id: "proof-stress", verdict: "holds", edits: {} },
  { id: "proof-stress", verdict: "fails", edits: { [`${at}.walls[0].thickness`]: "0.2 mm" } },
  { id: "proof-stress", verdict: "thin", edits: { [`${at}.walls[0].thickness`]: "0.3 mm" } },
  { id: "proof-stress", verdict: "not known", edits: { [`${at}.rule`]: undefined }, needs: `${at}.rule` },
  { id: "end-rating", verdict: "holds", edits: {} },
  { id: "end-rating", verdict: "thin", edits: { [`${at}.surge`]: "28 bar +/- 2 bar" } },
  { id: "end-rating", verdict: "fails", edits: { [`${at}.ends[0].rating`]: "20 bar(a)" } },
  {
    id: "end-rating",
    verdict: "not known",
    edits: { [`${at}.ends[0].rating`]: undefined },
    needs: `${at}.ends[0].rating`,
  },
  {
    id: "end-rating",
    verdict: "not known",
    edits: { [`${at}.ends`]: undefined },
    needs: `${at}.ends: each end connection with its rating`,
  },
  { id: "proof", verdict: "holds", edits: {} },
  { id: "proof", verdict: "thin", edits: { [`${at}.surge`]: "14 bar +/- 3 bar" } },
  { id: "proof", verdict: "fails", edits: { [`${at}.proof_test.pressure`]: "30 bar(a)" } },
  { id: "proof", verdict: "fails", edits: { [`${at}.proof_test.finding`]: "yielded" } },
  { id: "proof", verdict: "fails", edits: { [`${at}.proof_factor`]: "2" } },
  ...["pressure", "finding", "record"].map(
    (field): Provocation => ({
      id: "proof",
      verdict: "not known",
      edits: { [`${at}.proof_test.${field}`]: undefined },
      needs: `${at}.proof_test.${field}`,
    }),
  ),
  { id: "burst", verdict: "holds", edits: {} },
  { id: "burst", verdict: "fails", edits: { [`${at}.burst_test.pressure`]: "45 bar(a)" } },
  { id: "burst", verdict: "holds", edits: { [`${at}.burst_test.finding`]: "ruptured" } },
  {
    id: "burst",
    verdict: "fails",
    edits: { [`${at}.burst_test.finding`]: "ruptured", [`${at}.burst_test.pressure`]: "45 bar(a)" },
  },
  {
    id: "burst",
    verdict: "not known",
    edits: { [`${at}.rule`]: "asme-b31.3" },
    needs: `${at}.burst_factor, or a ${at}.rule that names one`,
  },
  {
    id: "burst",
    verdict: "not known",
    edits: { [`${at}.burst_test`]: undefined },
    needs: `${at}.burst_test.pressure`,
  },
  { id: "bolt-at-proof", verdict: "holds", edits: {} },
  { id: "bolt-at-proof", verdict: "thin", edits: { "valve.cold.bolts.preload": "20 kN +/- 1 kN" } },
  { id: "bolt-at-proof", verdict: "fails", edits: { [`${at}.bolts.yield_stress`]: "200 MPa" } },
  ...["count", "sealed_diameter"].map(
    (field): Provocation => ({
      id: "bolt-at-proof",
      verdict: "not known",
      edits: { [`${at}.bolts.${field}`]: undefined },
      needs: `${at}.bolts.${field}`,
    }),
  ),
  {
    id: "bolt-at-proof",
    verdict: "not known",
    edits: { [`${at}.bolts.yield_stress`]: undefined, "valve.cold.bolts.material": undefined },
    needs: `${at}.bolts.yield_stress`,
  },
  { id: "bolt-gap", verdict: "holds", edits: {} },
  { id: "bolt-gap", verdict: "fails", edits: { "valve.cold.bolts.preload": "1 kN" } },
  { id: "bolt-gap", verdict: "thin", edits: { "valve.cold.bolts.preload": "1.3 kN +/- 0.1 kN" } },
  {
    id: "bolt-gap",
    verdict: "not known",
    edits: { "valve.cold.bolts.stiffness_ratio": undefined },
    needs: "valve.cold.bolts.stiffness_ratio",
  },
  { id: "stem-retention", verdict: "holds", edits: {} },
  { id: "stem-retention", verdict: "fails", edits: { [`${at}.retention.held_by`]: "packing" } },
  { id: "stem-retention", verdict: "fails", edits: { [`${at}.retention.shoulder_diameter`]: "14 mm" } },
  { id: "stem-retention", verdict: "fails", edits: { [`${at}.retention.shoulder_height`]: "0.05 mm" } },
  ...["shoulder_diameter", "shoulder_height", "bonnet_bore", "material"].map(
    (field): Provocation => ({
      id: "stem-retention",
      verdict: "not known",
      edits: { [`${at}.retention.${field}`]: undefined },
      needs: `${at}.retention.${field}`,
    }),
  ),
  {
    id: "stem-retention",
    verdict: "not known",
    edits: { [`${at}.retention`]: undefined },
    needs: `${at}.retention.held_by`,
  },
];

itProvokes(alone, provocations);

describe("what the answer shows", () => {
  it("says the maximum expected pressure, where it comes from, and which wall is used most", async () => {
    const { sentence, tables } = answerNumbered(await ask(), 5);
    expect(sentence).toContain(
      "The maximum expected pressure is 21.01 bar(a) (supply and surge); proof asks for 1.5 times that",
    );
    expect(sentence).toContain("cover is used most");
    const titles = tables.map(({ title }) => title);
    expect(titles).toContain("Pressures that the body may see");
    expect(titles).toContain("Walls");
  });

  it("what is trapped counts where it is higher than supply and surge", async () => {
    const edits = { "valve.cavity.self_relief.difference": "30 bar", "valve.cavity.vent.side": "none" };
    const { sentence } = answerNumbered(await ask(edits, 0), 5);
    expect(sentence).toContain("41 bar(a) (ball cavity)");
  });

  it("names what moves the wall most", async () => {
    const { drivers } = answerNumbered(await ask({ [`${at}.surge`]: "10 bar +/- 3 bar" }, 64), 5);
    expect(drivers.find(({ label }) => label.includes("wall"))?.path).toBe(`${at}.surge`);
  });

  it("says nothing of pressure in a dry case", async () => {
    const answers = await ask({ "duty.fluid": "none" }, 0);
    expect(answerNumbered(answers, 5).checks.map(({ id }) => id)).not.toContain("wall");
  });

  it("the check by name finds the first of several", async () => {
    expect(checkNamed(await ask({}, 0), "wall").name).toBe("Body and pipe wall, body");
  });
});
